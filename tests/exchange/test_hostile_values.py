"""Whatever somebody typed into any field, the bundle is R4 and holds it as text, with or without the page's paths."""

from __future__ import annotations

import json
from typing import Any

import pytest
from bundles import PDF, Told, issued, one, resources
from definitions import faults, validator
from hypothesis import given, settings
from hypothesis import strategies as st

from docgen.case import Source, field_specs, read_case
from docgen.case.characters import bad_character, is_blank
from docgen.exchange import bundle
from docgen.kept import from_bytes, to_bytes
from docgen.problem import Problems

SIGNS = ("<", ">", "&", '"', "'", "]]>", "<!--", "&#0;", "{{x}}", "a", " ", "\n")
SCRIPTS = ("\u00a0", "\u200d", "\u05d0", "\U0001f9b7")
TYPED = st.lists(st.sampled_from(SIGNS + SCRIPTS), min_size=1, max_size=8).map("".join)
DOCUMENTS = (("holloway", "referral"), ("kestrelmoor", "operative-note"), ("malvasio", "consent"))


def _filled(tree: Any, typed: str, path: str = "") -> Any:
    """Write a text into every field for prose."""
    if isinstance(tree, dict):
        return {name: _filled(value, typed, f"{path}.{name}" if path else name) for name, value in tree.items()}
    if isinstance(tree, list):
        return [_filled(value, typed, f"{path}[]") for value in tree]
    spec = field_specs().get(path)
    is_free = spec is not None and spec.type in ("line", "text") and path != "clinic.time_zone"
    return (typed if spec and spec.type == "text" else typed.replace("\n", " ")) if is_free else tree


def _shown(typed: str) -> str:
    return typed.replace("\n", " ").strip(" ").replace("\u00a0", " ")


def _told(told: Told, typed: str) -> dict[str, Any]:
    tree = _filled(json.loads(told.case_json()), typed)
    case = read_case(Source("case.json", json.dumps(tree).encode(), is_json=True), None, None, Problems())
    content = bundle(case, told.kind, told.stated, told.document, issued(case, files=(PDF,)), told.phrases)
    found: dict[str, Any] = json.loads(content)
    return found


@settings(max_examples=12, deadline=None)
@given(typed=TYPED, document=st.sampled_from(DOCUMENTS))
def test_every_field_holds_whatever_was_typed(typed: str, document: tuple[str, str]) -> None:
    """Texts stay texts, narratives stay well formed, and the schema holds; a field that was refused leaves no trace."""
    content = _told(one(*document, "clinic" if document[1] == "consent" else ""), typed)
    is_refused = is_blank(typed.strip(" \n")) or bad_character(typed, many_lines=True) is not None

    assert [] == faults(content)
    assert [] == [str(error) for error in validator().iter_errors(content)]
    assert is_refused or _shown(typed) == resources(content, "Patient")[0]["name"][0]["family"]


@pytest.mark.parametrize("document", DOCUMENTS[:2])
def test_a_kept_document_gives_a_sound_bundle(document: tuple[str, str]) -> None:
    """A document read back from the register has forgotten the fields of its words; nothing is lost by that."""
    told = one(*document)
    kept = from_bytes(to_bytes(told.document))
    content = json.loads(bundle(told.case, told.kind, told.stated, kept, issued(told.case), told.phrases))
    before = told.read()

    assert [] == faults(content)
    assert {e["resource"]["id"] for e in before["entry"]} == {e["resource"]["id"] for e in content["entry"]}
