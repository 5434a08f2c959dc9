"""A folder `templates/<kind>/` > a DocumentKind, and whether a case holds all that the kind asks for."""

from docgen.kinds.approved import needs_review, text_approval, translation_entry, translation_review
from docgen.kinds.complete import check_complete, condition_holds, is_applicable
from docgen.kinds.kind import APART, LATE_FACTS, PAIRS, Condition, DocumentKind, Exchange, OwnField, Requirement
from docgen.kinds.read import TemplateFolders, kind_names, read_kind
from docgen.kinds.words import HouseWords, read_words

__all__ = [
    "APART",
    "LATE_FACTS",
    "PAIRS",
    "Condition",
    "DocumentKind",
    "Exchange",
    "HouseWords",
    "OwnField",
    "Requirement",
    "TemplateFolders",
    "check_complete",
    "condition_holds",
    "is_applicable",
    "kind_names",
    "needs_review",
    "read_kind",
    "read_words",
    "text_approval",
    "translation_entry",
    "translation_review",
]
