"""The models > the field dictionary: one entry for each path, for kinds, lint, schema and the blank record."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from functools import cache
from types import MappingProxyType

from docgen.answer import Answer
from docgen.case.leaf import Leaf
from docgen.case.models.root import CaseRecord
from docgen.case.recorded import Recorded, Typed
from docgen.values import dataclass


@dataclass(frozen=True)
class FieldSpec:
    """What is known about one path before any case is read."""

    path: str
    """As kinds write it: `plan.procedures[].tooth`; items of a list of plain values end in `[]`."""
    type: str
    """yn, ynk, yna, ynak, line, text, code, date, time, moment, decimal, int, tooth, id, language, list, code list or
    group."""
    codes: tuple[str, ...]
    """Allowed words, answer words left out."""
    answers: frozenset[Answer]
    who: str
    """Letters of who writes it: C clinic, R receptionist, F referrer, S surgeon; spaces between."""
    example: str
    description: str


@cache
def field_specs() -> Mapping[str, FieldSpec]:
    """Give every field by its path pattern, in the order of the record; a group or list stands before its parts."""
    return MappingProxyType({spec.path: spec for spec in _walk(CaseRecord, "")})


def _walk(model: type[Recorded], prefix: str) -> Iterator[FieldSpec]:
    for name, part in model.parts.items():
        told = (part.told.who, part.told.example, part.told.description)
        yield from _entries(f"{prefix}.{name}" if prefix else name, part.typed, told)


def _entries(path: str, typed: Typed, told: tuple[str, str, str]) -> Iterator[FieldSpec]:
    mark = typed.mark
    if isinstance(mark, Leaf):
        yield FieldSpec(path, mark.type_name, mark.codes, mark.answers, *told)
    elif typed.model is not None:
        yield FieldSpec(path, "group", (), mark.answers, *told)
        yield from _walk(typed.model, path)
    elif typed.item is not None:
        inner = typed.item.mark
        codes = inner.codes if isinstance(inner, Leaf) and inner.type == "code" else ()
        yield FieldSpec(path, "code list" if codes else "list", codes, mark.answers, *told)
        yield from _entries(f"{path}[]", typed.item, (told[0], "", told[2]))
