"""
A checker of our own for FHIR R4, made from the official StructureDefinitions.

Neither the official JSON schema nor fhir.resources holds status codes, required elements, calendar days and targets of
references together; this one does, for the resources we write, and nothing more.
"""

from __future__ import annotations

import gzip
import json
import re
from collections.abc import Iterator
from datetime import date, datetime
from functools import cache
from pathlib import Path
from typing import Any

import jsonschema_rs
from lxml import etree

R4 = Path(__file__).parent / "r4"
XHTML = re.compile("div|h[1-4]|p|b|i|ul|ol|li|dl|dt|dd|table|caption|thead|tbody|tr|t[hd]|br|a|span")
TEXTS = re.compile("string|markdown|code|uri|url|canonical|id|oid|uuid|base64Binary|xhtml|date|dateTime|instant|time")
MOMENT = re.compile(r"\d{4}(-\d\d(-\d\d(T\d\d:\d\d:\d\d(\.\d+)?(Z|[+-]\d\d:\d\d))?)?)?")


@cache
def definitions() -> dict[str, dict[str, dict[str, Any]]]:
    """Read the elements of each resource and type, by path."""
    found: dict[str, dict[str, dict[str, Any]]] = json.loads(gzip.decompress((R4 / "definitions.json.gz").read_bytes()))
    return found


@cache
def schema() -> dict[str, Any]:
    """Read the official JSON schema."""
    found: dict[str, Any] = json.loads(gzip.decompress((R4 / "fhir.schema.json.gz").read_bytes()))
    return found


@cache
def validator() -> Any:
    """Build the validator of the official JSON schema."""
    return jsonschema_rs.validator_for(schema())


def faults(bundle: dict[str, Any]) -> list[str]:
    """List everything in a bundle that R4 does not allow."""
    known = {entry["fullUrl"]: entry["resource"] for entry in bundle["entry"]}
    found = list(_Walk(known).resource(bundle, "Bundle"))
    return found + list(_of_document(bundle, known)) + [one for r in known.values() for one in _invariants(r)]


class _Walk:
    def __init__(self, known: dict[str, dict[str, Any]]) -> None:
        self._known = known

    def resource(self, resource: dict[str, Any], where: str) -> Iterator[str]:
        """Check a resource against the definition of its type."""
        type_ = resource.get("resourceType", "")
        if type_ not in definitions():
            yield f"{where}: no resource of type {type_!r}"
            return
        content = {name: value for name, value in resource.items() if name != "resourceType"}
        yield from self._group(content, type_, type_, where)

    def _group(self, value: Any, type_: str, path: str, where: str) -> Iterator[str]:
        if not isinstance(value, dict) or not value:
            yield f"{where}: {path} is no group, or an empty one"
            return
        held = definitions()[type_]
        children = {p.removeprefix(f"{path}."): e for p, e in held.items() if p.rpartition(".")[0] == path}
        seen = set()
        for name, content in value.items():
            child = next((c for c in children if c == name or _is_choice(c, name)), None)
            if child is None:
                yield f"{where}: {path} has no element {name}"
                continue
            seen.add(child)
            element = children[child]
            kinds = element.get("types", [])
            if child.endswith("[x]"):
                kinds = [kind for kind in kinds if name == child[:-3] + kind[0].upper() + kind[1:]]
            yield from self._element(content, element, kinds, type_, f"{path}.{child}", f"{where}.{name}")
        yield from (f"{where}: {path}.{c} is missing" for c, e in children.items() if e["min"] and c not in seen)

    def _element(
        self, value: Any, element: dict[str, Any], kinds: list[str], type_: str, path: str, where: str
    ) -> Iterator[str]:
        if (element["max"] == "*") != isinstance(value, list) or value == []:
            yield f"{where}: {path} is a list, or is none, or is an empty one"
            return
        for one in value if isinstance(value, list) else [value]:
            if "content" in element:
                yield from self._group(one, type_, element["content"], where)
            elif kinds in (["BackboneElement"], ["Element"]):
                yield from self._group(one, type_, path, where)
            elif kinds == ["Resource"]:
                yield from self.resource(one, where)
            elif kinds and kinds[0] in definitions():
                yield from self._group(one, kinds[0], kinds[0], where)
            else:
                yield from (f"{where}: {one!r} is no {kinds}" for _ in range(not _is_primitive(one, kinds)))
            yield from self._codes(one, element, where)
            yield from self._target(one, element, where) if kinds == ["Reference"] else ()

    def _codes(self, value: Any, element: dict[str, Any], where: str) -> Iterator[str]:
        codes = element.get("codes")
        said = [one.get("code") for one in value.get("coding", [])] if isinstance(value, dict) else [value]
        if codes and said and not set(said) <= set(codes):
            yield f"{where}: {said} is not among {codes}"

    def _target(self, value: dict[str, Any], element: dict[str, Any], where: str) -> Iterator[str]:
        if set(value) == {"display"}:
            return  # words alone point nowhere
        if "reference" in value:
            target = self._known.get(value["reference"])
            type_ = target["resourceType"] if target else "nothing in this bundle"
        else:
            type_ = value.get("type", "an untyped reference")
        if type_ not in element.get("targets", []) and element.get("targets") != ["Resource"]:
            yield f"{where}: points to {type_}, not to one of {element.get('targets')}"
        elif type_ == "nothing in this bundle":
            yield f"{where}: points to {type_}"


