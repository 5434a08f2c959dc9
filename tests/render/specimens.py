"""
The specimen documents: one aftercare leaflet in twelve languages, with every kind of block and mixed directions.

The sentences are our own and stand in `specimen_texts/`, one file a language; people, places and telephone numbers are
invented, no figure is clinical. A value such as {name} becomes a run that keeps its own direction, as composed ones do.
"""

import re
from dataclasses import dataclass, replace
from functools import cache
from pathlib import Path
from typing import Any

import yaml

from docgen.blocks import (
    Block,
    Caution,
    Choice,
    Danger,
    Document,
    Figure,
    Furniture,
    Heading,
    Items,
    Layout,
    Mark,
    Note,
    Pairs,
    Paragraph,
    Section,
    Signature,
    Span,
    Table,
    Together,
    Words,
    Writing,
)
from tests.render.samples import ORIGIN

TEXTS = Path(__file__).parent / "specimen_texts"

LANGUAGES = ("en", "el", "ru", "vi", "ar", "ur", "he", "hi", "bn", "pa", "ta", "zh")
"""One or more for each script: Latin with and without stacked accents, Greek, Cyrillic, Arabic twice, and so on."""

RIGHT_TO_LEFT = ("ar", "ur", "he")
LEFT_TO_RIGHT = tuple(language for language in LANGUAGES if language not in RIGHT_TO_LEFT)

ROWS = 36
"""Of the long table: more than one page of it, in any script."""

_TAKEN_OUT = {"parts": ({"tooth": "38", "treatment": "removal"},)}

FOREIGN_LETTERS = ("zh", "hi", "ar", "he", "ru", "ta")
"""Languages whose lines stand in the English specimen of all scripts."""


@dataclass(frozen=True)
class _Value:
    text: str
    language: str | None = None
    link: str = ""


VALUES = {
    "name": _Value("Orla Fenwright", "en"),
    "time": _Value("18:30"),
    "phone": _Value("0100\u00a0555\u00a00142", link="tel:01005550142"),
    "dose": _Value("200\u00a0mL"),
    "code": _Value("P-20417"),
}
"""What composed documents put into sentences. A phone number is a link; a name keeps the language it is written in."""


@cache
def texts(language: str) -> dict[str, Any]:
    """Read the sentences of a language."""
    found: dict[str, Any] = yaml.safe_load((TEXTS / f"{language}.yaml").read_text("utf-8"))
    return found


def specimen(language: str, layout: Layout | None = None) -> Document:
    """Make the leaflet of a language."""
    return replace(_specimen(language), layout=layout or Layout())


def all_scripts() -> Document:
    """Make an English page with a line of every other script, each in its own direction, and both ways around."""
    lines: list[Block] = []
    for language in FOREIGN_LETTERS:
        said = texts(language)
        foreign = tuple(replace(span, language=span.language or language) for span in fill(said["body"][1], "en"))
        title = Span(said["title"], language=language, isolated=True)
        lines += [
            Paragraph((Span("She was given the leaflet “"), title, Span("” at "), *fill("{time}", "en"), Span("."))),
            Paragraph(foreign),
            Pairs((((Span("Title"),), (title,)), ((Span("Told"), Span(" (twice)")), (title, Span(" 2 × "), title)))),
        ]
    base = _specimen("en")
    return replace(base, sections=(Section("A1", (Span("Every script on one page"),), tuple(lines)),))


def fill(text: str, language: str) -> Words:
    """Make words of a sentence: each value in braces is a run of its own direction."""
    spans = []
    for number, part in enumerate(re.split(r"\{(\w+)\}", text)):
        if number % 2 and part in VALUES:
            value = VALUES[part]
            own = value.language if value.language != language else None
            spans.append(Span(value.text, number % 4 == 1, language=own, isolated=True, link=value.link))
        elif part:
            spans.append(Span(part))
    return tuple(spans)


