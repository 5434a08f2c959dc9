"""The models > JSON Schema (draft 2020-12), so that an editor completes and checks the YAML while it is typed."""

from __future__ import annotations

import re
from collections.abc import Iterator
from inspect import cleandoc
from typing import Any

from docgen.case.leaf import Leaf
from docgen.case.merge import CLINIC_KEYS
from docgen.case.models.root import CaseRecord
from docgen.case.recorded import Part, Recorded, Typed
from docgen.case.settings import SettingSpec, setting_specs

DRAFT = "https://json-schema.org/draft/2020-12/schema"


def case_schema() -> dict[str, Any]:
    """Describe a case record; required fields are not in it, because kinds decide about them."""
    below = {one.__name__: _group_schema(one) for one in _models_below(CaseRecord)}
    schema = {"$defs": dict(sorted(below.items())), **_group_schema(CaseRecord)}
    schema["properties"]["settings"] = _settings_schema()
    schema["properties"]["own"] = {"type": "object", "description": "Fields the clinic added for its kinds"}
    return {"$schema": DRAFT, "title": "Case record", **schema}


def clinic_schema() -> dict[str, Any]:
    """Describe the clinic's file: what never changes from case to case."""
    schema = case_schema()
    schema["properties"] = {key: schema["properties"][key] for key in CLINIC_KEYS}
    names = set(re.findall(r'"#/\$defs/(\w+)"', _quoted(schema["properties"])))
    kept: dict[str, Any] = {}
    while names:
        name = names.pop()
        kept[name] = schema["$defs"][name]
        names |= set(re.findall(r'"#/\$defs/(\w+)"', _quoted(kept[name]))) - kept.keys()
    schema["$defs"] = dict(sorted(kept.items()))
    return {**schema, "title": "Clinic", "description": "What never changes from case to case"}


def _quoted(part: Any) -> str:
    return str(part).replace("'", '"')


def _group_schema(model: type[Recorded]) -> dict[str, Any]:
    properties = {name: _part_schema(part) for name, part in model.parts.items()}
    told = cleandoc(model.__doc__ or "")
    return {"additionalProperties": False, "description": told, "properties": properties, "type": "object"}


def _part_schema(part: Part) -> dict[str, Any]:
    examples = {} if part.typed.model else {"examples": [part.told.example]}
    told = {"description": part.told.description, **examples, "x-who": part.told.who}
    return dict(sorted({**_typed_schema(part.typed), **told}.items()))


def _typed_schema(typed: Typed) -> dict[str, Any]:
    mark = typed.mark
    if isinstance(mark, Leaf):
        return _in_order(mark.describe())
    inner: dict[str, Any] = {}
    if typed.model is not None:
        inner = {"$ref": f"#/$defs/{typed.model.__name__}"}
    elif typed.item is not None:
        most = getattr(mark, "at_most", None)
        limits = {"maxItems": most, "minItems": 1} if most else {"minItems": 1}
        inner = {"items": _typed_schema(typed.item), **limits, "type": "array"}
    return {"anyOf": [inner, {"enum": list(mark.answer_words)}]} if mark.answers else inner


def _in_order(schema: dict[str, Any]) -> dict[str, Any]:
    """Sort the names of one leaf's schema, so that the printed form never moves."""
    forms = {"anyOf": [dict(sorted(form.items())) for form in schema["anyOf"]]} if "anyOf" in schema else {}
    return dict(sorted({**schema, **forms}.items()))


def _models_below(model: type[Recorded]) -> Iterator[type[Recorded]]:
    for part in model.parts.values():
        typed: Typed | None = part.typed
        while typed is not None:
            if typed.model is not None:
                yield typed.model
                yield from _models_below(typed.model)
            typed = typed.item


def _settings_schema() -> dict[str, Any]:
    plain = {name: _setting_schema(spec) for name, spec in setting_specs().items() if "<" not in name}
    patterns = {
        "^" + re.sub(r"<\w+>", "[A-Za-z][A-Za-z0-9-]*", re.escape(name)) + "$": _setting_schema(spec)
        for name, spec in setting_specs().items()
        if "<" in name
    }
    return {
        "type": "object",
        "description": "Choices of the clinic, each with who approved it and when",
        "properties": plain,
        "patternProperties": patterns,
        "additionalProperties": False,
    }


def _setting_schema(spec: SettingSpec) -> dict[str, Any]:
    value = spec.leaf.describe()
    if spec.values and any(word.replace(".", "").isdigit() for word in spec.values):
        value = {"anyOf": [value, {"enum": [float(word) if "." in word else int(word) for word in spec.values]}]}
    if {"on", "off"} & set(spec.values):
        value = {"anyOf": [value, {"type": "boolean"}]}
    told = {"description": spec.description}
    if spec.default is not None:
        told["default"] = spec.default
    return {
        **told,
        "type": "object",
        "properties": {
            "value": value,
            "by": {"type": "string", "description": "Who approved it", "minLength": 1, "maxLength": 200},
            "on": {"type": "string", "description": "Day of approval", "pattern": "^[0-9]{4}-[0-9]{2}-[0-9]{2}$"},
        },
        "required": ["value", "by", "on"],
        "additionalProperties": False,
    }
