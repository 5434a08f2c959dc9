"""
Text > embedding levels (UAX #9), places to break (UAX #14), and the visual order of a line.

Levels come from python-bidi, breaks from ICU; only rules L1 and L2, which are those of a line, are ours.
"""

from __future__ import annotations

import importlib
import re
import unicodedata
from collections.abc import Sequence
from functools import lru_cache
from itertools import accumulate, compress, groupby
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

_ONE_WAY = re.compile(
    "[ -/:-@[-`{-~\u00a0\u00ab\u00bb\u0591-\u05f4\u0608\u060b-\u061b\u061d-\u065f\u066d-\u06dc\u06de-\u06ef"
    "\u2010-\u2027]*"
)
"""Letters that run from right to left, their marks, and signs that run as the text does: no digit, no other letter."""

_BRACKET = re.compile(r"[()\[\]{}]")
"""Of those the signs that come in pairs, which may hold what runs otherwise."""

_CLOSED = re.compile("(?:[^\u202a-\u202e\u2066-\u2069]|\u2068[^\u202a-\u202e\u2066-\u2069]*\u2069)*")
"""Text in which every value that keeps its own direction ends (FSI, PDI), and nothing else sets one."""

_FIRST, _APART = 28, 41
"""Where the first level stands in the debug print, and how far the next, if all have one digit."""

_WORD = "(?:[A-Za-z]+|[\u0621-\u063a\u0641-\u064a]+|[0-9]+(?:[.,:/-][0-9]+)*)[.,]?"
_PLAIN = re.compile(f"{_WORD}(?: {_WORD})*")
"""Words and numbers with a full stop or comma at most: a line ends at spaces and nowhere else, says UAX #14 too."""

_ONE = re.compile("[A-Za-z]+|[0-9]+(?:[.,:/-][0-9]+)*")
"""One such word or number, without a sign at its end."""

_PRINT_TO_SPACE = {ord(c): " " for c in "Level(),[]\n"}

_STARTS = bytes(0 if byte & 0xC0 == 0x80 else 1 for byte in range(256))
"""Whether a byte of UTF-8 begins a character."""

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
    start, stop = _otherwise(text) if base else (0, len(text))
    middle = _levels_told(text[start:stop], base) if start < stop else ()
    return ((base,) * start) + middle + ((base,) * (len(text) - stop))


def _otherwise(text: str) -> tuple[int, int]:
    """Find the part of a right-to-left text in which something may run otherwise, from letter to letter."""
    length = len(text)
    first, last = _ONE_WAY.match(text), _ONE_WAY.match(text[::-1])
    start, stop = first.end() if first else 0, length - (last.end() if last else 0)
    if start == length:
        return 0, 0
    while start and not _runs_left(text[start]):
        start -= 1
    while stop < length and not _runs_left(text[stop - 1]):
        stop += 1
    if _BRACKET.search(text, 0, start) or _BRACKET.search(text, stop) or not _CLOSED.fullmatch(text, start, stop):
        return 0, length
    return start, stop


def _runs_left(character: str) -> bool:
    return unicodedata.bidirectional(character) in ("R", "AL")


def _levels_told(text: str, base: int) -> tuple[int, ...]:
    dump = _bidi().get_display(text, base_dir="LR"[base], debug=True)
    end = dump.rfind("paragraphs: [")  # from the right: the text itself stands in front
    start = dump.rfind("levels: [", 0, end) + len("levels: [")
    raw, listed = text.encode(), dump[start:end]
    found: Sequence[str] = listed[_FIRST::_APART]
    if len(found) != len(raw) or not "".join(found).isdigit():  # levels of two digits
        found = listed.translate(_PRINT_TO_SPACE).split()
    if len(found) != len(raw):  # one level for each UTF-8 byte
        raise RuntimeError("python-bidi: unexpected level output")
    return tuple(map(int, compress(found, raw.translate(_STARTS))))


@lru_cache(maxsize=512)
def breaks(text: str, language: str) -> tuple[int, ...]:
    """Give the offsets where a line may end; the last is the length of the text."""
    if _PLAIN.fullmatch(text):
        *ends, last = accumulate([len(token) + 1 for token in text.split(" ")])
        return (*ends, last - 1)
    return _ends(LineBreaker(text, language))


def is_one_word(text: str) -> bool:
    """Tell whether a text is a word or number of ASCII in which no line ends."""
    return _ONE.fullmatch(text) is not None


def sentences(text: str) -> list[str]:
    """
    Cut behind full stops where a line may end, and no break after depends on what stood before.

    So says UAX #14 of a full stop, a space, and a letter or digit.
    """
    first, *others = text.split(". ")
    if not others or not all(part[:1].isalnum() for part in others):
        return [text]
    return [f"{part}. " for part in (first, *others[:-1])] + others[-1:]


def clusters(text: str, language: str) -> tuple[int, ...]:
    """Give the ends of what a reader takes for one character (UAX #29)."""
    return _ends(CharacterBreaker(text, language))


def _ends(pieces: LineBreaker | CharacterBreaker) -> tuple[int, ...]:
    return tuple(accumulate(map(len, pieces)))


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
