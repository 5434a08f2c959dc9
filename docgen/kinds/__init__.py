"""A folder `templates/<kind>/` > a DocumentKind, and whether a case holds all that the kind asks for."""

from docgen.kinds.complete import check_complete, is_applicable
from docgen.kinds.kind import Condition, DocumentKind, OwnField, Requirement
from docgen.kinds.read import TemplateFolders, kind_names, read_kind
from docgen.kinds.words import HouseWords, read_words

__all__ = [
    "Condition",
    "DocumentKind",
    "HouseWords",
    "OwnField",
    "Requirement",
    "TemplateFolders",
    "check_complete",
    "is_applicable",
    "kind_names",
    "read_kind",
    "read_words",
]
