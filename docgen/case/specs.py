"""The models > the field dictionary: one entry for each path, for kinds, lint, schema and the blank record."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cache
from types import MappingProxyType
from typing import Any, get_args

from pydantic import BaseModel

from docgen.answer import Answer
from docgen.case.leaf import Leaf
from docgen.case.models.root import CaseRecord
from docgen.case.shapes import Group, Items, item_type


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


@cache
def attributes(model: type[BaseModel]) -> Mapping[str, str]:
    """Map the names of a group's fields in the record to those in Python (`with` is `with_`)."""
    return {info.alias or name: name for name, info in model.model_fields.items()}


def marker(annotation: object, metadata: list[Any]) -> Leaf | Group | Items:
    """Find what types a field among the metadata of its annotation."""
    return next(part for part in metadata if isinstance(part, Leaf | Group | Items))


def group_model(annotation: object) -> type[BaseModel]:
    """Find the model that a group's annotation names."""
    members = get_args(annotation) or (annotation,)
    return next(member for member in members if isinstance(member, type) and issubclass(member, BaseModel))


def _walk(model: type[BaseModel], prefix: str) -> Iterator[FieldSpec]:
    for name, python_name in attributes(model).items():
        info = model.model_fields[python_name]
        extra = info.json_schema_extra
        who = str(extra.get("x-who", "")) if isinstance(extra, dict) else ""
        told = (who, str((info.examples or [""])[0]), info.description or "")
        path = f"{prefix}.{name}" if prefix else name
        yield from _entries(path, info.annotation, marker(info.annotation, info.metadata), told)


def _entries(
    path: str, annotation: object, mark: Leaf | Group | Items, told: tuple[str, str, str]
) -> Iterator[FieldSpec]:
    if isinstance(mark, Leaf):
        yield FieldSpec(path, mark.type_name, mark.codes, mark.answers, *told)
    elif isinstance(mark, Group):
        yield FieldSpec(path, "group", (), mark.answers, *told)
        yield from _walk(group_model(annotation), path)
    else:
        item, *metadata = get_args(item_type(annotation))
        inner = marker(item, metadata)
        is_codes = isinstance(inner, Leaf) and inner.type == "code" and bool(inner.codes)
        codes = inner.codes if isinstance(inner, Leaf) and is_codes else ()
        yield FieldSpec(path, "code list" if is_codes else "list", codes, mark.answers, *told)
        yield from _entries(f"{path}[]", item, inner, (told[0], "", told[2]))
