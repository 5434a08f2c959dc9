"""The group `settings` > each setting by name, checked against its specification."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from docgen.case.faults import Fault, about
from docgen.case.gate import Gate
from docgen.case.leaf import Leaf
from docgen.case.settings import Setting, find_setting, setting_specs
from docgen.case.tree import Node, Scalar, TakenOut, join
from docgen.problem import say

_BY = Leaf("line")
_ON = Leaf("date")


def read_settings(node: Node | None, gate: Gate) -> Mapping[str, Setting]:
    """Read what the clinic chose; a faulty choice is reported and taken out."""
    if node is None or isinstance(node, TakenOut):
        return {}
    raw = gate.plain(node, "settings")
    if not isinstance(raw, dict):
        code = "empty-field" if isinstance(raw, Scalar) and not raw.text else "bad-value"
        what = say("%(path)s is not a group of settings", path="settings")
        gate.report(code, "settings", what, say("write one setting on each line: its name, value, by and on"))
        return {}
    found = {name: _read_one(name, value, gate) for name, value in raw.items()}
    return {name: setting for name, setting in found.items() if setting is not None}


def _read_one(name: str, raw: object, gate: Gate) -> Setting | None:
    path = join("settings", name)
    spec = find_setting(name)
    if spec is None:
        gate.unknown(path, [f"settings.{known}" for known in setting_specs()])
        return None
    if not isinstance(raw, dict):
        code = "empty-field" if isinstance(raw, Scalar) and not raw.text else "bad-value"
        what = say("%(path)s is not a group of value, by and on", path=path)
        gate.report(code, path, what, say("write {value: ..., by: who approved it, on: YYYY-MM-DD}"))
        return None
    leaves = {"value": spec.leaf, "by": _BY, "on": _ON}
    for key in [key for key in raw if key not in leaves]:
        gate.unknown(join(path, key), [f"{path}.{known}" for known in leaves])
    values = {key: _read_leaf(join(path, key), raw.get(key), leaf, gate) for key, leaf in leaves.items()}
    if values["value"] is None:
        return None
    return Setting(value=raw["value"].text.strip(), by=values["by"] or "", on=values["on"])


def _read_leaf(path: str, raw: object, leaf: Leaf, gate: Gate) -> Any:
    if raw is None:
        if path not in gate.faulty:
            gate.report("missing-field", path, say("%(path)s is missing", path=path), leaf.mend())
        return None
    try:
        return leaf.read(raw)
    except Fault as error:
        gate.report(error.code, path, about(error.what, path), about(error.fix, path))
        return None
