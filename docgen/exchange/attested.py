"""
A kept bundle and a second signature > the bundle of the countersigned file: its digest and size, and who answers too.

Apart from `bundle`, because the case is not composed again: the document is as it was signed first.
"""

from __future__ import annotations

import json

from docgen.exchange.case_file import canonical
from docgen.exchange.elements import URIS, Element, instant
from docgen.exchange.registered import IssuedFile, Registered


def attested(content: bytes, before: IssuedFile, after: IssuedFile, registered: Registered, signer: str) -> bytes:
    """
    Write a kept bundle again for a file that stands in the place of another.

    `registered`: at the moment of the second signature; `signer`: id of the practitioner who made it.
    """
    told = json.loads(content.decode().replace(before.digest, after.digest))
    party = f"urn:uuid:{registered.uuid(f'practitioner/{signer}')}"
    is_there = any(entry["fullUrl"] == party for entry in told["entry"])
    for entry in told["entry"]:
        one = entry["resource"]
        if one["resourceType"] == "DocumentReference" and after.digest in str(one["identifier"]):
            _renew(one, after, registered)
        if one["resourceType"] == "Composition" and is_there:
            attester = {"mode": "professional", "time": instant(registered.at), "party": {"reference": party}}
            one["attester"] = [*one.get("attester", ()), attester]
    told["id"] = registered.uuid(f"bundle/{told['id']}/{after.digest}")
    told["identifier"] = {"system": URIS, "value": f"urn:uuid:{told['id']}"}
    told["timestamp"] = instant(registered.at)
    return canonical(told)


def _renew(one: Element, file: IssuedFile, registered: Registered) -> None:
    """Let a reference to a document tell of its new file."""
    one["masterIdentifier"]["value"] = f"urn:uuid:{registered.uuid(f'file/{file.name}/{file.digest}')}"
    one["date"] = instant(registered.at)
    for part in one["content"]:
        part["attachment"] |= {"size": file.size, "creation": instant(registered.at)}
