"""
Spans of days > a calendar of the first weeks, a row for each thing to watch or do (design 6.6).

Solid: expected, or to do. Hatched: possible, or until then. A diamond: an appointment. Mirrored where a page runs to
the left.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace
from typing import Any

from docgen.blocks import Figure, Words
from docgen.render.drawing.lettering import Lettering
from docgen.render.drawing.shapes import MM_PER_PT, Drawing, Label, Measure, Part, Path, move
from docgen.render.drawing.strokes import box, hatched, line, mapped
from docgen.values import dataclass

WIDTH, NAMES = 174.0, 48.0
LEGEND = 5.4
HEAD, ROW, BAR = 12.4, 5.7, 3.4
MONTH_PT, WEEKDAY_PT, DAY_PT, NAME_PT = 9.4, 8.5, 9.5, 9.5
"""3.3, 3.0 and 3.35 mm; names of rows."""

PITCH, STROKE, OUTLINE = 1.2, 0.42, 0.3

MONTH_LINE = 0.3
"""Between two months."""

DIAMOND = 2.5
"""Half its width; its height keeps inside the row."""

SWATCH = 6.6
"""Width of the patterns in the legend."""

AIR = 1.2
ARROW = 2.4


def draw_calendar(figure: Figure, *, rtl: bool, width_mm: float, measure: Measure) -> Drawing | None:
    """Draw the calendar; None where it does not fit into the width."""
    if width_mm < WIDTH - 0.1:
        return None
    calendar = _Calendar(figure, measure)
    parts = list(calendar.parts())
    if rtl:
        parts = [_mirrored(part) for part in parts]
    return Drawing(WIDTH, calendar.height, tuple(parts))


def _mirrored(part: Part) -> Part:
    if isinstance(part, Label):
        return replace(part, x=WIDTH - part.x, anchor={"start": "end", "end": "start"}.get(part.anchor, part.anchor))
    if isinstance(part, Path):
        return replace(part, steps=mapped(part.steps, -1.0, WIDTH))
    return part


@dataclass(frozen=True)
class _Calendar:
    figure: Figure
    measure: Measure

    @property
    def data(self) -> Mapping[str, Any]:
        """Numbers of the figure: days, off (positions of days off), months (position of each first day)."""
        return self.figure.data

    @property
    def days(self) -> int:
        """How many days it shows."""
        return int(self.data["days"])

    @property
    def top(self) -> float:
        """Where the rows begin."""
        return LEGEND + HEAD

    @property
    def height(self) -> float:
        """Down to the last line."""
        return self.top + ROW * len(self.data["parts"]) + 0.3

    def x(self, day: float) -> float:
        """Give the start edge of a day."""
        return NAMES + day * (WIDTH - NAMES) / self.days

    def parts(self) -> Iterator[Part]:
        """Give everything in the order in which it is painted and read."""
        for day in self.data["off"]:
            yield Path(box(self.x(day), LEGEND + 4.4, self.x(1) - self.x(0), self.height - LEGEND - 4.4), fill="tint")
        yield from self._legend()
        yield from self._head()
        yield Path(line((0, self.top), (WIDTH, self.top)), stroke="ink", width=0.75 * MM_PER_PT)
        words = self.figure.words[2 + len(self.data["months"]) + int(self.data["weekdays"]) + self.days :]
        for place, row in enumerate(self.data["parts"]):
            count = int(row["labels"])
            yield from self._row(place, row, words[:count])
            words = words[count:]

    def _legend(self) -> Iterator[Part]:
        """Say at the end of the first line what solid and hatched mean."""
        sure, possible = self.figure.words[:2]
        ink = Lettering(self.measure, NAME_PT)
        last = WIDTH - ink.width(possible)
        first = last - SWATCH - 3 * AIR - AIR - ink.width(sure)
        top, base = 0.5, 0.5 + BAR / 2 + (ink.ascent - ink.descent) / 2
        yield Path(box(first - AIR - SWATCH, top, SWATCH, BAR), fill="deep")
        yield ink.one(sure, first, base)
        yield from _hatch(last - AIR - SWATCH, top, SWATCH)
        yield ink.one(possible, last, base)

    def _head(self) -> Iterator[Part]:
        months, weekdays = self.data["months"], int(self.data["weekdays"])
        words = self.figure.words[2:]
        strong = Lettering(self.measure, MONTH_PT, bold=True)
        yield from self._edges(LEGEND, self.top)
        for place, first in enumerate(months):
            until = months[place + 1] if place + 1 < len(months) else self.days
            yield self._month(strong, words[place], first, until)
        words = words[len(months) :]
        quiet = Lettering(self.measure, WEEKDAY_PT, color="quiet")
        for day, one in enumerate(words[:weekdays]):
            yield quiet.one(one, (self.x(day) + self.x(day + 1)) / 2, LEGEND + 7.6, "middle")
        for day, one in enumerate(words[weekdays : weekdays + self.days]):
            number = Lettering(self.measure, DAY_PT, bold=day == 0)
            yield number.one(one, (self.x(day) + self.x(day + 1)) / 2, LEGEND + 11.5, "middle")

    def _edges(self, top: float, low: float, words: tuple[float, float] = (0.0, 0.0)) -> Iterator[Path]:
        """Part the months, but for a line that would run through words."""
        start, end = words
        for first in self.data["months"][1:]:
            if not start - AIR < (edge := self.x(first)) < end + AIR:
                yield Path(line((edge, top), (edge, low)), stroke="line", width=MONTH_LINE)

    def _month(self, strong: Lettering, words: Words, first: int, until: int) -> Label:
        """
        Name a month over its days; a name that is longer than they are ends with them.

        The first has no days before it to stand over: its name goes one line up, beside the legend.
        """
        start, end = self.x(first) + 0.8, self.x(until) - (0.8 if until < self.days else 0.0)
        base = LEGEND + 3.4
        if start + strong.width(words) <= end:
            return strong.one(words, start, base)
        if first == 0:
            return strong.one(words, start, LEGEND - 1.2)
        return strong.one(words, end, base, "end", halo=True)

    def _row(self, place: int, row: Mapping[str, Any], words: tuple[Words, ...]) -> Iterator[Part]:
        top = self.top + place * ROW
        bar = top + (ROW - BAR) / 2
        ink = Lettering(self.measure, NAME_PT)
        base = top + ROW / 2 + (ink.ascent - ink.descent) / 2
        yield Path(line((0, top + ROW), (WIDTH, top + ROW)), stroke="hair", width=0.5 * MM_PER_PT)
        yield ink.one(words[0], 0.0, base)
        note = words[1] if len(words) > 1 else ()
        room = ink.width(note) + 2 * AIR if note else 0.0
        if row.get("at") is not None:
            parts, ends = self._appointment(int(row["at"]), top + ROW / 2, room)
        else:
            parts, ends = self._bars(row, bar, room)
        said = self._note(ink, note, ends, base) if note else None
        long = ink.width(note) if said else 0.0
        start = said.x - (long if said.anchor == "end" else 0.0) if said else 0.0
        yield from self._edges(top, top + ROW, (start, start + long))
        yield from parts
        if said:
            yield said

    def _bars(self, row: Mapping[str, Any], bar: float, room: float) -> tuple[list[Part], tuple[float, float]]:
        """Draw the bars of a row and give where they begin and end."""
        start = end = self.x(int(row.get("since") or 0))
        parts: list[Part] = []
        for name in ("sure", "possible"):
            until = row.get(name)
            if until is None:
                continue
            goes_on = int(until) >= self.days
            edge = WIDTH - room - ARROW if goes_on else self.x(int(until) + 1)
            if name == "sure":
                parts.append(Path(box(end, bar, edge - end, BAR), fill="deep"))
            else:
                parts += _hatch(end, bar, edge - end)
            end = edge
            if goes_on:
                return [*parts, _arrow(edge, bar + BAR / 2)], (start, edge + ARROW)
        return parts, (start, end)

    def _appointment(self, day: int, middle: float, room: float) -> tuple[list[Part], tuple[float, float]]:
        """Draw a diamond, and give where it begins and ends."""
        if day >= self.days:  # after the last day shown: an arrow and the date in words
            edge = WIDTH - room - ARROW
            return [_arrow(edge, middle)], (edge, edge + ARROW)
        x = (self.x(day) + self.x(day + 1)) / 2
        tall = ROW / 2 - 0.35
        steps = (move(x - DIAMOND, middle), (x, middle - tall), (x + DIAMOND, middle), (x, middle + tall), ())
        return [Path(steps, fill="ink")], (x - DIAMOND, x + DIAMOND)

    def _note(self, ink: Lettering, note: Words, marks: tuple[float, float], base: float) -> Label:
        """Set words behind the bar, or before it where they would pass the edge."""
        start, end = marks
        if end + AIR + ink.width(note) <= WIDTH:
            return ink.one(note, end + AIR, base, halo=True)
        return ink.one(note, start - AIR, base, "end", halo=True)


def _hatch(x: float, y: float, width: float) -> Iterator[Path]:
    yield Path(box(x, y, width, BAR), fill="paper", stroke="deep", width=OUTLINE)
    yield hatched(x, y, width, BAR, color="deep", stroke=STROKE, pitch=PITCH)


def _arrow(x: float, middle: float) -> Path:
    return Path((move(x, middle - BAR / 2), (x + ARROW, middle), (x, middle + BAR / 2), ()), fill="deep")
