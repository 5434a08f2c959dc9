"""
Text > embedding levels (UAX #9), places to break (UAX #14), and the visual order of a line.

Levels come from python-bidi, breaks from ICU; only rules L1 and L2, which are those of a line, are ours.
"""

from __future__ import annotations

import importlib
import re
from collections.abc import Sequence
from functools import lru_cache
from itertools import groupby
from types import ModuleType

from icu4py.breakers import CharacterBreaker, LineBreaker

NEEDS_BIDI = re.compile(
    "[\u0590-\u08ff\u200f\u202a-\u202e\u2066-\u2069\ufb1d-\ufdff\ufe70-\ufeff\U00010800-\U00010fff\U0001e800-\U0001efff]"
)
"""Characters that may bring a level above that of the paragraph."""

_TAIL = re.compile(
    "[\0-\x08\f\x0e-\x1b \xad\u1680\u180e\u2000-\u200d\u2028\u202a-\u202e\u205f-\u206f\u3000\ufeff]*"
    "(?:[\t\n\v\r\x1c-\x1f\x85\u2029]|$)"
)
"""White space and format characters before a separator or the end of the line (rule L1)."""

_PRINT_TO_SPACE = {ord(c): " " for c in "Level(),[]\n"}

Run = tuple[int, int, int]
"""Start, stop and level of characters that follow each other on the page."""


@lru_cache(maxsize=1)
def _bidi() -> ModuleType:
    """Import the library only when right-to-left text turns up."""
    return importlib.import_module("bidi")


@lru_cache(maxsize=512)
def levels(text: str, base: int) -> tuple[int, ...]:
    """
    Give the embedding level of each character of a paragraph; `base` 0 for left-to-right, 1 for right-to-left.

    Errors: RuntimeError if python-bidi prints something unexpected (its levels come from its debug print, pinned).
    """
    if not text or (not base and not NEEDS_BIDI.search(text)):
        return (0,) * len(text)
    dump = _bidi().get_display(text, base_dir="LR"[base], debug=True)
    end = dump.rfind("paragraphs: [")  # from the right: the text itself stands in front
    start = dump.rfind("levels: [", 0, end) + len("levels: [")
    found, raw = dump[start:end].translate(_PRINT_TO_SPACE).split(), text.encode()
    if len(found) != len(raw):  # one level for each UTF-8 byte
        raise RuntimeError("python-bidi: unexpected level output")
    return tuple(int(n) for n, byte in zip(found, raw, strict=True) if byte & 0xC0 != 0x80)


@lru_cache(maxsize=512)
def breaks(text: str, language: str) -> tuple[int, ...]:
    """Give the offsets where a line may end; the last is the length of the text."""
    return _ends(LineBreaker(text, language))


def clusters(text: str, language: str) -> tuple[int, ...]:
    """Give the ends of what a reader takes for one character (UAX #29)."""
    return _ends(CharacterBreaker(text, language))


def _ends(pieces: LineBreaker | CharacterBreaker) -> tuple[int, ...]:
    ends, at = [], 0
    for piece in pieces:
        at += len(piece)
        ends.append(at)
    return tuple(ends)


def visual_runs(text: str, levels: Sequence[int], start: int, stop: int, base: int) -> list[Run]:
    """Order the characters from `start` to `stop`, one line, from left to right (rules L1 and L2)."""
    line = list(levels[start:stop])
    for tail in _TAIL.finditer(text, start, stop):
        line[tail.start() - start : tail.end() - start] = [base] * (tail.end() - tail.start())
    runs: list[Run] = []
    at = start
    for level, group in groupby(line):
        size = len(list(group))
        runs.append((at, at + size, level))
        at += size
    return in_visual_order(runs)


def in_visual_order(runs: list[Run]) -> list[Run]:
    """Order runs of one level each from left to right (rule L2)."""
    for level in range(max((run[2] for run in runs), default=0), 0, -1):
        runs = _turned(runs, level)
    return runs


def _turned(runs: list[Run], level: int) -> list[Run]:
    """Turn round what stands at a level or above."""
    turned: list[Run] = []
    for is_high, group in groupby(runs, lambda run: run[2] >= level):
        part = list(group)
        turned += part[::-1] if is_high else part
    return turned
