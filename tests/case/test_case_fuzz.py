"""Whatever the bytes, reading gives a case and problems with places, never a traceback."""

import json
from typing import Any

from case_texts import LEAVES, record_with
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from docgen.case import Source, read_case
from docgen.case.json_text import read_json
from docgen.case.tree import Grouping, Scalar, TreeBuilder
from docgen.problem import Problems

QUICK = settings(max_examples=150, deadline=None, database=None, suppress_health_check=[HealthCheck.too_slow])
PIECES = st.sampled_from(
    ["record", "patient", "teeth", "settings", "own", ": ", "\n", "  ", "- ", "{", "}", "[", "]", ",", '"', "'", "|",
     ">", "&a ", "*a", "!!str ", "? ", "---\n", "...\n", "%YAML 1.1\n", "#", "\t", "none", "yes", "38", "~", "\\u",
     "\x00",
     "\x85", "\u2028", "\ufeff", "\ue000", "<<", "é", "🦷", "0x", "\r\n"]
)  # fmt: skip
LEAF_VALUES = st.text(max_size=30) | st.integers() | st.booleans() | st.none()
TREES = st.recursive(
    LEAF_VALUES,
    lambda inner: st.lists(inner, max_size=4) | st.dictionaries(st.text(max_size=8), inner, max_size=4),
    max_leaves=20,
)


def _read(raw: bytes, *, is_json: bool) -> None:
    for clinic in (None, Source("clinic.yaml", raw, is_json)):
        problems = Problems()
        case = read_case(Source("case.yaml", raw, is_json), clinic, Source("approvals.yaml", raw, is_json), problems)
        assert len(case.digest) == 64
        for problem in problems:
            assert problem.place is not None
            assert min(problem.place.line, problem.place.column) > 0
            assert problem.in_words()


@QUICK
@given(st.binary(max_size=200), st.booleans())
def test_bytes(raw: bytes, is_json: bool) -> None:
    """Any bytes are read or refused."""
    _read(raw, is_json=is_json)


@QUICK
@given(st.lists(PIECES, max_size=40).map("".join), st.booleans())
def test_pieces_of_yaml_and_json(text: str, is_json: bool) -> None:
    """Any mixture of what the syntaxes are made of is read or refused."""
    _read(text.encode(), is_json=is_json)


@QUICK
@given(st.sampled_from(LEAVES), TREES)
def test_anything_in_any_field(spec: Any, tree: Any) -> None:
    """Any JSON value in the place of any leaf is read or refused."""
    _read(record_with(spec.path, json.dumps(tree)).encode("utf-8", "surrogatepass"), is_json=False)


@QUICK
@given(st.dictionaries(st.text(max_size=8), TREES, max_size=4))
def test_json_is_read_as_the_standard_library_reads_it(tree: dict[str, Any]) -> None:
    """Texts and structure are those of the json module, an independent reader; only its own words are taken out."""
    problems = Problems()
    builder = TreeBuilder(problems)
    read_json(json.dumps(tree, indent=1), "case.json", builder)
    assert _expected(tree) == _plain(builder.root)


def _expected(tree: Any) -> Any:
    if isinstance(tree, dict):
        return {key: _expected(value) for key, value in tree.items()}
    if isinstance(tree, list):
        return [_expected(item) for item in tree]
    return None if tree is None or isinstance(tree, bool) else str(tree)


def _plain(node: Any) -> Any:
    if isinstance(node, Grouping):
        return {key: _plain(entry.node) for key, entry in node.entries.items()}
    if isinstance(node, Scalar):
        return node.text
    return [_plain(item) for item in node.items] if hasattr(node, "items") else None
