"""The models > JSON Schema (draft 2020-12), so that an editor completes and checks the YAML while it is typed."""

from __future__ import annotations

import re
from typing import Any

from docgen.case.merge import CLINIC_KEYS
from docgen.case.models.root import CaseRecord
from docgen.case.settings import SettingSpec, setting_specs

DRAFT = "https://json-schema.org/draft/2020-12/schema"


def case_schema() -> dict[str, Any]:
    """Describe a case record; required fields are not in it, because kinds decide about them."""
    schema = _tidy(CaseRecord.model_json_schema())
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
    schema["$defs"] = kept
    return {**schema, "title": "Clinic", "description": "What never changes from case to case"}


def _quoted(part: Any) -> str:
    return str(part).replace("'", '"')


def _tidy(part: Any) -> Any:
    """Take out what an editor would show wrongly: titles made of Python names, and null, which no record may hold."""
    if isinstance(part, list):
        return [_tidy(item) for item in part]
    if not isinstance(part, dict):
        return part
    return {
        key: {name: _tidy(inner) for name, inner in value.items()} if key in ("properties", "$defs") else _tidy(value)
        for key, value in part.items()
        if not (key == "title" and isinstance(value, str)) and not (key == "default" and value is None)
    }


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
