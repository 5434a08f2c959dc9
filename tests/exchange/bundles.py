"""The examples as the exchange sees them: each composed once, with what the register would say of it."""

from __future__ import annotations

import json
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import UTC, datetime
from functools import cache
from typing import Any

from conftest import ISSUED_ON, LANGUAGES, example_files, shipped_world

from docgen.case import Case, Source, read_case
from docgen.exchange import IssuedFile, Phrases, Registered, bundle, case_json, scope_of
from docgen.generate import Wish, compose_all
from docgen.kinds import read_words
from docgen.problem import Problems

REGISTER = "0f0e0d0c-1111-4222-8333-444444444444"
PDF = IssuedFile("pdf", "application/pdf", "ab" * 32, 40_321)
KINDS = ("consent", "operative-note", "physician-query", "referral", "reply")
"""Kinds whose data may leave the clinic."""


@dataclass(frozen=True)
class Told:
    """One document of an example, ready to be exchanged."""

    name: str
    case: Case
    kind: Any
    asked: Any
    document: Any
    phrases: Phrases

    @property
    def stated(self) -> Any:
        """The facts of the document."""
        return self.asked.stated.results

    def case_json(self) -> bytes:
        """Write its case.json."""
        return case_json(self.case, scope_of(self.kind, self.case, self.stated))

    def held(self) -> Case:
        """Read its case.json as a case; nothing may be wrong with it."""
        problems = Problems()
        case = read_case(Source("case.json", self.case_json(), is_json=True), None, None, problems)
        assert [] == [problem.code for problem in problems]
        return case

    def bundle(self, **issue: Any) -> bytes:
        """Write its bundle."""
        return bundle(self.case, self.kind, self.stated, self.document, issued(self.case, **issue), self.phrases)

    def read(self, **issue: Any) -> dict[str, Any]:
        """Read its bundle."""
        found: dict[str, Any] = json.loads(self.bundle(**issue))
        return found


def issued(case: Case, **issue: Any) -> Registered:
    """Say what a register would say."""
    return Registered(REGISTER, 42, datetime(2026, 10, 1, 9, 30, tzinfo=UTC), **issue)


@cache
def told(example: str) -> tuple[Told, ...]:
    """Compose the documents of an example whose data may leave the clinic."""
    world, on = shipped_world(), ISSUED_ON[example]
    files = example_files(example)
    have = {"pellingrove": ("consent",)}.get(example) or _recorded(files)
    wish = Wish(kinds=have, on=on, language=LANGUAGES.get(example, ""), formats=())
    ready = compose_all(files, wish, world, lambda _zone: on)
    words = read_words(world.templates.folders)
    return tuple(
        Told(name, ready.seen.case, asked.kind, asked, document,
             Phrases(words, ready.seen.languages[asked.request.language]))
        for name, (asked, document) in ready.documents.items()
    )  # fmt: skip


def _recorded(files: Any) -> tuple[str, ...]:
    """Name the kinds whose moment has come in an example."""
    starts = {"referral": "referral", "reply": "reply", "operative-note": "operation", "physician-query": "query"}
    case = read_case(files.case, files.clinic, None, Problems())
    return ("consent", *(kind for kind, group in starts.items() if case.value(group) is not None))


def all_told() -> Iterator[Told]:
    """Give all documents of all examples."""
    for example in ISSUED_ON:
        yield from told(example)


def one(example: str, kind: str, copy: str = "") -> Told:
    """Find one document."""
    return next(t for t in told(example) if t.kind.name == kind and t.asked.request.copy == copy)


def resources(bundle: dict[str, Any], type_: str) -> list[dict[str, Any]]:
    """Give the resources of one type."""
    return [e["resource"] for e in bundle["entry"] if e["resource"]["resourceType"] == type_]
