"""Issuing: numbers that are on the page before the file exists, and never a document that silently replaces another."""

from __future__ import annotations

import shutil
from collections.abc import Callable
from dataclasses import replace
from io import BytesIO

import pytest
from conftest import example_files
from pypdf import PdfReader

from docgen.issue.entry import Action
from docgen.issuing import IssuedPack, Office
from docgen.problem import OutputError, Refused

from .conftest import edited, with_settings

Issue = Callable[..., IssuedPack]


def _words(pack: IssuedPack, ending: str = ".pdf") -> str:
    content = next(file for name, file in pack.issued[0].files.items() if name.endswith(ending))
    return " ".join("\n".join(page.extract_text() for page in PdfReader(BytesIO(content)).pages).split())


def _codes(refused: pytest.ExceptionInfo[Refused]) -> set[str]:
    return {problem.code for problem in refused.value.problems}


def test_an_issued_document_says_its_number_and_code_on_the_page(issued: Issue) -> None:
    """The foot carries number and check code as the register has them; nothing says "not issued"."""
    pack = issued()
    life, words = pack.issued[0].life, _words(pack)

    assert life.state is Action.ISSUED
    assert "000001" in words
    assert life.code[:4] in words
    assert "Not issued" not in words


def test_the_register_keeps_every_file_that_left(issued: Issue, office: Office) -> None:
    """PDF, DOCX and the composed document lie in the store, by the digests of the entry."""
    pack = issued()
    life = pack.issued[0].life
    kept = {file.name: office.store.get(file, office.register.file_key(file.digest)) for file in life.files}

    assert {"pdf", "docx", "document.json"} <= set(kept)
    assert set(pack.issued[0].files.values()) == {kept["pdf"], kept["docx"]}


def test_the_same_thing_twice_is_the_same_document(issued: Issue, office: Office) -> None:
    """The second order gives the first one's number and bytes, and the chain does not grow."""
    first, head = issued(), office.register.head()
    second = issued()

    assert second.issued[0].again
    assert first.issued[0].files == second.issued[0].files
    assert head == office.register.head()


def test_a_changed_case_does_not_silently_replace_what_was_issued(issued: Issue) -> None:
    """It is refused until somebody says what becomes of the earlier document."""
    issued()
    changed = edited(example_files("fenwright"), "occupation: teacher", "occupation: baker")
    with pytest.raises(Refused) as refused:
        issued(changed)

    assert {"already-issued"} == _codes(refused)


def test_a_successor_takes_the_place_of_the_earlier_document(issued: Issue, office: Office) -> None:
    """The earlier number points to the later one, with the reason."""
    issued()
    changed = edited(example_files("fenwright"), "occupation: teacher", "occupation: baker")
    pack = issued(changed, supersedes=1, reason="corrected", words="her work was typed wrong")
    old = office.register.life(1)

    assert old is not None
    assert (Action.SUPERSEDED, pack.issued[0].life.number) == (old.state, old.successor)
    assert "corrected" in {entry.reason for entry in old.entries}


@pytest.mark.parametrize(
    ("order", "code"),
    [
        ({"supersedes": 1}, "reason-missing"),
        ({"supersedes": 7, "reason": "corrected"}, "number-unknown"),
        ({"reason": "corrected"}, "reason-unused"),
    ],
)
def test_a_successor_needs_a_reason_and_a_document_to_follow(
    issued: Issue, order: dict[str, object], code: str
) -> None:
    """Neither a missing reason nor an unknown number is guessed."""
    issued()
    changed = edited(example_files("fenwright"), "occupation: teacher", "occupation: baker")
    with pytest.raises(Refused) as refused:
        issued(changed, **order)

    assert code in _codes(refused)


