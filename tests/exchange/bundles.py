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
KINDS = ("addendum", "consent", "operative-note", "physician-query", "referral", "reply")
"""Kinds whose data may leave the clinic."""

STARTS = {
    "addendum": "addendum.on",
    "consent": "consent.first_talk_on",
    "operative-note": "operation.ended_at",
    "physician-query": "query.on",
    "referral": "referral.on",
    "reply": "reply.on",
}
"""The field that says a kind's moment has come."""


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
def told(example: str, kind: str) -> tuple[Told, ...]:
    """Compose the documents of one kind of an example; none where its moment has not come."""
    world, on, files = shipped_world(), ISSUED_ON[example], example_files(example)
    case = read_case(files.case, files.clinic, None, Problems())
    if case.value(STARTS[kind]) is None:
        return ()
    wish = Wish(kinds=(kind,), on=on, language=LANGUAGES.get(example, ""), formats=())
    ready = compose_all(files, wish, world, lambda _zone: on)
    words = read_words(world.templates.folders)
    return tuple(
        Told(name, ready.seen.case, asked.kind, asked, document,
             Phrases(words, ready.seen.languages[asked.request.language]))
        for name, (asked, document) in ready.documents.items()
    )  # fmt: skip


def all_told(*examples: str) -> Iterator[Told]:
    """Give all documents of some examples, or of all."""
    for example in examples or ISSUED_ON:
        for kind in KINDS:
            yield from told(example, kind)


def one(example: str, kind: str, copy: str = "") -> Told:
    """Find one document."""
    return next(t for t in told(example, kind) if t.asked.request.copy == copy)


def resources(bundle: dict[str, Any], type_: str) -> list[dict[str, Any]]:
    """Give the resources of one type."""
    return [e["resource"] for e in bundle["entry"] if e["resource"]["resourceType"] == type_]
