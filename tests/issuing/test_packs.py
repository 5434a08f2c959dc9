"""Packs of issued documents: one PDF to hand out, in which each document is still its own."""

from __future__ import annotations

from collections.abc import Callable
from io import BytesIO
from pathlib import Path

import pytest
from pypdf import PdfReader

from docgen.examine import World
from docgen.issue.entry import Action
from docgen.issuing import IssuedPack, Office, erase, pack_of, withdraw
from docgen.problem import Refused
from tests.render.test_standards import faults

Issue = Callable[..., IssuedPack]


def _pages(content: bytes) -> list[str]:
    return [" ".join(page.extract_text().split()) for page in PdfReader(BytesIO(content)).pages]


def test_a_pack_holds_the_documents_as_they_were_issued(
    issued: Issue, office: Office, world: World, tmp_path: Path
) -> None:
    """In the order they are named, each with its number and its own pages; who took them is noted."""
    pack = issued(None, "consent", "reply", wish={"copies": ("patient",)})
    name, content = pack_of([2, 1], world, office, "R. Desk")
    singles = [one.files[next(n for n in one.files if n.endswith(".pdf"))] for one in reversed(pack.issued)]

    assert "000002-000001-pack.pdf" == name
    assert [page for single in singles for page in _pages(single)] == _pages(content)
    assert ["files", "files"] == [what for n in (1, 2) for _, _, what in office.register.accesses(n)]
    assert [] == faults(content, tmp_path)


def test_a_document_in_force_no_more_is_marked_in_a_pack(issued: Issue, office: Office, world: World) -> None:
    """On each of its pages, and on no page of the others."""
    issued(None, "consent", "reply", wish={"copies": ("patient",)})
    withdraw(1, "consent_withdrawn", "", office, "M. Holt")
    pages = _pages(pack_of([1, 2], world, office, "R. Desk")[1])
    is_marked = ["WITHDRAWN" in page for page in pages]
    first = sum("000001" in page for page in pages)

    assert [place < first for place in range(len(pages))] == is_marked


def test_what_is_gone_or_signed_is_in_no_pack(issued: Issue, office: Office, world: World) -> None:
    """All reasons are said; nobody is noted to have seen anything."""
    life = issued().issued[0].life
    signed = office.register.prepare(life.paper, "signed", "M. Holt")
    office.register.issue(signed, life.files, "ABCD2345", "M. Holt", action=Action.SIGNED)
    erase(1, "other", office, "M. Holt", before_due=True)
    said = []
    for numbers in ([1], [99], [signed]):
        with pytest.raises(Refused) as refused:
            pack_of(numbers, world, office, "R. Desk")
        said += [problem.code for problem in refused.value.problems]

    assert ["content-erased", "number-unknown", "pack-signed"] == said
    assert () == office.register.accesses(signed)
