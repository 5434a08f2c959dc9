"""
The case's, the clinic's and the approvals' files > one case, and a problem for everything that is wrong in them.

Nothing raises for bad input: the later gates run on what is left.
"""

from __future__ import annotations

import hashlib
import json
import unicodedata
from collections.abc import Mapping
from typing import Any

from docgen.case.approvals import read_approvals
from docgen.case.case import Case
from docgen.case.gate import Gate
from docgen.case.leaf import Leaf
from docgen.case.leaf_forms import TOOTH
from docgen.case.merge import as_group, clinic_part, grown, merge
from docgen.case.models.root import CaseRecord
from docgen.case.own import read_own
from docgen.case.read_file import ReadFile, read_file
from docgen.case.read_settings import read_settings
from docgen.case.settings import Setting
from docgen.case.specs import field_specs
from docgen.case.tree import Entry, Grouping, Node, Scalar, Source, TakenOut
from docgen.problem import Place, Problems


def read_case(
    case_source: Source,
    clinic_source: Source | None,
    approvals_source: Source | None,
    problems: Problems,
    own: Mapping[str, Leaf] | None = None,
    entered: Mapping[str, str] | None = None,
) -> Case:
    """
    Read the files of one case into typed fields; a faulty leaf is reported, taken out, and the rest is built.

    `own` are the fields a clinic added for its kinds, by full path (`own.<kind>.<name>`); `entered` are leaves that
    come to be in this moment, as the moment of signing does: they stand in no file yet.
    """
    case_file = read_file(case_source, problems)
    gate = Gate(problems, faulty=set(case_file.faulty))
    tree, readable = as_group(case_file, problems), case_file.readable and isinstance(case_file.root, Grouping)
    if clinic_source is not None:
        clinic_file = read_file(clinic_source, problems)
        gate.faulty |= clinic_file.faulty
        readable = readable and clinic_file.readable
        tree = _with_clinic(tree, clinic_file, problems, gate)
    if entered:
        tree = merge(tree, grown(entered, "entered now"), problems, gate.faulty)
    settings = read_settings(_node(tree.entries.pop("settings", None)), gate)
    own_values = read_own(_node(tree.entries.pop("own", None)), own or {}, gate)
    plain = gate.plain(tree) if tree.entries else {}
    fields = gate.build(CaseRecord, plain, _notation(plain), field_specs)
    return Case(
        fields=fields,
        digest=_digest_of(plain, settings, own_values),
        settings=settings,
        approvals=() if approvals_source is None else read_approvals(approvals_source, problems),
        own=own_values,
        faulty=frozenset(gate.faulty),
        readable=readable,
        start=Place(case_source.name, 1, 1),
        places=gate.places,
        left_out={path: frozenset(numbers) for path, numbers in gate.left_out.items()},
    )


def _with_clinic(tree: Grouping, clinic_file: ReadFile, problems: Problems, gate: Gate) -> Grouping:
    clinic = clinic_part(as_group(clinic_file, problems), problems, gate.faulty)
    return merge(tree, clinic, problems, gate.faulty)


def _node(entry: Entry | None) -> Node | None:
    return None if entry is None else entry.node


def _notation(plain: dict[str, Any]) -> str | None:
    """Find the declared notation before the model is built, because every tooth number hangs on it."""
    record = plain.get("record")
    declared = record.get("tooth_notation") if isinstance(record, dict) else None
    text = declared.text.strip() if isinstance(declared, Scalar) else None
    return text if text in TOOTH else None


def _digest_of(plain: dict[str, Any], settings: Mapping[str, Setting], own: Mapping[str, object]) -> str:
    written = {name: vars(one) for name, one in settings.items()}
    return _digest({"fields": _canonical(plain), "settings": written, "own": own})


def _canonical(plain: Any) -> Any:
    if isinstance(plain, dict):
        return {key: _canonical(value) for key, value in plain.items()}
    if isinstance(plain, list):
        return [_canonical(item) for item in plain]
    if isinstance(plain, TakenOut):
        return None
    return unicodedata.normalize("NFC", plain.text)


def _digest(content: object) -> str:
    text = json.dumps(content, sort_keys=True, ensure_ascii=True, separators=(",", ":"), default=str)
    return hashlib.sha256(text.encode("ascii")).hexdigest()
