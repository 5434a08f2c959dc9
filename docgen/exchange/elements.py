"""Typed values > the small elements of FHIR R4: dates, concepts, names, addresses, references, narratives."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import UTC, date, datetime, time
from decimal import Decimal
from typing import Any, TypeAlias
from zoneinfo import ZoneInfo

Element: TypeAlias = dict[str, Any]

TERMINOLOGY = "http://terminology.hl7.org/CodeSystem/"
"""Code systems of the FHIR specification itself (CC0)."""

LOINC = "http://loinc.org"
UCUM = "http://unitsofmeasure.org"
URIS = "urn:ietf:rfc:3986"
TONGUES = "urn:ietf:bcp:47"

_XHTML = 'xmlns="http://www.w3.org/1999/xhtml"'


def compact(**entries: Any) -> Element:
    """Make an element of the entries that say something; a name that Python keeps for itself ends in _."""
    return {name.removesuffix("_"): value for name, value in entries.items() if value not in (None, "", [], {}, ())}


def day_or_moment(value: object, zone: ZoneInfo | None) -> str | None:
    """
    Write a date, or a moment with its offset.

    A moment whose offset nobody can know (no time zone, or an hour that the clocks strike twice) is its day alone.
    """
    if not isinstance(value, datetime):
        return value.isoformat() if isinstance(value, date) else None
    first, second = (value.replace(tzinfo=zone, fold=fold) for fold in (0, 1))
    if zone is None or first.utcoffset() != second.utcoffset():
        return value.date().isoformat()
    return first.isoformat(timespec="seconds")


def instant(moment: datetime) -> str:
    """Write a moment that knows its offset in UTC."""
    return moment.astimezone(UTC).isoformat(timespec="seconds").replace("+00:00", "Z")


def clock(value: time) -> str:
    """Write a time of day."""
    return value.strftime("%H:%M:%S")


def coding(system: str, code: str, display: str = "", version: str = "") -> Element:
    """Name a code of a system."""
    return compact(system=system, version=version, code=code, display=display)


def concept(text: str, *codings: Element | None) -> Element:
    """Say what something is: its words always, codes where there are any."""
    return compact(coding=[one for one in codings if one], text=text)


def security(*, sample: bool) -> Element | None:
    """Mark invented data as such, so that no system takes them for a person's."""
    test = coding("http://terminology.hl7.org/CodeSystem/v3-ActReason", "HTEST", "test health data")
    return {"security": [test]} if sample else None


def hl7(system: str, code: str) -> Element:
    """Give a concept of one of FHIR's own code systems."""
    return {"coding": [coding(TERMINOLOGY + system, code)]}


def quantity(value: Decimal, unit: str) -> Element:
    """Write a measured amount; the unit is its UCUM code."""
    return {"value": number(value), "unit": unit, "system": UCUM, "code": unit}


def number(value: Decimal) -> int | float:
    """Write a decimal as JSON does: 400, 2.2."""
    return int(value) if value == value.to_integral_value() else float(value)


def human_name(text: str, family: object = None, given: object = None) -> Element:
    """Write a name, in parts where the record has parts."""
    return compact(text=text, family=family, given=[given] if given else None)


def address(lines: object) -> list[Element]:
    """Write a postal address line by line, as it was typed."""
    return [{"text": ", ".join(lines), "line": list(lines)}] if isinstance(lines, tuple) and lines else []


def telecom(phone: object, email: object = None) -> list[Element]:
    """Write telephone and mail as far as they are recorded."""
    pairs = (("phone", phone), ("email", email))
    return [{"system": system, "value": value} for system, value in pairs if isinstance(value, str)]


def escaped(text: str) -> str:
    """Write text inside XHTML; what XML cannot hold becomes a space."""
    clean = "".join(
        c if c >= " " and not "\ud800" <= c <= "\udfff" and c not in "\x7f\ufffe\uffff" else " " for c in text
    )
    return clean.replace("&", "&amp;").replace("<", "&lt;").replace(">", "&gt;").replace('"', "&quot;")


def narrative(inside: str, language: str, direction: str = "ltr") -> Element:
    """Wrap XHTML that is safe already."""
    told = f'lang="{language}" xml:lang="{language}"' + (' dir="rtl"' if direction == "rtl" else "")
    return {"status": "generated", "div": f"<div {_XHTML} {told}>{inside}</div>"}


def lines(texts: Iterable[object]) -> str:
    """Write plain texts as paragraphs; absences leave nothing."""
    return "".join(f"<p>{escaped(text)}</p>" for text in texts if isinstance(text, str) and text)
