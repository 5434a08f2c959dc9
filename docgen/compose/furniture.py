"""A kind and an opened case > what stands on every page, and where the document came from."""

from __future__ import annotations

from datetime import date
from typing import Any

from docgen.answer import Answer
from docgen.blocks import Furniture, Image, Mark, Origin, Span, Words
from docgen.compose.show import free_text, language_name
from docgen.compose.view import Opened
from docgen.facts import Known
from docgen.kinds import DocumentKind, needs_review, text_approval, translation_review
from docgen.language import Language
from docgen.values import dataclass

BETWEEN = " / "
"""Parts a label or line from the same in another language."""

ISSUE_LINE = ".issue"
"""Path of the line of the foot that says whether and when the document was issued."""


@dataclass(frozen=True)
class Edition:
    """What the program, its tables and the clinic's approvals add to a document."""

    program: str
    tables: tuple[str, ...]
    """Each "name edition"."""
    settings: tuple[tuple[str, str], ...]
    """Settings that a fact of this document used."""
    logo: Image | None = None

    @property
    def numbers(self) -> tuple[str, ...]:
        """The editions without the names of their tables, each once."""
        return tuple(sorted({table.rpartition(" ")[2] for table in self.tables}))

    def origin(self, kind: DocumentKind, opened: Opened) -> Origin:
        """Say where the document comes from."""
        return Origin(
            kind=kind.name,
            version=kind.version,
            language=opened.language.name,
            copy=opened.request.copy,
            record=str(opened.case.value("record.id")),
            case_digest=opened.case.digest,
            template_digest=kind.digest,
            editions=self.tables,
            settings=self.settings,
            program=self.program,
            issued_on=opened.request.issued_on.isoformat(),
        )


def furnish(kind: DocumentKind, opened: Opened, edition: Edition) -> Furniture:
    """Fill head, foot and state marks."""
    clinic = opened.case.value
    contact = [*_lines(clinic("clinic.address")), *_lines((clinic("clinic.phone"),))]
    name = opened.language.full_name(*(str(clinic(f"patient.{one}") or "") for one in ("given_names", "family_name")))
    person = (
        (free_text(opened, name, "patient.family_name"),),
        _labelled(opened, opened.language.text("born %(date)s"), "patient.birth_date", "date"),
        _labelled(opened, opened.language.text("number %(number)s"), "patient.identifier", "number"),
    )
    return Furniture(
        clinic=(free_text(opened, str(clinic("clinic.name")), "clinic.name"),),
        contact=(free_text(opened, ", ".join(contact), "clinic.address"),),
        person=tuple(words for words in person if words),
        marks=_marks(kind, opened),
        foot=_foot(kind, opened, edition),
        page=opened.language.text("Page {page} of {pages}"),
        logo=edition.logo,
        copy=_copy(opened),
    )


def _lines(values: object) -> list[str]:
    return [str(v) for v in values if v is not None and not isinstance(v, Answer)] if isinstance(values, tuple) else []


def _labelled(opened: Opened, sentence: str, path: str, name: str) -> Words:
    value: Any = opened.case.value(path)
    if value is None:
        return ()
    shown = opened.language.date(value) if name == "date" else str(value)
    before, after = sentence.split(f"%({name})s")
    parts = (Span(before), Span(shown, isolated=True, path=path), Span(after))
    return tuple(span for span in parts if span.text)


def _marks(kind: DocumentKind, opened: Opened) -> tuple[Mark, ...]:
    """Give the state marks in their order: sample, draft, unsigned."""
    text = opened.language.text
    marks = [Mark("sample", text("SAMPLE"))] if opened.case.value("record.sample") is True else []
    if text_approval(kind, opened.case) is None or needs_review(opened.language, kind.name, opened.case):
        marks.append(Mark("draft", text("DRAFT")))
    signed = [opened.case.value(path) for path in kind.signed_at]
    if kind.signed_at and not any(v is not None and not isinstance(v, Answer) for v in signed):
        marks.append(Mark("unsigned", text("UNSIGNED COPY"), filled=False))
    return tuple(marks)


def _foot(kind: DocumentKind, opened: Opened, edition: Edition) -> tuple[Words, ...]:
    text, language = opened.language.text, opened.language
    first = text("Record %(record)s, %(kind)s version %(version)s, tables of figures edition %(tables)s") % {
        "record": opened.case.value("record.id"),
        "kind": text(kind.title),
        "version": kind.version,
        "tables": ", ".join(edition.numbers) or text("none"),
    }
    second = text("Not issued. Made on %(date)s") % {"date": language.date(opened.request.issued_on)}
    lines = [(Span(f"{first}."),), (Span(f"{second}.{copy_sentence(_copy(opened))}", path=ISSUE_LINE),)]
    if kind.foot_caution:
        lines.insert(0, (Span(text(kind.foot_caution)),))
    return (*lines, *_retention_line(opened), *translation_line(kind, opened))


def copy_sentence(copy: str) -> str:
    """Say whose copy it is after the line on the issue; nothing of a kind with one copy."""
    return f" {copy}." if copy else ""


def _copy(opened: Opened) -> str:
    text = opened.language.text
    copies = {"patient": text("Patient's copy"), "clinic": text("Clinic's copy")}
    return copies.get(opened.request.copy, "")


def _retention_line(opened: Opened) -> tuple[Words, ...]:
    """Say on the clinic's copy how long it is kept, if the clinic set the years (5.1)."""
    kept = opened.stated.get("retention_until")
    if opened.request.copy != "clinic" or not isinstance(kept, Known) or not isinstance(kept.value, date):
        return ()
    line = opened.language.text("Keep until %(date)s; verify locally.")
    return ((Span(line % {"date": opened.language.date(kept.value)}),),)


def translation_line(kind: DocumentKind, opened: Opened) -> tuple[Words, ...]:
    """
    Say who reviewed a translation and which text is binding (5.1), or that nobody has.

    What nobody has reviewed says so in its own language and in the clinic's.
    """
    review = translation_review(opened.language, kind.name, opened.case)
    record = opened.case.value("record.language")
    is_other = kind.audience == "patient" and isinstance(record, str) and record != opened.language.name
    if needs_review(opened.language, kind.name, opened.case):
        return (_unreviewed(opened, str(record) if is_other else ""),)
    if review is None or not is_other:
        return ()
    line = opened.language.text(
        "Translated text, reviewed by %(name)s on %(date)s; the %(language)s text is binding unless local law says"
        " otherwise."
    )
    binding = language_name(str(record), opened)
    return ((Span(line % {"name": review.by, "date": opened.language.date(review.on), "language": binding}),),)


def _unreviewed(opened: Opened, binding: str) -> Words:
    """Warn in both languages and say which text is binding; a clinic that writes this language is warned once."""
    own, clinics = opened.language, opened.clinics_language
    said = _warning(own)
    if binding:
        line = own.text("The %(language)s text is binding unless local law says otherwise.")
        said = f"{said} {line % {'language': language_name(binding, opened)}}"
    if clinics is None or clinics.name == own.name:
        return (Span(said),)
    apart = clinics.direction != own.direction  # each keeps its own order, and its full stop at its own end
    return (Span(said, isolated=apart), Span(BETWEEN), Span(_warning(clinics), language=clinics.name, isolated=apart))


def _warning(language: Language) -> str:
    return language.text("No qualified person has reviewed this translation.")
