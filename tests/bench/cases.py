"""
A number and a language > what one form says: seeded, different in each document, the same in each run.

The texts and the draw are those of the form that other document makers were measured with (600 words on two pages),
so that each contestant sets the same words.
"""

from __future__ import annotations

import json
import random
from dataclasses import dataclass
from pathlib import Path
from typing import Any

TEXTS: dict[str, Any] = json.loads((Path(__file__).parent / "texts.json").read_text("utf-8"))


@dataclass(frozen=True)
class FormCase:
    """What a form says; `said` holds what is the same in all of one language."""

    language: str
    said: dict[str, Any]
    name: str
    number: str
    date: str
    dots: int
    """Of 100."""
    figure: str
    paragraphs: list[str]
    """Three below each heading."""
    items: list[list[str]]
    ticks: list[bool]
    rows: list[list[str]]


def form_case(place: int, language: str = "en") -> FormCase:
    """Draw the case of a place; the order of the draws is part of it."""
    draw, said = random.Random(f"{language}{place}"), TEXTS[language]  # noqa: S311  # the seeded draw all contestants share
    name = " ".join(map(draw.choice, said["names"]))
    number, dots = f"R-{place:05d}-{draw.randrange(10**6):06d}", draw.randint(5, 95)
    visit = said["visit"].format(draw.randint(1, 40), name, draw.randint(10, 90), number)
    date = _date(draw)
    paragraphs = [" ".join([visit] * (part in (0, 3)) + draw.sample(said["pool"], 5)) for part in range(6)]
    items = [draw.sample(said["items"], 5), draw.sample(said["items"], 5)]
    ticks = [draw.random() < 0.5 for _ in said["checks"]]
    rows = [
        [
            str(row + 1),
            draw.choice(said["steps"]),
            _date(draw),
            f"{draw.randint(20, 900)}.{draw.randint(0, 99):02d}",
        ]
        for row in range(9)
    ]
    figure = said["figure"].format(dots)
    return FormCase(language, said, name, number, date, dots, figure, paragraphs, items, ticks, rows)


def _date(draw: random.Random) -> str:
    return f"2026-{draw.randint(1, 12):02d}-{draw.randint(1, 28):02d}"
