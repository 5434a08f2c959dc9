"""
A case of the bench > the two-page form as a document of the model: the same parts that every contestant sets.

Title, name line, two headings with three paragraphs and a list each, a table of nine rows with a caption and a head, a
figure of dots (ours has 1,000 where the others draw 100), three boxes to tick, two lines to sign, head and foot on each
page with "page x of y". What is not ticked is a form field, which no other contestant offers.
"""

from __future__ import annotations

from docgen.blocks import (
    Block,
    Choice,
    Document,
    Figure,
    Furniture,
    Items,
    Layout,
    Origin,
    Paragraph,
    Section,
    Signature,
    Span,
    Table,
    Words,
)
from tests.bench.cases import FormCase


def form(case: FormCase) -> Document:
    """Make the document of a case."""
    said = case.said
    origin = Origin("form", "1", case.language, "", case.number, "0" * 64, "0" * 64, (), (), "docgen bench", case.date)
    furniture = Furniture(
        clinic=_words(said["header"]),
        contact=(),
        person=(_words(case.name, bold=True), _words(case.number), _words(case.date)),
        marks=(),
        foot=(_words(said["header"]), _words(case.number)),
        page=f"{said['page']} {{page}} {said['of']} {{pages}}",
    )
    sections = (*(_advice(case, half) for half in (0, 1)), Section("B3", (), _rest(case)))
    return Document(
        _words(said["title"]), case.language, said["dir"], sections, furniture, origin, Layout(voice="staff")
    )


def _words(text: str, *, bold: bool = False) -> Words:
    return (Span(text, bold=bold),)


def _advice(case: FormCase, half: int) -> Section:
    paragraphs = tuple(Paragraph(_words(text)) for text in case.paragraphs[3 * half : 3 * half + 3])
    items = Items(tuple(map(_words, case.items[half])))
    return Section(f"B{half + 1}", _words(case.said["heads"][half]), (*paragraphs, items))


def _rest(case: FormCase) -> tuple[Block, ...]:
    said = case.said
    rows = tuple(tuple(map(_words, row)) for row in case.rows)
    people = {"affected": case.dots * 10, "denominator": 1000, "frame": ()}
    return (
        Table(tuple(map(_words, said["thead"])), rows, _words(said["caption"]), numeric=(3,)),
        Figure("people-1000", people, _words(case.figure), (_words(case.figure),)),
        *(
            Choice((), (_words(check),), chosen=0 if tick else None)
            for check, tick in zip(said["checks"], case.ticks, strict=True)
        ),
        *(Signature((), (), (), labels=(_words(sign), _words(said["thead"][2]))) for sign in said["signs"]),
    )
