"""
A kind and a language > the sheet on which a reviewer reads each sentence beside its source, and signs, as a Document.

Written in the language of the sentences, which every reviewer of them must read.
"""

from __future__ import annotations

from datetime import date

from docgen.blocks import (
    Block,
    Document,
    Furniture,
    Items,
    Layout,
    Note,
    Origin,
    Pairs,
    Paragraph,
    Section,
    Signature,
    Span,
    Table,
    Words,
    Writing,
)
from docgen.kinds import DocumentKind, translation_entry
from docgen.language import SOURCE_LANGUAGE, Language, name_of
from docgen.translation.review_lines import Group, Line, sentences_in
from docgen.translation.review_state import SHORT
from docgen.values import dataclass

HOW = (
    "Read each translation against the English beside it. Names in ‹angles› stand for what the case record says; bold"
    " words are bold on the page.",
    "Compare every **dose**, every **time**, every **negation**, every **side** and every **number**. One that differs"
    " can hurt somebody.",
    "Cover the English and write in your own words, in English, what the translation says (back reading). Do it for"
    " every sentence that carries one of these five, and for each that a patient could read in two ways.",
    "Tick **Accepted** if the sentence is right, complete, and said as a clinic says it to a patient. If not, write the"
    " better words and leave the box empty.",
    "Sign at the end. Return the sheet even if a single box is empty: the translation is then mended, and you read a"
    " new sheet of the new words.",
)

DECLARATION = (
    "I have read every sentence of this sheet against the English. Where a box is ticked, the translation says the"
    " same, no more and no less. Where it is empty, I have written why."
)


@dataclass(frozen=True)
class SheetOrder:
    """What a sheet is made of."""

    kind: DocumentKind
    language: Language
    english: Language
    groups: tuple[Group, ...]
    program: str
    on: date

    @property
    def tongue(self) -> str:
        """Name the language in English."""
        return name_of(self.language.name, self.english.locale)

    @property
    def digest(self) -> str:
        """Give the digest the review will be kept under, as a person compares it."""
        return translation_entry(self.language, self.kind.name)[1][:SHORT]


def review_sheet(order: SheetOrder) -> Document:
    """Make the sheet; A4, for the pen."""
    sections = [
        Section("about", _words("What this is"), _about(order)),
        Section("how", _words("How to review"), (Items(tuple(map(_marked, HOW)), ordered=True),)),
        *(_section(place, group, order) for place, group in enumerate(order.groups, 1)),
        Section("sign", _words("Your review"), _signing(order)),
    ]
    return Document(
        title=_words(f"Review of a translation: {order.tongue}, {order.kind.name}"),
        language=SOURCE_LANGUAGE,
        direction="ltr",
        sections=tuple(sections),
        furniture=_furniture(order),
        origin=_origin(order),
        layout=Layout(voice="staff", paper="A4"),
    )


def _words(text: str) -> Words:
    return (Span(text),)


def _marked(text: str) -> Words:
    """Read words whose bold parts stand between two stars."""
    return tuple(Span(part, bold=at % 2 == 1) for at, part in enumerate(text.split("**")) if part)


def _about(order: SheetOrder) -> tuple[Block, ...]:
    kind, language = order.kind, order.language
    count = sentences_in(order.groups)
    own = Span(language.description.name, language=language.name)
    rows = (
        ("Language", (Span(f"{order.tongue} ({language.name}), "), own)),
        ("Text", _words(f"{kind.title} ({kind.name}), version {kind.version}")),
        ("Sentences", _words(f"{count}, numbered 1 to {count}")),
        ("Digest", _words(f"{order.digest}: it names these very words; any change of one gives another")),
    )
    said = (
        f"Every sentence that this text can print, in English and in {order.tongue}. Until a qualified person has read"
        " them all, each page says that nobody has."
    )
    return (Paragraph(_words(said), "lead"), Pairs(tuple((_words(label), value) for label, value in rows)))


def _section(place: int, group: Group, order: SheetOrder) -> Section:
    header = tuple(map(_words, ("No.", "English", order.tongue, "Back reading", "Accepted")))
    rows = tuple((_words(line.number), _source(line), line.translation, (), ()) for line in group.lines)
    return Section(f"part {place}", _words(group.name), (Table(header, rows, boxes=(4,), writing=(3,)),))


def _source(line: Line) -> Words:
    return (*line.source, Span(" "), Span(line.note, look="small")) if line.note else line.source


def _signing(order: SheetOrder) -> tuple[Block, ...]:
    record = (
        f"For the clinic: a review without an empty box is recorded with docgen review record {order.language.name}"
        f" {order.kind.name}, which compares nothing with this sheet. See first that docgen review list still gives the"
        f" digest {order.digest}."
    )
    return (
        Writing(_words("Remarks on the whole text"), 4),
        Writing(_words("Name"), 0),
        Writing(_words("Qualification"), 0),
        Signature(_words(DECLARATION), _words("Reviewer"), (), labels=(_words("Signature"), _words("Date"))),
        Note(_words(record)),
    )


def _furniture(order: SheetOrder) -> Furniture:
    kind, day = order.kind, order.english.date(order.on)
    return Furniture(
        clinic=_words("Review of a translation"),
        contact=_words(f"Sheet for a qualified reviewer of {order.tongue}"),
        person=(
            _words(f"{order.tongue} ({order.language.name})"),
            _words(f"{kind.name}, version {kind.version}"),
            _words(f"digest {order.digest}"),
        ),
        marks=(),
        foot=(_words(f"{order.program}. Sheet of {day}. No patient's data is on this sheet."),),
        page="Page {page} of {pages}",
    )


def _origin(order: SheetOrder) -> Origin:
    return Origin(
        kind=f"review of {order.kind.name}",
        version=order.kind.version,
        language=order.language.name,
        copy="",
        record="",
        case_digest="",
        template_digest=order.digest,
        editions=(),
        settings=(),
        program=order.program,
        issued_on=order.on.isoformat(),
    )
