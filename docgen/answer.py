"""The words of an absence: "none", "not applicable" and "not known" as values that nothing else equals."""

from enum import Enum


class Answer(Enum):
    """An answer that is a word instead of a value; a field left out is None, which is no answer at all."""

    NONE = "none"
    """Asked; there is none. Lists that admit it hold an empty tuple instead."""
    NOT_APPLICABLE = "not_applicable"
    """The question cannot arise here."""
    NOT_KNOWN = "not_known"
    """Asked; nobody could answer."""
