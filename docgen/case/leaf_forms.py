"""The cleaned text of each type of field > its value; strict forms, because a guess about a date or dose can hurt."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from datetime import date, datetime, time
from decimal import Decimal
from typing import TYPE_CHECKING, TypeVar
from zoneinfo import ZoneInfo

from docgen.case.faults import fault, one_of
from docgen.problem import Message, say

if TYPE_CHECKING:
    from docgen.case.leaf import Leaf

Moment = TypeVar("Moment", date, time, datetime)

IDENTIFIER = r"[A-Za-z0-9][A-Za-z0-9._-]{0,63}"
DATE = r"[0-9]{4}-[0-9]{2}-[0-9]{2}"
TIME = r"[0-9]{2}:[0-9]{2}"
DECIMAL = r"(?:0|[1-9][0-9]{0,8})(?:\.[0-9]{1,9})?"
WHOLE = r"(?:0|[1-9][0-9]{0,8})"
URI = r"[a-z][a-z0-9+.-]*:\S+"
CODE = r"\S+(?: \S+)*"
"""A code as FHIR has it: no space before, after or doubled."""
CURRENCY = "[A-Z]{3}"
LANGUAGE = r"[a-z]{2,3}(?:-[A-Z][a-z]{3})?(?:-(?:[A-Z]{2}|[0-9]{3}))?(?:-(?:[a-z0-9]{5,8}|[0-9][a-z0-9]{3}))*"
TOOTH: Mapping[str, str] = {
    "fdi": r"[1-4][1-8]|[5-8][1-5]",
    "universal": r"[1-9]|[12][0-9]|3[0-2]|[A-T]",
    "palmer": r"(?:UR|UL|LL|LR)[1-8A-E]",
}
ANY_TOOTH = "|".join(TOOTH.values())


def _yes_or_no(leaf: Leaf, text: str, notation: str | None) -> bool:
    if text not in ("yes", "no"):
        raise fault("bad-value", say("%(path)s is answered with an unknown word"), one_of(text, leaf.choices))
    return text == "yes"


def _prose(leaf: Leaf, text: str, notation: str | None) -> str:
    return text


def _code(leaf: Leaf, text: str, notation: str | None) -> str:
    if leaf.codes:
        if text not in leaf.codes:
            raise fault("bad-value", say("%(path)s is not one of the allowed words"), one_of(text, leaf.choices))
        return text
    return _matching(leaf, text, leaf.pattern or IDENTIFIER)


def _identifier(leaf: Leaf, text: str, notation: str | None) -> str:
    return text if text in leaf.codes else _matching(leaf, text, IDENTIFIER)


def _language(leaf: Leaf, text: str, notation: str | None) -> str:
    return _matching(leaf, text, LANGUAGE)


def _tooth(leaf: Leaf, text: str, notation: str | None) -> str:
    if notation is None:
        return _matching(leaf, text, ANY_TOOTH)
    if not re.fullmatch(TOOTH[notation], text):
        raise fault(
            "bad-value",
            say("%(path)s is not a tooth in the declared notation %(notation)s", notation=notation),
            _TOOTH_MENDS[notation],
        )
    return text


_TOOTH_MENDS: Mapping[str, Message] = {
    "fdi": say("write two digits, quadrant and position, such as 38 (or 75 for a primary tooth)"),
    "universal": say("write a number from 1 to 32, such as 17 (or a letter A to T for a primary tooth)"),
    "palmer": say("write UR, UL, LL or LR and the position, such as LL8 (or a letter A to E for a primary tooth)"),
}


def _matching(leaf: Leaf, text: str, pattern: str) -> str:
    if not re.fullmatch(pattern, text):
        raise fault("bad-value", say("%(path)s is not written as it should be"), leaf.mend())
    return text


def _zone(leaf: Leaf, text: str, notation: str | None) -> str:
    try:
        ZoneInfo(text)
    except (ValueError, OSError, KeyError):  # a path, a folder, or no such zone
        raise fault("bad-value", say("%(path)s is not a known time zone"), leaf.mend()) from None
    return text


def _uri(leaf: Leaf, text: str, notation: str | None) -> str:
    return _matching(leaf, text, URI)


def _coding(leaf: Leaf, text: str, notation: str | None) -> str:
    parts = text.split("|")
    if len(parts) != 4 or not re.fullmatch(URI, parts[0]) or not re.fullmatch(CODE, parts[2]):
        raise fault("bad-value", say("%(path)s is not written as it should be"), leaf.mend())
    return text


def _date(leaf: Leaf, text: str, notation: str | None) -> date:
    return _calendar(leaf, text, DATE, date.fromisoformat)


def _time(leaf: Leaf, text: str, notation: str | None) -> time:
    return _calendar(leaf, text, TIME, time.fromisoformat)


def _moment(leaf: Leaf, text: str, notation: str | None) -> datetime:
    return _calendar(leaf, text, f"{DATE}T{TIME}", datetime.fromisoformat)


def _calendar(leaf: Leaf, text: str, pattern: str, read: Callable[[str], Moment]) -> Moment:
    _matching(leaf, text, pattern)
    try:
        return read(text)
    except ValueError:
        raise fault("bad-value", say("%(path)s does not exist in the calendar or on the clock"), leaf.mend()) from None


def _decimal(leaf: Leaf, text: str, notation: str | None) -> Decimal:
    value = Decimal(_matching(leaf, text, _signed(leaf, DECIMAL)))
    _check_range(leaf, value)
    return value


def _whole(leaf: Leaf, text: str, notation: str | None) -> int | str:
    if text in leaf.codes:
        return text
    value = int(_matching(leaf, text, _signed(leaf, WHOLE)))
    _check_range(leaf, Decimal(value))
    return value


def _signed(leaf: Leaf, pattern: str) -> str:
    return f"[+-]?{pattern}" if leaf.low is not None and leaf.low < 0 else pattern


def _check_range(leaf: Leaf, value: Decimal) -> None:
    too_low = leaf.low is not None and (value < leaf.low or (leaf.above_low and value == leaf.low))
    if too_low or (leaf.high is not None and value > leaf.high):
        raise fault("out-of-range", say("%(path)s is outside the range that is accepted"), leaf.mend())


Form = Callable[["Leaf", str, str | None], object]

FORMS: Mapping[str, Form] = {
    "yn": _yes_or_no,
    "line": _prose,
    "text": _prose,
    "zone": _zone,
    "coding": _coding,
    "uri": _uri,
    "code": _code,
    "id": _identifier,
    "language": _language,
    "tooth": _tooth,
    "date": _date,
    "time": _time,
    "moment": _moment,
    "decimal": _decimal,
    "int": _whole,
}

_IN_WORDS: Mapping[str, Message] = {
    "line": say("one line of text"),
    "zone": say("the IANA name of a time zone, such as Europe/London"),
    "uri": say("a URI, such as https://codes.example/teeth"),
    "coding": say("a code as system|version|code|display: the system a URI, version and display may be empty"),
    "text": say("text"),
    "code": say("a short name of letters, digits, dots, hyphens or underscores"),
    "id": say("the id of a person or file of this record"),
    "language": say("a language tag such as en, pt-BR or zh-Hant"),
    "tooth": say("a tooth in the declared notation, such as 38 in fdi"),
    "date": say("a date as YYYY-MM-DD"),
    "time": say("a time of day as HH:MM"),
    "moment": say("a date and time as YYYY-MM-DDTHH:MM"),
}


def form_in_words(leaf: Leaf) -> Message:
    """Say how a value of this type is written."""
    if leaf.type == "code" and leaf.pattern == CURRENCY:
        return say("three capital letters, such as EUR")
    if leaf.type not in ("decimal", "int"):
        return _IN_WORDS[leaf.form or leaf.type]
    number = say("a whole number") if leaf.type == "int" else say("a number with a decimal point, such as 2.5")
    if leaf.low is not None and leaf.high is not None:
        return say("%(number)s, from %(low)s to %(high)s", number=number, low=leaf.low, high=leaf.high)
    if leaf.low is not None and leaf.above_low:
        return say("%(number)s, above %(low)s", number=number, low=leaf.low)
    return number