def _is_choice(child: str, name: str) -> bool:
    return child.endswith("[x]") and name.startswith(child[:-3]) and name[len(child) - 3 : len(child) - 2].isupper()


def _is_primitive(value: Any, kinds: list[str]) -> bool:
    kind = kinds[0] if len(kinds) == 1 else ""
    if kind == "boolean":
        return isinstance(value, bool)
    if kind in ("decimal", "integer", "positiveInt", "unsignedInt"):
        return (
            isinstance(value, int | float)
            and not isinstance(value, bool)
            and (kind == "decimal" or value == int(value))
        )
    if not TEXTS.fullmatch(kind) or not isinstance(value, str) or not value.strip():
        return False
    if kind in ("date", "dateTime", "instant"):
        return _is_moment(value, kind)
    if kind in ("uri", "url", "canonical", "id", "oid", "uuid"):
        return re.fullmatch(r"\S+", value) is not None
    if kind in ("string", "markdown") and re.search(r"[^\S \t\r\n]", value):
        return False
    if kind == "code":
        return re.fullmatch(r"\S+( \S+)*", value) is not None
    return kind != "xhtml" or _is_narrative(value)


def _is_moment(value: str, kind: str) -> bool:
    if not MOMENT.fullmatch(value) or ((kind == "instant") != ("T" in value) and kind != "dateTime"):
        return False
    try:
        datetime.fromisoformat(value) if "T" in value else date.fromisoformat((value + "-01-01")[:10])
    except ValueError:
        return False
    return True


def _is_narrative(value: str) -> bool:
    try:
        tree = etree.fromstring(value, etree.XMLParser(resolve_entities=False, no_network=True))
    except etree.XMLSyntaxError:
        return False
    names = {etree.QName(one).localname for one in tree.iter()}
    attributes = {name.rpartition("}")[2] for one in tree.iter() for name in one.attrib}
    is_div = tree.tag == "{http://www.w3.org/1999/xhtml}div"
    said = "".join(tree.itertext()).strip()
    return is_div and all(map(XHTML.fullmatch, names)) and attributes <= {"lang", "dir", "href"} and said != ""


def _of_document(bundle: dict[str, Any], known: dict[str, Any]) -> Iterator[str]:
    """Hold what a bundle of type document must be."""
    if bundle.get("type") != "document" or set(bundle.get("identifier", {})) != {"system", "value"}:
        yield "no document, or without identifier"
    if "timestamp" not in bundle or bundle["entry"][0]["resource"]["resourceType"] != "Composition":
        yield "no timestamp, or no Composition at its head"
    if len(known) != len(bundle["entry"]):
        yield "two entries with one address"
    yield from (f"{url} is not {one['id']}" for url, one in known.items() if url != f"urn:uuid:{one['id']}")
    reached, ahead = set(), [bundle["entry"][0]["fullUrl"]]
    while ahead:
        url = ahead.pop()
        if url in known and url not in reached:
            reached.add(url)
            ahead += re.findall(r'"reference": "([^"]+)"', json.dumps(known[url]))
    yield from (f"{url} is not reached from the Composition" for url in known if url not in reached)


def _invariants(one: dict[str, Any]) -> Iterator[str]:
    """Hold the invariants of R4 that bear on what we write, by their keys."""
    type_ = one["resourceType"]
    if type_ == "Composition":
        yield from _sections(one.get("section", []))
    if type_ == "AllergyIntolerance" and ("clinicalStatus" not in one):
        yield "ait-1"
    if type_ == "Consent" and not ("policy" in one or "policyRule" in one):
        yield "ppc-1"
    if type_ == "Organization" and not ("identifier" in one or "name" in one):
        yield "org-1"
    if type_ == "Patient" and any(set(c) == {"relationship"} for c in one.get("contact", [])):
        yield "pat-1"


def _sections(sections: list[dict[str, Any]]) -> Iterator[str]:
    for section in sections:
        if not {"text", "entry", "section"} & set(section):
            yield "cmp-1"
        if {"emptyReason", "entry"} <= set(section):
            yield "cmp-2"
        yield from _sections(section.get("section", []))