@cache
def _specimen(language: str) -> Document:
    said = texts(language)

    def words(text: str) -> Words:
        return fill(text, language)

    return Document(
        title=words(said["title"]),
        language=language,
        direction="rtl" if language in RIGHT_TO_LEFT else "ltr",
        sections=tuple(
            Section(id, words(head), blocks)
            for id, head, blocks in zip(
                ("C1", "A1 A2", "A3", "A4", "C12"),
                said["heads"],
                (
                    _told(said, words),
                    _today(said, words),
                    _watch(said, words),
                    _hours(said, words),
                    _answers(said, words),
                ),
                strict=True,
            )
        ),
        furniture=_furniture(said, words),
        origin=replace(ORIGIN, language=language, kind="aftercare"),
    )


def _told(said: dict[str, Any], words: Any) -> tuple[Block, ...]:
    figure = said["figure"]
    return (
        Paragraph(words(said["lead"]), role="lead"),
        *(Paragraph(words(text)) for text in said["body"][:2]),
        Pairs(tuple((words(label), words(value)) for label, value in said["pairs"])),
        Figure("jaw", _TAKEN_OUT, words(figure["alt"]), tuple(map(words, (*said["jaw"], figure["words"][0])))),
        Note(words(said["note"])),
    )


def _today(said: dict[str, Any], words: Any) -> tuple[Block, ...]:
    return (
        Paragraph(words(said["body"][2])),
        Items(tuple(map(words, said["items"]))),
        Together(
            (Heading(3, words(said["table"]["header"][1])), Items(tuple(map(words, said["steps"])), ordered=True))
        ),
    )


def _watch(said: dict[str, Any], words: Any) -> tuple[Block, ...]:
    danger = said["danger"]
    calls = Pairs(tuple((words(label), words("{phone}")) for label in danger["calls"]))
    return (
        Danger(words(danger["title"]), (Items(tuple(map(words, danger["signs"]))), calls)),
        Caution(words(said["caution"])),
    )


def _hours(said: dict[str, Any], words: Any) -> tuple[Block, ...]:
    rows = said["table"]["rows"]
    timed = tuple(
        (
            (Span(f"{8 + number // 4:02d}:{number % 4 * 15:02d}", bold=True, isolated=True),),
            *map(words, rows[number % 4]),
        )
        for number in range(ROWS)
    )
    short = tuple((words(row[0]), (Span(f"{number + 1}"),), ()) for number, row in enumerate(rows))
    header = tuple(map(words, said["table"]["header"]))
    caption = words(said["table"]["caption"])
    return (
        Table(header, timed, caption),
        Table((header[1], header[0], words(said["told"]["label"])), short, numeric=(1,), boxes=(2,)),
    )


def _answers(said: dict[str, Any], words: Any) -> tuple[Block, ...]:
    choice, told, sign = said["choice"], said["told"], said["sign"]
    labels = (words(sign["labels"][0]), words(sign["labels"][1]))
    return (
        Paragraph(words(said["foot"][0]), role="small"),
        Choice(words(choice["label"]), tuple(map(words, choice["options"]))),
        Writing(words(said["writing"]), 2),
        Writing(words(said["choice"]["options"][2]), 0),
        Choice(words(told["label"]), tuple(map(words, told["options"])), chosen=1),
        Signature(words(sign["statement"]), words(sign["role"]), words("{name}"), labels=labels),
        Signature(
            words(said["steps"][0]), words(sign["role"]), words("{name}"), words("{code}"), words("{time}"), labels
        ),
    )


def _furniture(said: dict[str, Any], words: Any) -> Furniture:
    marks = zip(("sample", "draft", "unsigned"), said["marks"], (True, True, False), strict=True)
    return Furniture(
        clinic=words(said["clinic"]),
        contact=words(said["contact"]),
        person=(words("{name}"), words("{code}")),
        marks=tuple(Mark(code, text, filled) for code, text, filled in marks),
        foot=tuple(map(words, said["foot"])),
        page=said["page"],
    )
