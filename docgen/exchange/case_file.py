"""
The fields a document carries > case.json, which docgen itself reads as a case, and the words that mark it in a PDF.

Canonical as RFC 8785 wants it: keys in order, no space, UTF-8; every leaf is a text, as in the record.
"""

from __future__ import annotations

import hashlib
import json
import re
from collections.abc import Iterable

from docgen.case import Case
from docgen.exchange.carried import Scope, carried
from docgen.values import dataclass

CASE_NAME, CASE_TYPE = "case.json", "application/json"

FORM = 1
"""Edition of the mark; a reader refuses one it does not know."""

_MARK = re.compile(r"docgen case (?P<form>[0-9]{1,3}); (?P<kind>[a-z0-9-]{1,64}); sha-256 (?P<digest>[0-9a-f]{64})")


@dataclass(frozen=True)
class CaseMark:
    """What the description of an embedded case says about it."""

    form: int
    kind: str
    digest: str
    """SHA-256 of its bytes: finds damage, proves no origin."""


def case_json(case: Case, patterns: Scope | Iterable[str]) -> bytes:
    """Write the fields that a document carries, and nothing else: no setting, no other tooth, no later entry."""
    scope = patterns if isinstance(patterns, Scope) else Scope(tuple(patterns))
    return canonical(carried(case, scope))


def canonical(tree: object) -> bytes:
    """Write JSON of texts, whole numbers, lists and groups in its one form."""
    return json.dumps(tree, sort_keys=True, ensure_ascii=False, separators=(",", ":"), allow_nan=False).encode()


def case_mark(content: bytes, kind: str) -> str:
    """Word the description of an embedded case, by which another docgen knows it."""
    return f"docgen case {FORM}; {kind}; sha-256 {hashlib.sha256(content).hexdigest()}"


def read_mark(description: str) -> CaseMark | None:
    """Read such a description; None for any other."""
    found = _MARK.fullmatch(description)
    return CaseMark(int(found["form"]), found["kind"], found["digest"]) if found else None
