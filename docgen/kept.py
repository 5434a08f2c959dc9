"""
A composed document > bytes that hold all of it, and back: the exact JSON form that the register keeps.

Apart from the renderers: a copy that says it was superseded or withdrawn is made years later from these bytes alone,
without the case, the templates or the tables of that day.
"""

from __future__ import annotations

import json
from base64 import b64decode, b64encode
from collections.abc import Callable, Mapping
from dataclasses import fields
from datetime import date, datetime
from decimal import Decimal
from fractions import Fraction
from functools import cache
from typing import Any

from docgen import blocks
from docgen.blocks import Document

VERSION = 1
"""Of the form. A program reads every version up to its own."""

FORM = "docgen document"

_SORT = "is"
"""The name under which an object says what it is; no block has a field of that name."""

_BLOCKS: Mapping[str, type[Any]] = {
    name: found for name in blocks.__all__ if isinstance(found := getattr(blocks, name), type)
}

_PLAIN: Mapping[str, tuple[type[Any], Callable[[Any], str], Callable[[str], Any]]] = {
    "bytes": (bytes, lambda value: b64encode(value).decode(), lambda text: b64decode(text, validate=True)),
    "datetime": (datetime, datetime.isoformat, datetime.fromisoformat),
    "date": (date, date.isoformat, date.fromisoformat),
    "decimal": (Decimal, str, Decimal),
    "fraction": (Fraction, str, Fraction),
}
"""Values JSON has no form for, each as a text; a datetime is a date too, so it stands first."""


class KeptFault(ValueError):
    """The bytes are no kept document, or one of a later version; says which, and nothing of the content."""


def to_bytes(document: Document) -> bytes:
    """
    Write a document; the same document gives the same bytes.

    Errors: TypeError for a value a document cannot hold.
    """
    whole = {"form": FORM, "version": VERSION, "document": _written(document)}
    text = json.dumps(whole, ensure_ascii=False, separators=(",", ":"), allow_nan=False)
    return text.encode("utf-8", "surrogatepass")


def from_bytes(content: bytes) -> Document:
    """
    Read a document back: equal to the one that was written.

    Errors: KeptFault.
    """
    try:
        whole = json.loads(content.decode("utf-8", "surrogatepass"))
        version = whole["version"] if whole["form"] == FORM else None
        if version.__class__ is not int or version < 1:
            raise KeptFault("no kept document")
        if version > VERSION:
            raise KeptFault(f"kept by a later program: version {version}, this one reads up to {VERSION}")
        document = _read(whole["document"])
    except KeptFault:
        raise
    except (ValueError, TypeError, LookupError, ArithmeticError, RecursionError) as error:
        raise KeptFault("no kept document") from error
    if not isinstance(document, Document):
        raise KeptFault("no kept document")
    return document


def _written(value: Any) -> Any:
    """Give a value as JSON has it; of a block only what differs from its defaults."""
    if value is None or value.__class__ in (str, bool, int, float):
        return value
    if isinstance(value, tuple):
        return [_written(one) for one in value]
    sort = value.__class__.__name__
    if _BLOCKS.get(sort) is value.__class__:
        held = {_SORT: sort}
        for name, default in _fields(sort):
            one = getattr(value, name)
            if one != default or one.__class__ is not default.__class__:
                held[name] = _written(one)
        return held
    if isinstance(value, Mapping):
        return {_SORT: "map", "pairs": [[_written(key), _written(one)] for key, one in value.items()]}
    for plain, (kind, write, _) in _PLAIN.items():
        if isinstance(value, kind):
            return {_SORT: plain, "value": write(value)}
    raise TypeError(f"a kept document cannot hold a {sort}")


def _read(value: Any) -> Any:
    """Give back what `_written` wrote."""
    if isinstance(value, list):
        return tuple([_read(one) for one in value])
    if not isinstance(value, dict):
        return value
    sort = value.pop(_SORT)
    if sort == "map":
        return {_read(key): _read(one) for key, one in value["pairs"]}
    if sort in _PLAIN:
        return _PLAIN[sort][2](value["value"])
    return _BLOCKS[sort](**{name: _read(one) for name, one in value.items()})


@cache
def _fields(sort: str) -> tuple[tuple[str, Any], ...]:
    """Name the fields of a block with their defaults; a field without one is always written."""
    return tuple((one.name, one.default) for one in fields(_BLOCKS[sort]))
