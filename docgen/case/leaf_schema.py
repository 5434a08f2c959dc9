"""
A type of field > its JSON Schema for editors.

An editor types YAML before it checks it, so a number, or a yes that became true, must pass where our reader sees text.
"""

from __future__ import annotations

from decimal import Decimal
from typing import Any

from docgen.case import leaf_forms

_PATTERNS = {
    "id": leaf_forms.IDENTIFIER,
    "language": leaf_forms.LANGUAGE,
    "date": leaf_forms.DATE,
    "time": leaf_forms.TIME,
    "moment": f"{leaf_forms.DATE}T{leaf_forms.TIME}",
    "tooth": leaf_forms.ANY_TOOTH,
    "decimal": rf"[+-]?{leaf_forms.DECIMAL}",
    "int": rf"[+-]?{leaf_forms.WHOLE}",
}
_TYPED_AS = {"decimal": "number", "int": "integer", "tooth": "integer"}
_LONGEST = {"line": 200, "text": 10_000}


def leaf_schema(
    type_name: str,
    choices: tuple[str, ...],
    *,
    low: Decimal | None,
    high: Decimal | None,
    pattern: str,
    codes: tuple[str, ...],
) -> dict[str, Any]:
    """Describe one leaf: the words it admits, its form, and what an editor may have made of it."""
    forms: list[dict[str, Any]] = []
    if choices:
        forms.append({"enum": list(choices)})
    if {"yes", "no"} & set(choices):
        forms.append({"type": "boolean"})
    if type_name in _LONGEST:
        forms.append({"type": "string", "minLength": 1, "maxLength": _LONGEST[type_name]})
        forms.append({"type": "number"})
    elif type_name in _PATTERNS or (type_name == "code" and not codes):
        form = _PATTERNS.get(type_name) or pattern or leaf_forms.IDENTIFIER
        forms.append({"type": "string", "pattern": f"^(?:{form})$"})
    if type_name in _TYPED_AS:
        forms.append({"type": _TYPED_AS[type_name], **_limits(type_name, low, high)})
    elif type_name in ("id", "code") and not codes:
        forms.append({"type": "integer"})
    return forms[0] if len(forms) == 1 else {"anyOf": forms}


def _limits(type_name: str, low: Decimal | None, high: Decimal | None) -> dict[str, Any]:
    if type_name == "tooth":
        return {}
    limits = {"minimum": low, "maximum": high}
    # the standard encoder knows no Decimal; these limits are small whole numbers
    return {key: int(limit) for key, limit in limits.items() if limit is not None}
