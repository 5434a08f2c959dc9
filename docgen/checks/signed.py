"""
What no record can cause: documents of different editions in one pack, and a note that changed behind its signature.

Each function is given all it compares; whoever holds the earlier digest or the other documents calls it.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterator, Mapping, Sequence

from docgen.answer import Answer
from docgen.case import Case, field_specs
from docgen.problem import Problem, say

AFTER_SIGNATURE = (
    "operation.addenda", "operation.discharged_at", "operation.discharge_state", "operation.checklist.sign_out_at"
)  # fmt: skip
"""Fields that are still written once the note is signed."""
SECOND_SIGNER = ("operation.supervisor_signed_by", "operation.supervisor_signed_at")
"""What the supervisor's signature adds to them; that there is none (`not_applicable`) is said before, or never."""


def figures_edition(editions: Mapping[str, Sequence[str]]) -> Problem | None:
    """
    Refuse a pack whose documents were composed with different editions of the figures.

    `editions` gives the tables of each document ("likelihood-base 1") by its label.
    """
    if len({tuple(sorted(tables)) for tables in editions.values()}) < 2:
        return None
    return Problem(
        "figures-edition",
        "",
        say("the documents of the pack were made with different editions of the figures"),
        say("compose the pack again"),
        needed_by=tuple(editions),
    )


def edited_after_signature(case: Case, digest_at_signature: str) -> Problem | None:
    """Refuse a note whose printed fields are not those that were signed (`signed_digest` of that moment)."""
    if signed_digest(case) == digest_at_signature:
        return None
    return Problem(
        "edited-after-signature",
        "operation",
        say("a field of operation was changed after operation.signed_at"),
        say("put it back as it was signed, and write an addendum under operation.addenda"),
        case.place("operation"),
        ("operative-note",),
    )


def signed_digest(case: Case) -> str:
    """Give the SHA-256 of what the operative note says of the operation; what is added after signing does not count."""
    return hashlib.sha256(json.dumps(dict(_signed_fields(case)), sort_keys=True).encode()).hexdigest()


def _signed_fields(case: Case) -> Iterator[tuple[str, str]]:
    for pattern, spec in field_specs().items():
        if not pattern.startswith("operation.") or pattern.startswith(AFTER_SIGNATURE):
            continue
        for path in case.expand(pattern):
            value = case.value(path)
            if pattern in SECOND_SIGNER and not isinstance(value, Answer):
                continue
            if value == () or isinstance(value, Answer):
                yield path, "none" if value == () else str(value)
            elif value is not None and spec.type not in ("group", "list", "code list"):
                yield path, str(value)
