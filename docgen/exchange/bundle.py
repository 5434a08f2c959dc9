"""A composed document, its case and its number > a FHIR R4 (4.0.1) document Bundle, as canonical JSON."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator, Mapping
from typing import Any

from docgen.blocks import Document
from docgen.case import Case, Source, read_case
from docgen.exchange.carried import scope_of
from docgen.exchange.case_file import CASE_NAME, canonical, case_json
from docgen.exchange.composition import ENTERED_IN_ERROR, file_state, tell_composition, tell_files
from docgen.exchange.elements import URIS, Element, instant
from docgen.exchange.health import LISTS, tell_health
from docgen.exchange.medicines import tell_medicines
from docgen.exchange.people import tell_people
from docgen.exchange.registered import Phrases, Registered
from docgen.exchange.telling import Entries, Telling
from docgen.exchange.treatment import tell_treatment
from docgen.facts import Result
from docgen.kinds import DocumentKind
from docgen.problem import Problems

_SPACES = re.compile(r"[^\S \t\r\n]")

BUNDLE_NAME, BUNDLE_TYPE = "bundle.json", "application/fhir+json"


def bundle(
    case: Case,
    kind: DocumentKind,
    stated: Mapping[str, Result],
    document: Document,
    registered: Registered,
    phrases: Phrases,
    *,
    dated: bool = True,
) -> bytes:
    """
    Write one numbered document as a FHIR document: Composition first, then what it points to, and nothing else.

    The same arguments give the same bytes. With files in `registered` it holds a DocumentReference for each; a bundle
    that goes inside the PDF cannot, because no file holds its own digest.
    """
    scope = scope_of(kind, case, stated, dated=dated)
    held = read_case(Source(CASE_NAME, case_json(case, scope), is_json=True), None, None, Problems())
    telling = Telling(held, case, kind, document, registered, phrases, Entries(registered))
    tell_people(telling)
    tell_health(telling)
    tell_files(telling)
    tell_treatment(telling)
    tell_medicines(telling)
    tell_composition(telling, _lists(scope.patterns))
    return canonical(_with_plain_spaces(_document_bundle(telling)))


def _with_plain_spaces(part: Any, name: str = "") -> Any:
    """Write the spaces of typesetting as plain ones: a FHIR string knows no other; a narrative does."""
    if isinstance(part, dict):
        return {key: _with_plain_spaces(value, key) for key, value in part.items()}
    if isinstance(part, list):
        return [_with_plain_spaces(value) for value in part]
    if isinstance(part, str) and name != "div":
        return _SPACES.sub(" ", part)
    return part


def _lists(patterns: tuple[str, ...]) -> frozenset[str]:
    return frozenset(path for path in LISTS if any(p == path or p.startswith(f"{path}[]") for p in patterns))


def _document_bundle(telling: Telling) -> Element:
    registered, resources = telling.registered, telling.entries.resources
    reached = _reached(telling)
    order = dict.fromkeys(name for name in ("composition", *resources) if name in reached)
    digests = "/".join(file.digest for file in registered.files)
    return {
        "resourceType": "Bundle",
        "id": registered.uuid(f"bundle/{digests}"),
        **({"meta": telling.meta} if telling.meta else {}),
        "identifier": {"system": URIS, "value": f"urn:uuid:{registered.uuid(f'bundle/{digests}')}"},
        "type": "document",
        "timestamp": instant(registered.at),
        "entry": [
            {"fullUrl": f"urn:uuid:{registered.uuid(name)}", "resource": resources[name]}
            for name in dict.fromkeys(order)
        ],
    }


def _reached(telling: Telling) -> frozenset[str]:
    """Find what the Composition leads to, directly or through others: a document bundle holds nothing more."""
    resources = telling.entries.resources
    names = {telling.entries.reference(name)["reference"]: name for name in resources}
    reached, ahead = {"composition"}, ["composition"]
    while ahead:
        for target in _references(resources[ahead.pop()]):
            name = names[target]
            if name not in reached:
                reached.add(name)
                ahead.append(name)
    return frozenset(reached)


def _references(part: Any) -> Iterator[str]:
    if isinstance(part, dict):
        if isinstance(part.get("reference"), str):
            yield part["reference"]
        for value in part.values():
            yield from _references(value)
    elif isinstance(part, list):
        for value in part:
            yield from _references(value)


def restated(content: bytes, registered: Registered) -> bytes:
    """
    Write a kept bundle again with what became of its document since: superseded, withdrawn, entered in error.

    Nothing else of it changes but the address of the bundle itself, because a document bundle never changes.
    """
    told = json.loads(content)
    for entry in told["entry"]:
        one = entry["resource"]
        if one["resourceType"] == "DocumentReference":
            one["status"] = file_state(registered)
        if registered.is_error and one["resourceType"] in ("Composition", "ServiceRequest", "Consent"):
            one["status"] = ENTERED_IN_ERROR
        if registered.is_error and one["resourceType"] == "DocumentReference":
            one["docStatus"] = ENTERED_IN_ERROR
        if registered.state == "withdrawn" and one["resourceType"] == "Consent" and not registered.is_error:
            one["status"] = "inactive"
    told["id"] = registered.uuid(f"bundle/{told['id']}/{registered.state}/{registered.reason}")
    told["identifier"] = {"system": URIS, "value": f"urn:uuid:{told['id']}"}
    return canonical(told)
