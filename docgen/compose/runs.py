"""
Words of a right-to-left document > the same words, with what is read left to right kept in one run.

Each value is isolated, so two that belong together would stand in the order of the line: the family name before the
given one, the unit before its number. A value with its unit, and values with nothing but a space between, are one.
"""

from __future__ import annotations

import re
from dataclasses import fields, is_dataclass, replace
from typing import Any

from docgen.blocks import Span, Words

_UNIT = re.compile(r"[ \u00a0]?(?:[A-Za-zµ]{1,5}(?:/[A-Za-z]+)?|[%°])(?!\w)")
_RATIO = re.compile(r"\d+:$")
"""What opens a ratio: "1:" before the value of a dilution."""

_LEFT_TO_RIGHT = re.compile(r"[A-Za-z0-9]")
_RIGHT_TO_LEFT = re.compile(r"[\u0590-\u08ff\ufb1d-\ufdff\ufe70-\ufefc]")
_SPACES = (" ", "\u00a0")
_BETWEEN_NUMBERS = (":", "/", "-", "\u2013", "\u00d7")


def in_runs(value: Any) -> Any:
    """Give sections or blocks with the runs of all their words joined."""
    if isinstance(value, tuple):
        if value and all(isinstance(one, Span) for one in value):
            return joined(value)
        return tuple(in_runs(one) for one in value)
    if is_dataclass(value) and not isinstance(value, type | Span):
        return replace(value, **{one.name: in_runs(getattr(value, one.name)) for one in fields(value) if one.init})
    return value


def joined(words: Words) -> Words:
    """Join values that are read as one, and numbers with their units."""
    out: list[Span] = []
    for span in words:
        span = _with_neighbors(out, span)
        if len(out) > 1 and not out[-1].isolated and _are_one(out[-2], out[-1].text, span):
            between = out.pop().text
            out[-1] = replace(out[-1], text=out[-1].text + between + span.text)
        elif span.text:
            out.append(span)
    return tuple(span for span in out if span.text)


def _with_neighbors(out: list[Span], span: Span) -> Span:
    """Give the last value the unit with which words begin, or a value the ratio that the words before it open."""
    if not out or out[-1].isolated == span.isolated:
        return span
    last = out[-1]
    if last.isolated and last.text[-1:].isdigit() and (unit := _UNIT.match(span.text)):
        out[-1] = replace(last, text=last.text + unit[0])
        return replace(span, text=span.text[unit.end() :])
    if span.isolated and span.text[:1].isdigit() and (opened := _RATIO.search(last.text)):
        out[-1] = replace(last, text=last.text[: opened.start()])
        return replace(span, text=opened[0] + span.text)
    return span


def _are_one(one: Span, between: str, other: Span) -> bool:
    """Tell whether two values are read left to right as one, and look alike."""
    if not (one.isolated and other.isolated) or (one.bold, one.italic, one.link) != (
        other.bold,
        other.italic,
        other.link,
    ):
        return False
    if between in _BETWEEN_NUMBERS:
        return one.text[-1:].isdigit() and other.text[:1].isdigit()
    texts = (one.text, other.text)
    return between in _SPACES and all(_LEFT_TO_RIGHT.search(t) and not _RIGHT_TO_LEFT.search(t) for t in texts)
