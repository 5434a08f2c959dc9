"""Copies of what was issued: as it left, or with the mark of what became of it; and what is gone for good."""

from __future__ import annotations

import json
from collections.abc import Callable, Mapping
from datetime import UTC, datetime
from io import BytesIO
from typing import Any

import pytest
from conftest import example_files
from pypdf import PdfReader

from docgen.examine import World
from docgen.issue.entry import Action
from docgen.issuing import IssuedPack, Office, copy_of, erase, hold, release, supersede, withdraw
from docgen.problem import Refused

from .conftest import Clock, edited

Issue = Callable[..., IssuedPack]


def _words(files: Mapping[str, bytes]) -> str:
    content = next(content for name, content in files.items() if name.endswith(".pdf"))
    return " ".join(" ".join(page.extract_text() for page in PdfReader(BytesIO(content)).pages).split())


def _code(refused: pytest.ExceptionInfo[Refused]) -> str:
    return next(iter(refused.value.problems)).code


def test_a_copy_is_the_very_file_that_left(issued: Issue, office: Office, world: World) -> None:
    """While a document is in force its copy has the same bytes, and who asked is noted."""
    pack = issued()
    copy = copy_of(1, world, office, "R. Desk")

    assert pack.issued[0].files == copy.files
    assert ["R. Desk"] == [by for _, by, _ in office.register.accesses(1)]


def test_a_withdrawn_document_says_so_on_its_copy(issued: Issue, office: Office, world: World) -> None:
    """The copy carries the mark with the day; the kept file stays what it was."""
    pack = issued()
    withdraw(1, "entered_in_error", "wrong patient", office, "M. Holt")
    copy = copy_of(1, world, office, "R. Desk")

    assert "WITHDRAWN" in _words(copy.files)
    assert "WITHDRAWN" not in _words(pack.issued[0].files)


def test_the_day_of_withdrawal_is_the_clinics(issued: Issue, office: Office, world: World, clock: Clock) -> None:
    """Late in the evening of the clinic it is tomorrow in UTC; the copy says the clinic's day."""
    issued(edited(example_files("fenwright"), "time_zone: Europe/London", "time_zone: America/New_York", clinic=True))
    clock.at = datetime(2026, 12, 1, 2, 0, tzinfo=UTC)
    withdraw(1, "entered_in_error", "", office, "M. Holt")

    assert "30 November 2026" in _words(copy_of(1, world, office, "R. Desk").files)


def test_a_bundle_says_what_became_of_its_document(issued: Issue, office: Office, world: World) -> None:
    """The kept bundle points to the files; once the document is withdrawn in error, the copy says so."""
    issued(None, "operative-note")
    before = json.loads(copy_of(1, world, office, "R. Desk", exchange=True).files["000001-bundle.json"])
    withdraw(1, "entered_in_error", "", office, "M. Holt")
    after = json.loads(copy_of(1, world, office, "R. Desk", exchange=True).files["000001-bundle.json"])

    assert "entered-in-error" not in _statuses(before)
    assert "entered-in-error" in _statuses(after)


def test_the_case_a_document_used_is_had_beside_it_as_it_is_inside(issued: Issue, office: Office, world: World) -> None:
    """The same bytes as in the PDF; a consent, whose PDF carries none, has them beside it, and a leaflet has none."""
    issued(None, "operative-note")
    issued(None, "consent", wish={"copies": ("patient",)})
    issued(None, "aftercare", wish={"copies": ("patient",)})
    note, consent, leaflet = (copy_of(number, world, office, "R. Desk", exchange=True).files for number in (1, 2, 3))
    inside = PdfReader(BytesIO(note["000001-operative-note-en.pdf"])).attachments

    assert [note["000001-case.json"]] == inside["case.json"]
    assert {"000002-bundle.json", "000002-case.json"} < consent.keys()
    assert {} == PdfReader(BytesIO(consent["000002-consent-patient-en.pdf"])).attachments
    assert {"000003-aftercare-patient-en.docx", "000003-aftercare-patient-en.pdf"} == leaflet.keys()


def _statuses(bundle: dict[str, Any]) -> set[str]:
    return {entry["resource"].get("status", "") for entry in bundle["entry"]}


def test_a_superseded_document_names_its_successor_on_its_copy(issued: Issue, office: Office, world: World) -> None:
    """Whoever holds the old page is led to the new one."""
    issued()
    issued(edited(example_files("fenwright"), "occupation: teacher", "occupation: baker"), beside=True)
    supersede(1, 2, "corrected", "", office, "M. Holt")

    assert "SUPERSEDED BY 000002" in _words(copy_of(1, world, office, "R. Desk").files)


def test_only_a_later_document_of_the_same_record_and_kind_can_succeed(issued: Issue, office: Office) -> None:
    """A leaflet does not take the place of a letter, nor a document its own."""
    issued(None, "reply", "operative-note")
    for successor in (1, 2):
        with pytest.raises(Refused) as refused:
            supersede(1, successor, "corrected", "", office, "M. Holt")
        assert "successor-unfit" == _code(refused)


def test_what_is_in_force_no_more_ends_once(issued: Issue, office: Office) -> None:
    """A withdrawn document cannot be withdrawn again, and no reason means no end."""
    issued()
    with pytest.raises(Refused) as without:
        withdraw(1, "", "", office, "M. Holt")
    withdraw(1, "consent_withdrawn", "", office, "M. Holt")
    with pytest.raises(Refused) as again:
        withdraw(1, "consent_withdrawn", "", office, "M. Holt")

    assert ("reason-missing", "number-state") == (_code(without), _code(again))


def test_what_is_on_hold_is_not_erased(issued: Issue, office: Office) -> None:
    """Only after the hold is lifted; and a hold that is not there cannot be lifted."""
    issued()
    hold(1, "a complaint", office, "M. Holt")
    with pytest.raises(Refused) as held:
        erase(1, "other", office, "M. Holt", before_due=True)
    release(1, "", office, "M. Holt")
    with pytest.raises(Refused) as free:
        release(1, "", office, "M. Holt")
    erase(1, "other", office, "M. Holt", before_due=True)
    life = office.register.life(1)

    assert ("on-hold", "number-state") == (_code(held), _code(free))
    assert life is not None
    assert life.erased


def test_erased_content_is_gone_and_its_number_stands(issued: Issue, office: Office, world: World) -> None:
    """No copy can be made, no file is left in the store; state and digests are what they were."""
    before = issued().issued[0].life
    erase(1, "other", office, "M. Holt", before_due=True)
    with pytest.raises(Refused) as refused:
        copy_of(1, world, office, "R. Desk")
    after = office.register.life(1)

    assert "content-erased" == _code(refused)
    assert [] == list(office.store.digests())
    assert after is not None
    assert (Action.ISSUED, before.files) == (after.state, after.files)
