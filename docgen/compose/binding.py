"""
Words > the same words, with what no line may part bound by spaces that do not break.

A number and the word it counts, day and month, a time and the short word before it, the groups of a telephone number:
by rules on digits and the length of words alone, so that they hold in every language and need no list.
"""

from __future__ import annotations

import re
from dataclasses import replace

from docgen.blocks import Span, Words

_NO_BREAK = "\u00a0"

_LONGEST_RUN = 18
"""Characters that are bound together at most, for narrow columns; a telephone number may be longer."""

_UNITS = frozenset(("mm", "cm", "mL", "mg", "kg", "g", "µg", "min", "h", "%"))
"""Signs of units, the same in every language: they lead on to nothing."""

_PIECE = re.compile("[^ \t\n\r\u2028\u2029]+")
_NUMBER = re.compile("[^\\w\\s]{0,2}(?:\\d[\\d.,:/\u00a0\u202f\u2013-]*)?\\d")
"""A number that a word may follow: no sign of the sentence ends it."""

_WORD = re.compile("(?=\\W*[^\\W\\d_]|%)[^\\s\\d.,;:!?()]{1,10}[.,;:!?)]*")
"""A word that is counted, or a sign of a unit, and what ends it; letters may carry marks of their own."""

_JOINER = re.compile("[^\\W\\d_]{1,3}")
"""A word so short that it only leads on: "to", "per", "de"."""

_BEFORE = re.compile("[(]?[^\\W\\d_][^\\s\\d.,;:!?()]{0,9}")
"""A word that no sign parts from what follows."""

_LAST = re.compile("\\d[\\d.,]{0,5}[.,;:!?)\u3002\u0964\u06d4]*")
_ENDED = re.compile("\\d{1,3}[.,;:!?)\u3002\u0964\u06d4]+")
_TIME = re.compile("\\d{1,2}[:.h]\\d\\d\\W*")
_DAY, _YEAR = re.compile("\\d{1,2}\\."), re.compile("(?:19|20)\\d\\d\\W*")
_GROUPED = re.compile("\\d\\d\\d \\d\\d\\d")


def bound(words: Words) -> Words:
    """Put a no-break space between what a line must not part; nothing else changes."""
    text = "".join([span.text for span in words])
    places = _Binding(text).places if " " in text and any(map(str.isdigit, text)) else frozenset[int]()
    if not places:
        return words
    out: list[Span] = []
    start = 0
    for span in words:
        made = "".join([_NO_BREAK if at in places else c for at, c in enumerate(span.text, start)])
        out.append(span if made == span.text else replace(span, text=made))
        start += len(span.text)
    return tuple(out)


class _Binding:
    """Finds the spaces of a text that must not break."""

    def __init__(self, text: str) -> None:
        self._text, self._spans = text, [match.span() for match in _PIECE.finditer(text)]
        self._pieces = [text[start:end] for start, end in self._spans]
        self._grouped: set[int] = set()
        self._bound: set[int] = set()
        """Positions of pieces that are bound to the next."""
        rules = (self._is_group, self._is_counted, self._leads_on, self._is_named)
        for rule in rules:
            for place in range(len(self._pieces) - 1):
                if self._is_space_after(place) and place not in self._bound and rule(place):
                    self._bound.add(place)
        self.places = frozenset(self._spans[place][1] for place in self._bound)

    def _is_space_after(self, place: int) -> bool:
        return self._text[self._spans[place][1] : self._spans[place + 1][0]] == " "

    def _is_group(self, place: int) -> bool:
        """Tell whether two pieces are groups of one telephone number."""
        one, other = self._pieces[place : place + 2]
        if _GROUPED.match(f"{one[-3:]} {other[:3]}") or (one[:1] == "+" and one[1:].isdigit() and other[:1].isdigit()):
            self._grouped.add(place + 1)
            return True
        return False

    def _is_counted(self, place: int) -> bool:
        """Tell whether a number is followed by the word it counts, or the day of a month by its name."""
        one, other = self._pieces[place : place + 2]
        after = self._pieces[place + 2] if place + 2 < len(self._pieces) else ""
        if _TIME.fullmatch(one) and any(map(_TIME.fullmatch, self._pieces[place + 2 : place + 4])):
            return False  # "10:00 and 12:00": the second time needs the word before it more than the first
        number = _NUMBER.fullmatch(one) and not _YEAR.fullmatch(one) and place not in self._grouped
        day = _DAY.fullmatch(one) and _YEAR.fullmatch(after)
        return bool((number or day) and _WORD.fullmatch(other)) and self._is_short(place)

    def _is_named(self, place: int) -> bool:
        """Tell whether a word leads to a time, or to a number with which a sentence or the text ends."""
        one, other = self._pieces[place : place + 2]
        if not _BEFORE.fullmatch(one):
            return False
        last = place + 2 == len(self._pieces) and _LAST.fullmatch(other)
        leads = _ENDED.fullmatch(other) or last or (len(one) <= 5 and _TIME.fullmatch(other))
        return bool(leads) and self._is_short(place)

    def _leads_on(self, place: int) -> bool:
        """Tell whether a short word, bound to a number, leads to another or to the word that is counted."""
        one, other = self._pieces[place : place + 2]
        follows = _WORD.fullmatch(other) or _LAST.fullmatch(other) or _TIME.fullmatch(other)
        led = place - 1 in self._bound and self._pieces[place - 1][-1:].isdigit() and _JOINER.fullmatch(one)
        leads = (led and follows and one not in _UNITS) or "/" in (one, other)
        return bool(leads) and self._is_short(place)

    def _is_short(self, place: int) -> bool:
        """Tell whether the run stays short if a piece is bound to the next."""
        first, last = place, place + 1
        while first - 1 in self._bound:
            first -= 1
        while last in self._bound:
            last += 1
        return self._spans[last][1] - self._spans[first][0] <= _LONGEST_RUN
