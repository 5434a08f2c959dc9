"""A case with its facts, a kind and a language > the Document."""

from docgen.compose.compose import Composing, body_environment, compose
from docgen.compose.furniture import Edition
from docgen.compose.view import Opened

__all__ = ["Composing", "Edition", "Opened", "body_environment", "compose"]
