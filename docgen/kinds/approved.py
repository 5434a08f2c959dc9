"""A kind or a language, and the clinic's approvals > who signed for the text as it is now; any change of it lapses."""

from __future__ import annotations

from docgen.case import Approval, Case
from docgen.kinds.kind import DocumentKind
from docgen.language import SOURCE_LANGUAGE, Language


def text_approval(kind: DocumentKind, case: Case) -> Approval | None:
    """Find who approved the text of a kind."""
    return _approval(f"text.{kind.name}", kind.digest, case)


def translation_entry(language: Language, kind: str) -> tuple[str, str]:
    """Give the name and the digest under which a review of a kind's words in a language is kept."""
    return f"translation.{language.name}.{kind}", language.digest(kind)


def translation_review(language: Language, kind: str, case: Case) -> Approval | None:
    """Find who reviewed the words of a kind in a language; the latest, if several did."""
    return _approval(*translation_entry(language, kind), case)


def needs_review(language: Language, kind: str, case: Case) -> bool:
    """True if a kind's words in a language are a translation that nobody has reviewed."""
    return language.name != SOURCE_LANGUAGE and translation_review(language, kind, case) is None


def _approval(what: str, digest: str, case: Case) -> Approval | None:
    found = [one for one in case.approvals if one.what == what and one.digest == digest]
    return max(found, key=lambda one: one.on, default=None)
