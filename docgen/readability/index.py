"""
Counts of a text and a row of the table of indices > how hard the text is to read, as an exact number.

One index for each language: no target carries over from one language to another. A language without a row has no
validated index here, and that is said.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from decimal import Decimal
from fractions import Fraction
from operator import add, attrgetter, sub

from docgen.clinical.rounding import round_down, round_up
from docgen.clinical.table import Row, Tables
from docgen.readability.passages import Sentence
from docgen.readability.syllables import syllables
from docgen.values import dataclass

TABLE = "readability-index"
LONG_WORD = 4
"""Syllables from which a word is long (PL-FOG: Polish; the only index with a weight for long words)."""

NAMED = 5
"""Of the hardest sentences."""

AT_MOST, AT_LEAST = "at_most", "at_least"


@dataclass(frozen=True)
class Counts:
    """What an index is computed from."""

    words: int = 0
    sentences: int = 0
    syllables: int = 0
    letters: int = 0
    long_words: int = 0

    def __add__(self, other: Counts) -> Counts:
        return Counts(*map(add, _figures(self), _figures(other)))

    def __sub__(self, other: Counts) -> Counts:
        return Counts(*map(sub, _figures(self), _figures(other)))

    @property
    def ratios(self) -> Mapping[str, Fraction]:
        """The ratios an index may weigh, by the column of its weight."""
        return {
            "words_per_sentence": Fraction(self.words, self.sentences),
            "syllables_per_word": Fraction(self.syllables, self.words),
            "letters_per_word": Fraction(self.letters, self.words),
            "sentences_per_word": Fraction(self.sentences, self.words),
            "long_words_per_word": Fraction(self.long_words, self.words),
        }


_figures = attrgetter("words", "sentences", "syllables", "letters", "long_words")


def count(sentence: Sentence, language: str) -> Counts:
    """Count one sentence."""
    words = sentence.words
    spoken = [syllables(word, language) for word in words]
    letters = sum(character.isalnum() for word in words for character in word)
    return Counts(len(words), 1, sum(spoken), letters, sum(number >= LONG_WORD for number in spoken))


@dataclass(frozen=True)
class Index:
    """The index of a language."""

    language: str
    """Whose syllables it counts."""
    name: str
    wanted: str
    """at_most or at_least."""
    counter: str
    """Name of the syllable counter; none for an index of letters."""
    source: tuple[str, ...]
    row: Row

    def value(self, counts: Counts) -> Fraction:
        """
        Compute the index, exactly.

        Errors: ZeroDivisionError, without a word.
        """
        weighed = (self.row.number(name) * ratio for name, ratio in counts.ratios.items() if name in self.row)
        return sum(weighed, self.row.number("constant"))

    def target(self, kind: str) -> Fraction:
        """Give the target for a kind of document; one without a target of its own has that of the language."""
        return self.row.number(kind if kind in self.row else "target")

    def is_met(self, value: Fraction, target: Fraction) -> bool:
        """Tell whether a value reaches a target."""
        return value <= target if self.wanted == AT_MOST else value >= target

    def printed(self, value: Fraction) -> Decimal:
        """Round to a tenth, towards harder to read."""
        tenth = round_up(value, 1) if self.wanted == AT_MOST else round_down(value, 1)
        return (Decimal(tenth.numerator) / Decimal(tenth.denominator)).quantize(Decimal("0.1"))


def find_index(name: str, tables: Tables) -> Index | None:
    """Find an index by its name; None if the table has none of this name."""
    for row in tables.table(TABLE):
        if row.text("index") == name:
            return Index(row.id, name, row.text("wanted"), row.text("counter"), row.source, row)
    return None


def index_names(tables: Tables) -> tuple[str, ...]:
    """Name every index of the table."""
    return tuple(row.text("index") for row in tables.table(TABLE))


@dataclass(frozen=True)
class Measured:
    """How hard one text is to read."""

    index: Index
    counts: Counts
    value: Fraction
    target: Fraction
    each: tuple[tuple[Sentence, Counts], ...]
    """Its sentences with their own counts."""

    @property
    def hardest(self) -> tuple[Sentence, ...]:
        """The sentences without which the text would be easiest, the hardest first; one said twice is named once."""
        sign, total = 1 if self.index.wanted == AT_MOST else -1, self.counts
        rest = [
            (sign * self.index.value(total - counts), number)
            for number, (_, counts) in enumerate(self.each)
            if total != counts
        ]
        return tuple(dict.fromkeys(self.each[number][0] for _, number in sorted(rest)))[:NAMED]

    @property
    def is_met(self) -> bool:
        """True if the text reaches its target."""
        return self.index.is_met(self.value, self.target)


def measure(text: Iterable[Sentence], index: Index, target: Fraction) -> Measured | None:
    """Measure a text; None for one without words."""
    each = tuple([(sentence, count(sentence, index.language)) for sentence in text])
    total = sum((counts for _, counts in each), Counts())
    if not total.words:
        return None
    return Measured(index, total, index.value(total), target, each)
