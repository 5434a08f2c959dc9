"""Why a document is not in its reader's language > the line at its top that says so, in the document's language."""

from __future__ import annotations

from docgen.blocks import Paragraph, Section, Span
from docgen.compose.show import language_name
from docgen.compose.view import Opened
from docgen.facts import Known

OTHER_LANGUAGE, STAFF_COPY = "other-language", "staff-copy"
"""Made in another language on somebody's wish; the clinic's own copy of a text that the reader has in another."""


def _guardian_reads(opened: Opened) -> bool:
    """Say whether the reader whose language counts is the guardian, with a language other than the patient's."""
    signer, patient = opened.stated.get("someone_else_signs"), opened.case.value("patient.preferred_language")
    reader = opened.stated.get("readers_language")
    guards = isinstance(signer, Known) and signer.value == "guardian"
    return guards and isinstance(reader, Known) and reader.value != patient


def language_line(aside: str, opened: Opened) -> tuple[Section, ...]:
    """Say in what language the document is and in what language its reader reads best; nothing if they are one."""
    reader = opened.stated.get("readers_language")
    if not aside or not isinstance(reader, Known):
        return ()
    text, own = opened.language.text, opened.language.name
    names = {"this": language_name(own, opened), "reader": language_name(str(reader.value), opened)}
    if aside == STAFF_COPY:
        line = text("This is the clinic's copy, in %(this)s. The reader's copy is in %(reader)s.")
    elif _guardian_reads(opened):
        line = text(
            "This paper is in %(this)s. The grown-up who signs reads best in %(reader)s."
            " Ask us to go through it with you both in that language."
        )
    else:
        line = text(
            "This paper is in %(this)s. You read best in %(reader)s. Ask us to go through it with you in that language."
        )
    return (Section("language", (), (Paragraph((Span(line % names),), "lead"),)),)
