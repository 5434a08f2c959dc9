"""A case with its facts, a kind and a language > the Document."""

from docgen.compose.bilingual import pair
from docgen.compose.compose import Composed, Composing, body_environment, compose
from docgen.compose.furniture import Edition
from docgen.compose.late import choose_yardstick
from docgen.compose.typed import unread_texts
from docgen.compose.view import Opened

__all__ = [
    "Composed",
    "Composing",
    "Edition",
    "Opened",
    "body_environment",
    "choose_yardstick",
    "compose",
    "pair",
    "unread_texts",
]
