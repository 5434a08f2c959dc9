"""
The sentences of today > two languages nobody speaks, which show what a real one will do to a page.

`en-XA` is 40 % longer and full of diacritics, `ar-XB` runs from right to left and joins its letters. Placeholders,
marks, numbers, units and addresses stay, because they stay in every translation.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping

from babel.messages.catalog import Message

from docgen.language import Language
from docgen.translation.contract import ADDRESS, PLACEHOLDER, UNIT
from docgen.translation.exchange import source_forms
from docgen.values import dataclass

KEPT = re.compile(rf"({PLACEHOLDER.pattern}|{ADDRESS.pattern}|{UNIT.pattern}|\d+[A-Za-z]+)")
"""What stays: also 3D, which is no number."""

LATIN = "abcdefghijklmnopqrstuvwxyz"
MARKED = "áƀçđéƒĝĥíĵķłɱñóþɋřšťúṽŵẋýž"
ARABIC = "اذسدعفغهيجكلمنوبقرشتضظحخطز"
VOWELS = frozenset("aeiouAEIOU")


@dataclass(frozen=True)
class PseudoLanguage:
    """A language made by rule."""

    tag: str
    locale: str
    """CLDR has no pseudo-locales in Babel; dates, numbers and plurals are those of this one."""
    direction: str
    letters: Mapping[str, str]
    longer_percent: int
    """How many characters more than the English, in per cent of them."""

    def said(self, sentence: str) -> str:
        """Write a sentence in it."""
        pieces = KEPT.split(sentence)
        owed = -(-sum(map(len, pieces[::2])) * self.longer_percent // 100)
        places = [(n, at) for n in range(0, len(pieces), 2) for at in _stretched(pieces[n])]
        more = [[1] * len(piece) for piece in pieces]
        for turn in range(owed if places else 0):
            n, at = places[turn * len(places) // owed]
            more[n][at] += 1
        return "".join(
            piece if n % 2 else "".join(self.letters.get(c, c) * more[n][at] for at, c in enumerate(piece))
            for n, piece in enumerate(pieces)
        )

    def entry(self, message: Message, language: Language) -> Message:
        """Translate an entry of a catalog."""
        forms = tuple(self.said(source) for source in source_forms(message, language))
        message.string = forms[0] if isinstance(message.id, str) else forms
        return message

    def description(self) -> bytes:
        """Write its `language.yaml`."""
        lines = (
            f"# A language nobody speaks, made by docgen translate pseudo: {self.longer_percent} % longer.",
            f"name: {self.said('Pseudo-language')}",
            f"direction: {self.direction}",
            "date: d MMMM y",
            "day: EEEE d MMMM y",
            "time: HH:mm",
            f"locale: {self.locale}  # for Babel's CLDR has no pseudo-locales",
            "readability: none",
        )
        return ("\n".join(lines) + "\n").encode()


def _stretched(piece: str) -> Iterable[int]:
    """Give the places whose letter may be written again: vowels, or any letter where there is none."""
    return [at for at, c in enumerate(piece) if c in VOWELS] or [
        at for at, c in enumerate(piece) if c.isascii() and c.isalpha()
    ]


def _letters(small: str, capital: str) -> Mapping[str, str]:
    return dict(zip(LATIN + LATIN.upper(), small + capital, strict=True))


PSEUDO = (
    PseudoLanguage("en-XA", "en", "ltr", _letters(MARKED, MARKED.upper()), 40),
    PseudoLanguage("ar-XB", "ar", "rtl", _letters(ARABIC, ARABIC), 20),
)


def pseudo_entries(one: PseudoLanguage, messages: Iterable[Message], language: Language) -> Iterable[Message]:
    """Translate every entry."""
    return [one.entry(message, language) for message in messages]