def test_one_number_is_superseded_by_one_document_of_its_kind(issued: Issue, office: Office) -> None:
    """Two documents cannot take one place, nor one of another kind or copy; nothing is issued."""
    issued(None, "consent", wish={"copies": ("patient",)})
    changed = edited(example_files("fenwright"), "occupation: teacher", "occupation: baker")
    order = {"supersedes": 1, "reason": "corrected"}
    with pytest.raises(Refused) as two:
        issued(changed, "consent", **order)
    with pytest.raises(Refused) as kind:
        issued(changed, "reply", **order)
    with pytest.raises(Refused) as copy:
        issued(changed, "consent", wish={"copies": ("clinic",)}, **order)

    assert {"supersedes-one"} <= _codes(two)
    assert {"successor-unfit"} == _codes(kind) == _codes(copy)
    assert [1] == [life.number for life in office.register.lives()]


def test_a_document_of_another_record_is_not_superseded(issued: Issue) -> None:
    """A number that belongs to another patient's record is refused."""
    issued()
    other = edited(example_files("fenwright"), "HM-2026-0117", "HM-2026-0118")
    with pytest.raises(Refused) as refused:
        issued(other, supersedes=1, reason="corrected")

    assert {"number-unknown"} == _codes(refused)


def test_two_documents_may_stand_beside_each_other_if_somebody_says_so(issued: Issue, office: Office) -> None:
    """Both are in force afterwards."""
    issued()
    issued(edited(example_files("fenwright"), "occupation: teacher", "occupation: baker"), beside=True)

    assert [Action.ISSUED] * 2 == [life.state for life in office.register.lives()]


def test_an_own_key_gives_the_same_document_whatever_the_case_says(issued: Issue) -> None:
    """A program that repeats its order after a fault gets what it ordered."""
    first = issued(key="order 17")
    second = issued(edited(example_files("fenwright"), "occupation: teacher", "occupation: baker"), key="order 17")

    assert first.issued[0].life.number == second.issued[0].life.number
    assert second.issued[0].again


def test_a_text_nobody_approved_is_not_issued(issued: Issue, office: Office) -> None:
    """It is refused before a number is taken; where the clinic allows it, it keeps its mark."""
    files = replace(example_files("fenwright"), approvals=None)
    with pytest.raises(Refused) as refused:
        issued(files)
    allowed = issued(with_settings(files, "issue.unapproved: allow_marked"))

    assert {"text-unapproved"} == _codes(refused)
    assert 1 == allowed.issued[0].life.number
    assert "DRAFT" in _words(allowed)


def test_a_translation_nobody_reviewed_is_not_issued(issued: Issue) -> None:
    """The same for the words of a language, by a setting of its own."""
    files = with_settings(example_files("fenwright"), "issue.unapproved: allow_marked")
    with pytest.raises(Refused) as refused:
        issued(files, "aftercare", wish={"language": "es"})
    allowed = issued(with_settings(files, "issue.unreviewed: allow_marked"), "aftercare", wish={"language": "es"})

    assert {"translation-unreviewed"} == _codes(refused)
    assert Action.ISSUED is allowed.issued[0].life.state


def test_a_number_that_comes_to_nothing_is_voided_for_all_to_see(issued: Issue, office: Office) -> None:
    """A store that cannot be written gives no document, and the number stands as voided."""
    shutil.rmtree(office.store.folder, ignore_errors=True)
    office.store.folder.parent.mkdir(exist_ok=True)
    office.store.folder.write_text("a file where the folder was")
    with pytest.raises(OutputError):
        issued()
    office.store.folder.unlink()
    pack = issued()
    first = office.register.life(1)

    assert first is not None
    assert (Action.VOIDED, 2) == (first.state, pack.issued[0].life.number)


def test_a_pack_is_issued_whole_or_not_at_all(issued: Issue, office: Office) -> None:
    """A store that takes only some of its files leaves none of the documents in force, and no file of theirs."""
    blocked = [office.store.folder / f"{shard:02x}" for shard in range(192)]  # three files of four
    office.store.folder.mkdir(parents=True)
    for shard in blocked:
        shard.write_text("a file where a folder was")
    with pytest.raises(OutputError):
        issued(None, "consent", "aftercare", "reply")
    before = [life.state for life in office.register.lives()]
    for shard in blocked:
        shard.unlink()
    pack = issued(None, "consent", "aftercare", "reply")

    assert {Action.VOIDED} == set(before)
    assert len(before) == len(pack.issued) > 3
    assert sorted(office.register.digests()) == sorted(office.store.digests())
