"""
The words in which the models name their fields: one alias or function per type of the specification.

Python cannot build an annotation at run time that a type checker can read, so the value's type stands beside the leaf:
`Annotated[TextOr, a_line(NONE)]`.
"""

from __future__ import annotations

from datetime import date, datetime, time
from decimal import Decimal
from typing import Annotated, TypeAlias

from docgen.answer import Answer
from docgen.case.leaf import Leaf
from docgen.case.leaf_forms import CURRENCY
from docgen.case.shapes import Group, Items

NONE = Answer.NONE
NA = Answer.NOT_APPLICABLE
NK = Answer.NOT_KNOWN

TextOr: TypeAlias = str | Answer | None
DateOr: TypeAlias = date | Answer | None
MomentOr: TypeAlias = datetime | Answer | None
DecimalOr: TypeAlias = Decimal | Answer | None
IntOr: TypeAlias = int | Answer | None

YesNo: TypeAlias = Annotated[bool | None, Leaf("yn")]
YesNoKnown: TypeAlias = Annotated[bool | Answer | None, Leaf("yn", frozenset({NK}))]
YesNoApplicable: TypeAlias = Annotated[bool | Answer | None, Leaf("yn", frozenset({NA}))]
YesNoAny: TypeAlias = Annotated[bool | Answer | None, Leaf("yn", frozenset({NA, NK}))]
Line: TypeAlias = Annotated[str | None, Leaf("line")]
Zone: TypeAlias = Annotated[str | None, Leaf("line", form="zone")]
Text: TypeAlias = Annotated[str | None, Leaf("text")]
Name: TypeAlias = Annotated[str | None, Leaf("code")]
Person: TypeAlias = Annotated[str | None, Leaf("id")]
Day: TypeAlias = Annotated[date | None, Leaf("date")]
Clock: TypeAlias = Annotated[time | None, Leaf("time")]
Moment: TypeAlias = Annotated[datetime | None, Leaf("moment")]
Tooth: TypeAlias = Annotated[str | None, Leaf("tooth")]
Tongue: TypeAlias = Annotated[str | None, Leaf("language")]
Currency: TypeAlias = Annotated[str | None, Leaf("code", pattern=CURRENCY)]
Side: TypeAlias = Annotated[str | None, Leaf("code", codes=("left", "right"))]
Jaw: TypeAlias = Annotated[str | None, Leaf("code", codes=("upper", "lower"))]


def a_line(*answers: Answer) -> Leaf:
    """Type one line that some words may answer."""
    return Leaf("line", frozenset(answers))


def a_text(*answers: Answer) -> Leaf:
    """Type text of many lines that some words may answer."""
    return Leaf("text", frozenset(answers))


def a_code(words: str, *answers: Answer) -> Leaf:
    """Type a closed list of words, written with spaces between them; answer words are given apart."""
    return Leaf("code", frozenset(answers), tuple(words.split()))


def a_date(*answers: Answer) -> Leaf:
    """Type a date that some words may answer."""
    return Leaf("date", frozenset(answers))


def a_moment(*answers: Answer) -> Leaf:
    """Type a date with its time that some words may answer."""
    return Leaf("moment", frozenset(answers))


def an_id(*answers: Answer, also: str = "") -> Leaf:
    """Type an id; `also` are words admitted beside it."""
    return Leaf("id", frozenset(answers), tuple(also.split()))


def a_language(*answers: Answer) -> Leaf:
    """Type a language that some words may answer."""
    return Leaf("language", frozenset(answers))


def a_number(*answers: Answer, low: str = "0", high: str | None = None, above_low: bool = False) -> Leaf:
    """Type a decimal number within its limits, which are accepted unless `above_low`."""
    return Leaf("decimal", frozenset(answers), (), Decimal(low), None if high is None else Decimal(high), above_low)


def a_positive(*answers: Answer) -> Leaf:
    """Type a decimal number above 0."""
    return a_number(*answers, above_low=True)


def a_count(*answers: Answer, low: int = 0, high: int | None = None, also: str = "") -> Leaf:
    """Type a whole number within its limits; `also` are words admitted beside it."""
    limit = None if high is None else Decimal(high)
    return Leaf("int", frozenset(answers), tuple(also.split()), Decimal(low), limit)


def a_list(*answers: Answer, at_most: int | None = None) -> Items:
    """Type a list that some words may answer."""
    return Items(frozenset(answers), at_most)


def a_group(*answers: Answer) -> Group:
    """Type a group that some words may answer."""
    return Group(frozenset(answers))
