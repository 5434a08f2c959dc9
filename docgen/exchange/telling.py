"""
What every part of a bundle is made from, and the entries as they come.

The case in here was read back from case.json, so that no resource can hold a field the document may not carry.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import field
from typing import Any
from zoneinfo import ZoneInfo

from docgen.answer import Answer
from docgen.blocks import Document, plain
from docgen.case import Case
from docgen.clinical.teeth import NotATooth, to_fdi
from docgen.exchange.elements import Element, coding, concept, lines, narrative, security
from docgen.exchange.registered import Phrases, Registered
from docgen.kinds import DocumentKind
from docgen.values import dataclass

TOOTH_SYSTEM = "urn:iso:std:iso:3950"
"""Names the notation by its standard; a clinic whose partners use another URI sets `exchange.tooth_system`."""


@dataclass
class Entries:
    """The resources of one bundle, by a name of ours, in the order in which they were added."""

    registered: Registered
    resources: dict[str, Element] = field(default_factory=dict)

    def add(self, name: str, type_: str, /, **content: Any) -> Element:
        """Keep a resource and give a reference to it; entries that say nothing are left out."""
        said = {key.removesuffix("_"): value for key, value in content.items() if value not in (None, "", [], {}, ())}
        self.resources[name] = {"resourceType": type_, "id": self.registered.uuid(name), **said}
        return self.reference(name)

    def reference(self, name: str) -> Element:
        """Point to a resource of this bundle."""
        return {"reference": f"urn:uuid:{self.registered.uuid(name)}"}

    def find(self, name: str) -> Element | None:
        """Point to a resource if it is there."""
        return self.reference(name) if name in self.resources else None

    def named(self, prefix: str) -> list[Element]:
        """Point to all resources whose names begin so."""
        return [self.reference(name) for name in self.resources if name.startswith(prefix)]


@dataclass(frozen=True)
class Telling:
    """One document on its way into a bundle."""

    case: Case
    """What the document carries."""
    full: Case = field(repr=False)
    """The whole case: for settings and the time zone alone."""
    kind: DocumentKind
    document: Document
    registered: Registered
    phrases: Phrases
    entries: Entries

    @property
    def zone(self) -> ZoneInfo | None:
        """The clinic's time zone."""
        name = self.full.value("clinic.time_zone")
        return ZoneInfo(name) if isinstance(name, str) else None

    @property
    def meta(self) -> Element | None:
        """Mark what is made of a sample record."""
        return security(sample=self.case.value("record.sample") is True)

    @property
    def title(self) -> str:
        """The title of the document, in one line."""
        return " ".join(plain(self.document.title).split())

    @property
    def subject(self) -> Element:
        """Point to the patient."""
        return self.entries.reference("patient")

    def value(self, path: str) -> Any:
        """Give a field's value; None for an absence of any kind."""
        found = self.case.value(path)
        return None if isinstance(found, Answer) or found == () else found

    def rows(self, path: str) -> Iterator[tuple[int, Any]]:
        """Give the items of a list with their numbers."""
        items = self.value(path)
        yield from enumerate(items if isinstance(items, tuple) else ())

    def coded(self, group: str, code: object, text: str) -> Element:
        """Say something in words, with the clinic's own code for it if there is one."""
        name = re.sub("[^a-z0-9_]+", "-", str(code).strip().lower())
        return concept(text, self._clinic_code(f"exchange.{group}.{name}"))

    def _clinic_code(self, name: str) -> Element | None:
        try:
            said = self.full.setting(name)
        except KeyError:
            return None
        system, version, code, display = (said or "|||").split("|")
        return coding(system, code, display, version) if system and code else None

    def tooth(self, written: object) -> Element | None:
        """Name a tooth: its ISO 3950 number, and its place in words, so that no other notation can be read into it."""
        declared: Any = self.case.value("record.tooth_notation")
        try:
            fdi = to_fdi(str(written), declared)
        except NotATooth:
            return None
        system = self.full.setting("exchange.tooth_system") or TOOTH_SYSTEM
        notation = self.phrases.of("record.tooth_notation", "fdi")
        return concept(f"{self.phrases.of('tooth', fdi)}, {fdi} {notation}", coding(system, fdi))

    def icd10(self, code: object) -> Element | None:
        """Name an ICD-10 code, if the clinic says of which edition its codes are."""
        system = self.full.setting("exchange.icd10_system")
        return coding(system, code) if system and isinstance(code, str) else None

    def told(self, *texts: object) -> Element | None:
        """Make the narrative of one resource from plain texts."""
        inside = lines(texts)
        return narrative(inside, self.document.language, self.document.direction) if inside else None
