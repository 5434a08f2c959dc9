"""
Who signs, when and as what > the words of the visible signature, in the document's language.

Apart from signing, so that a translator finds them where every sentence of a document is.
"""

from __future__ import annotations

from datetime import datetime

from docgen.language import Language

AUTHORSHIP, RESPONSIBILITY, APPROVAL = "authorship", "responsibility", "approval"
MEANINGS = (AUTHORSHIP, RESPONSIBILITY, APPROVAL)
"""What a signature can stand for (21 CFR 11.50)."""


def stamp_lines(
    name: str, registered: tuple[str, str], moment: datetime, meaning: str, language: Language
) -> tuple[str, ...]:
    """
    Say who signed, when and as what: a line each, the meaning last.

    `registered`: number and the body that keeps it; `moment` is aware; `meaning` is one of MEANINGS.
    """
    text = language.text
    meanings = {
        AUTHORSHIP: text("signed as the author of this document"),
        RESPONSIBILITY: text("signed as the one who answers for this document"),
        APPROVAL: text("signed as the one who approves this document"),
    }
    number, body = registered
    known = text("registration number %(number)s, %(body)s") % {"number": number, "body": body}
    when = text("%(moment)s, %(zone)s") % {"moment": language.moment(moment), "zone": zone_of(moment)}
    return (name, known, when, meanings[meaning])


def archive_words(language: Language) -> str:
    """Name the field of the archive's time stamp for who cannot see it."""
    return language.text("Time stamp of the archive")


def zone_of(moment: datetime) -> str:
    """Write the offset of a moment from UTC: UTC-05:00; UTC alone for none."""
    offset = moment.isoformat(timespec="minutes")[-6:]
    return "UTC" if offset == "+00:00" else f"UTC{offset}"
