"""The group `own` > the fields a clinic added for its kinds, typed as the clinic declared them."""

from __future__ import annotations

from collections.abc import Mapping

from docgen.answer import Answer
from docgen.case.faults import Fault, about
from docgen.case.gate import Gate
from docgen.case.leaf import Leaf
from docgen.case.tree import Grouping, Node, TakenOut, join
from docgen.problem import say

OWN_TYPES = ("yn", "line", "text", "date", "int", "decimal", "code")


def own_leaf(type_name: str, codes: tuple[str, ...] = ()) -> Leaf:
    """
    Type a field as a kind declares it; texts and codes admit `none`, everything but yn admits `not_known`.

    Errors: KeyError for a type that is not one of OWN_TYPES.
    """
    if type_name not in OWN_TYPES:
        raise KeyError(type_name)
    answers = {Answer.NONE, Answer.NOT_KNOWN} if type_name in ("line", "text", "code") else {Answer.NOT_KNOWN}
    return Leaf(type_name, frozenset() if type_name == "yn" else frozenset(answers), codes)


def read_own(node: Node | None, leaves: Mapping[str, Leaf], gate: Gate) -> Mapping[str, object]:
    """Read the added fields; a faulty one is reported and taken out."""
    found: dict[str, object] = {}
    if node is not None:
        _read("own", node, leaves, gate, found)
    return found


def _read(path: str, node: Node, leaves: Mapping[str, Leaf], gate: Gate, found: dict[str, object]) -> None:
    if isinstance(node, TakenOut):
        return
    raw = gate.plain(node, path)
    if path in leaves:
        try:
            found[path] = leaves[path].read(raw)
        except Fault as error:
            gate.report(error.code, path, about(error.what, path), about(error.fix, path))
        return
    if not any(known.startswith(f"{path}.") for known in leaves):
        gate.unknown(path, leaves)
    elif isinstance(node, Grouping) and node.entries:
        for key, entry in node.entries.items():
            gate.places[join(path, key)] = entry.place
            _read(join(path, key), entry.node, leaves, gate, found)
    else:
        what = say("%(path)s is a group of fields, but something else stands there", path=path)
        gate.report("bad-value", path, what, say("write the fields of the group under it, indented"))
