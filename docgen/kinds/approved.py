"""A kind or a language, and the clinic's approvals > who signed for the text as it is now; any change of it lapses."""

from __future__ import annotations

from docgen.case import Approval, Case
from docgen.kinds.kind import DocumentKind
from docgen.language import SOURCE_LANGUAGE, Language


def text_approval(kind: DocumentKind, case: Case) -> Approval | None:
    """Find who approved the text of a kind."""
    return _approval(f"text.{kind.name}", kind.digest, case)


def translation_review(language: Language, case: Case) -> Approval | None:
    """Find who reviewed a catalog; the latest, if several did."""
    return _approval(f"translation.{language.name}", language.digest, case)


def needs_review(language: Language, case: Case) -> bool:
    """True if a language is a translation that nobody has reviewed."""
    return language.name != SOURCE_LANGUAGE and translation_review(language, case) is None


def _approval(what: str, digest: str, case: Case) -> Approval | None:
    found = [one for one in case.approvals if one.what == what and one.digest == digest]
    return max(found, key=lambda one: one.on, default=None)
