"""The register, on both databases: what is issued stands, is found again, and is never changed without a trace."""

from __future__ import annotations

import threading
from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from pathlib import Path

import pytest

from docgen.issue.entry import Action, Entry, Life
from docgen.issue.giving import Made
from docgen.issue.keys import MasterKey
from docgen.issue.refusals import AlreadyIssued
from docgen.problem import Refused
from issue.registers import BEGUN, PAPER, WHO, Desk, kept


def code_of(refused: pytest.ExceptionInfo[Refused]) -> str:
    """Give the code of the one problem that refused."""
    return refused.value.problems[0].code


def test_a_document_is_prepared_then_issued(desk: Desk) -> None:
    """The number comes first; its file, its code and its keys come with the entry that issues it."""
    number = desk.register.prepare(PAPER, "key", WHO)
    entry = desk.register.issue(number, [kept("pdf")], "ABCD2345", WHO, note=(("level", "B-B"),))
    life = desk.register.life(number)

    assert life is not None
    assert number == 1
    assert (Action.ISSUED, PAPER, "ABCD2345", "key") == (life.state, life.paper, life.code, life.key)
    assert life.entries[-1] == entry
    assert (("level", "B-B"),) == entry.note
    assert [kept("pdf").wrapped_key] == [file.wrapped_key for file in life.files]
    assert desk.codes == []


def test_numbers_follow_each_other_without_a_gap(desk: Desk) -> None:
    """A voided number is not given out again, and none is left out."""
    numbers = [desk.issued(), desk.prepared(), desk.issued()]
    desk.register.void(2, "not_completed", WHO)

    assert [*numbers, desk.prepared()] == [1, 2, 3, 4]
    assert [1, 2, 3, 4] == [life.number for life in desk.register.lives()]


def test_what_was_signed_is_kept_as_signed(desk: Desk) -> None:
    """A signed document is issued in one step."""
    number = desk.issued(action=Action.SIGNED)

    assert [Action.SIGNED] == [life.state for life in desk.register.lives() if life.number == number]


def test_a_key_stands_for_one_document(desk: Desk) -> None:
    """Who asks for the same key finds what stands; one that was withdrawn stands no more."""
    number = desk.issued("key")
    found = desk.register.standing("key")
    desk.register.withdraw(number, "consent_withdrawn", WHO)

    assert found is not None
    assert found.number == number
    assert desk.register.standing("key") is None
    assert desk.register.standing("another") is None


def test_a_number_that_is_only_prepared_does_not_stand(desk: Desk) -> None:
    """Nothing is found before it is issued."""
    desk.prepared("key")

    assert desk.register.standing("key") is None


def test_the_second_of_two_with_one_key_is_told_of_the_first(desk: Desk) -> None:
    """Two processes make the same document: one is issued, the other's number is voided where all see it."""
    first, second = desk.prepared("key"), desk.prepared("key")
    desk.register.issue(second, [kept("pdf")], "ABCD2345", WHO)
    with pytest.raises(AlreadyIssued) as already:
        desk.register.issue(first, [kept("pdf")], "ABCD2345", WHO)
    life = desk.register.life(first)

    assert already.value.life.number == second
    assert life is not None
    assert life.state is Action.VOIDED
    assert desk.codes == []


def test_a_pack_is_issued_whole(desk: Desk) -> None:
    """Its numbers follow each other, each with its own files and code, and so do the entries that issue them."""
    numbers = desk.register.prepare_pack([(PAPER, "one"), (replace(PAPER, copy="clinic"), "two")], WHO)
    pack = [Made(number, [kept("pdf", f"{number}")], f"CODE000{number}") for number in numbers]
    came = desk.register.issue_pack(pack, WHO)
    lives = list(desk.register.lives())

    assert (1, 2) == numbers == tuple(life.number for life in lives)
    assert [("CODE0001", "one"), ("CODE0002", "two")] == [(life.code, life.key) for life in lives]
    assert [life.entries[-1] for life in lives] == list(came)
    assert [3, 4] == [life.entries[-1].seq for life in lives]
    assert desk.codes == []


def test_a_pack_with_one_unfit_number_is_not_issued_at_all(desk: Desk) -> None:
    """What stands before the refused one in the pack is only prepared afterwards."""
    numbers = desk.register.prepare_pack([(PAPER, "one"), (PAPER, "two")], WHO)
    desk.register.void(numbers[1], "not_completed", WHO)
    with pytest.raises(Refused) as refused:
        desk.register.issue_pack([Made(number, [kept("pdf")], "ABCD2345") for number in numbers], WHO)

    assert "number-state" == code_of(refused)
    assert [Action.PREPARED, Action.VOIDED] == [life.state for life in desk.register.lives()]
    assert desk.codes == []


def test_one_of_a_pack_may_stand_by_its_key_already(desk: Desk) -> None:
    """Its number is voided and the earlier document is told of; the others are issued, and so is one key once."""
    numbers = desk.register.prepare_pack([(PAPER, "one"), (PAPER, "two"), (PAPER, "two")], WHO)
    with desk.again() as other:
        first = other.prepare(PAPER, "one", WHO)
        other.issue(first, [kept("pdf")], "ABCD2345", WHO)
    made = [Made(number, [kept("pdf", f"{number}")], "ABCD2345") for number in numbers]
    one, two, three = desk.register.issue_pack(made, WHO)

    assert isinstance(one, Life)
    assert isinstance(three, Life)
    assert (first, numbers[1], numbers[1]) == (one.number, two.number, three.number)
    assert [Action.VOIDED, Action.ISSUED, Action.VOIDED, Action.ISSUED] == [one.state for one in desk.register.lives()]
    assert desk.codes == []


def test_an_issue_may_take_the_place_of_another(desk: Desk) -> None:
    """The old one is superseded in the transaction that issues the new one, even under one key."""
    old, new = desk.issued("key"), desk.prepared("key")
    desk.register.issue(new, [kept("pdf", "new")], "ABCD2345", WHO, supersedes=old, reason="corrected")
    before, now = desk.register.life(old), desk.register.standing("key")

    assert before is not None
    assert now is not None
    assert (Action.SUPERSEDED, new, "corrected") == (before.state, before.successor, before.entries[-1].reason)
    assert now.number == new
    assert desk.codes == []


def test_a_document_is_superseded_by_one_that_stands(desk: Desk) -> None:
    """The entry names the successor, the reason, and the marked copy that was kept."""
    old, new = desk.issued(), desk.issued()
    desk.register.supersede(old, new, "new_findings", WHO, [kept("pdf", "marked")])
    life = desk.register.life(old)

    assert life is not None
    assert (Action.SUPERSEDED, new) == (life.state, life.successor)
    assert [kept("pdf", "marked").digest] == [file.digest for file in life.entries[-1].files]
    assert kept("pdf", "marked") in life.files


@pytest.mark.parametrize("changes", [{"record_digest": "9" * 64}, {"kind": "referral"}])
def test_a_document_of_another_record_or_kind_is_no_successor(desk: Desk, changes: dict[str, str]) -> None:
    """A mistyped number cannot put another patient's document in the place of this one."""
    old, other = desk.issued(), desk.issued(**changes)
    with pytest.raises(Refused) as refused:
        desk.register.supersede(old, other, "corrected", WHO)

    assert code_of(refused) == "successor-unfit"
    assert desk.register.head()[0] == 4


def test_only_what_stands_is_a_successor(desk: Desk) -> None:
    """Neither the number itself, nor one that is prepared, nor one that was withdrawn."""
    old, prepared, withdrawn = desk.issued(), desk.prepared(), desk.issued()
    desk.register.withdraw(withdrawn, "other", WHO)
    for successor in (old, prepared, withdrawn):
        with pytest.raises(Refused) as refused:
            desk.register.supersede(old, successor, "corrected", WHO)

        assert code_of(refused) == "successor-unfit"


def test_an_old_preparation_is_voided_by_the_next_writer(desk: Desk) -> None:
    """After an hour nobody is still composing; the gap shows as a voided number."""
    forgotten = desk.prepared()
    desk.clock.moment += timedelta(hours=1)
    desk.issued()
    life = desk.register.life(forgotten)

    assert life is not None
    assert (Action.VOIDED, "not_completed", "docgen") == (life.state, life.entries[-1].reason, life.entries[-1].by)
    assert desk.codes == []


def test_a_slow_preparation_is_still_its_own(desk: Desk) -> None:
    """Whoever took more than an hour is not robbed by its own issue."""
    number = desk.prepared()
    desk.clock.moment += timedelta(hours=2)

    assert desk.register.issue(number, [kept("pdf")], "ABCD2345", WHO).action is Action.ISSUED


def test_a_slow_preparation_that_was_voided_is_refused(desk: Desk) -> None:
    """Once it is voided its number is gone."""
    number = desk.prepared()
    desk.clock.moment += timedelta(hours=2)
    desk.prepared()
    with pytest.raises(Refused) as refused:
        desk.register.issue(number, [kept("pdf")], "ABCD2345", WHO)

    assert code_of(refused) == "number-state"


def test_a_number_lost_in_a_crash_is_not_issued_to_its_old_owner(desk: Desk) -> None:
    """The database lost an unsynced preparation, and gave the number to another process: the first is refused."""
    number = desk.prepared("first")
    desk.register._taken[number] = "0" * 64  # what it took was another entry
    with pytest.raises(Refused) as refused:
        desk.register.issue(number, [kept("pdf")], "ABCD2345", WHO)
    desk.register._taken[7] = "0" * 64
    with pytest.raises(Refused) as unknown:
        desk.register.issue(7, [kept("pdf")], "ABCD2345", WHO)

    assert [code_of(refused), code_of(unknown)] == ["number-lost", "number-lost"]


def test_a_hold_keeps_the_files_until_it_is_released(desk: Desk) -> None:
    """While a number is on hold its keys stay."""
    number = desk.issued()
    desk.register.hold(number, WHO, [kept("reason.txt")])
    with pytest.raises(Refused) as refused:
        desk.register.erase(number, "other", WHO)
    held = desk.register.life(number)
    desk.register.release(number, WHO)
    erased = desk.register.erase(number, "other", WHO)

    assert code_of(refused) == "number-held"
    assert held is not None
    assert held.on_hold
    assert ["pdf", "docx", "reason.txt"] == [file.name for file in erased]


def test_erasing_destroys_the_keys_and_leaves_the_digests(desk: Desk) -> None:
    """Number, digests and chain stay; no wrapped key is left in the database."""
    number = desk.issued()
    files = desk.register.erase(number, "other", WHO)
    life = desk.register.life(number)

    assert life is not None
    assert (Action.ISSUED, True) == (life.state, life.erased)
    assert files == life.files
    assert [None, None] == [file.wrapped_key for file in life.files]
    assert [None, None] == [desk.register.file_key(file.digest) for file in files]
    assert desk.register.digests() == ()
    assert desk.codes == []


def test_a_destroyed_key_leaves_no_trace_in_the_file(tmp_path: Path, master: MasterKey) -> None:
    """Neither in a free page nor in the log of changes beside it."""
    secret = b"the wrapped key of a file that is going to be erased"
    with Desk(f"sqlite:///{tmp_path / 'register.sqlite'}", master) as desk:
        number = desk.prepared()
        desk.register.issue(number, [replace(kept("pdf"), wrapped_key=secret)], "ABCD2345", WHO)
        before = b"".join(path.read_bytes() for path in tmp_path.iterdir())
        desk.register.erase(number, "other", WHO)
        now = b"".join(path.read_bytes() for path in tmp_path.iterdir())

    assert secret in before
    assert secret not in now


def test_a_file_that_another_number_has_too_is_not_given_for_deletion(desk: Desk) -> None:
    """Two documents may have the same data file; erasing one leaves the other whole."""
    numbers = [desk.prepared(), desk.prepared()]
    for number in numbers:
        desk.register.issue(number, [kept("case.json"), kept("pdf", f"pdf {number}")], "ABCD2345", WHO)
    files = desk.register.erase(numbers[0], "other", WHO)
    other = desk.register.life(numbers[1])

    assert ["pdf"] == [file.name for file in files]
    assert other is not None
    assert [True, True] == [file.wrapped_key is not None for file in other.files]
    assert desk.register.file_key(kept("case.json").digest) == kept("case.json").wrapped_key


def test_one_file_may_stand_in_two_entries_of_a_number(desk: Desk) -> None:
    """A reason that is kept twice is kept once."""
    old, new = desk.issued(), desk.issued()
    desk.register.hold(old, WHO, [kept("reason.txt")])
    desk.register.supersede(old, new, "corrected", WHO, [kept("reason.txt")])

    assert kept("reason.txt").digest in desk.register.digests()
    assert desk.codes == []


def test_lives_are_found_by_kind_state_record_and_day(desk: Desk) -> None:
    """Each question leaves out what does not fit it."""
    desk.issued()
    desk.issued(kind="referral", record_digest="7" * 64)
    desk.issued(issued_on="2026-05-01")
    desk.prepared()
    found = desk.register.lives

    assert [2] == [life.number for life in found(kind="referral")]
    assert [4] == [life.number for life in found(state="prepared")]
    assert [2] == [life.number for life in found(record_digest="7" * 64)]
    assert [3] == [life.number for life in found(since=date(2026, 4, 1))]
    assert [1, 3] == [life.number for life in found(kind="consent", state="issued")]
    assert [] == list(found(kind="reply"))


def test_pages_of_a_long_register_join(desk: Desk, monkeypatch: pytest.MonkeyPatch) -> None:
    """Where one question does not give all, none is left out and none comes twice."""
    monkeypatch.setattr("docgen.issue.reading.AT_ONCE", 3)
    monkeypatch.setattr("docgen.issue.inspection.AT_ONCE", 3)
    for _ in range(5):
        desk.issued()

    assert list(range(1, 11)) == [entry.seq for entry in desk.register.entries()]
    assert [9, 10] == [entry.seq for entry in desk.register.entries(8)]
    assert [1, 2, 3, 4, 5] == [life.number for life in desk.register.lives()]
    assert desk.codes == []


def test_the_head_is_the_last_entry(desk: Desk) -> None:
    """Place and digest; of the register's beginning, where there is no entry."""
    begin = desk.register.head()
    desk.issued()
    last = list(desk.register.entries())[-1]

    assert (0, desk.register.identity.begin) == begin
    assert (last.seq, last.digest) == desk.register.head()


def test_who_saw_what_is_noted(desk: Desk) -> None:
    """The access log of a number gives when, who and what, in order."""
    number, other = desk.issued(), desk.issued()
    desk.clock.moment = BEGUN
    desk.register.saw(number, "desk 1", "show")
    desk.register.saw(other, "desk 2", "show")
    desk.register.saw(number, "desk 2", "pdf")

    second = timedelta(seconds=1)
    assert ((BEGUN + second, "desk 1", "show"), (BEGUN + 3 * second, "desk 2", "pdf")) == desk.register.accesses(number)
    assert desk.codes == []


def test_an_unknown_number_is_refused_everywhere(desk: Desk) -> None:
    """Every action on a number that was never given out says so."""
    register = desk.register
    calls = [
        lambda: register.issue(9, [], "", WHO),
        lambda: register.void(9, "other", WHO),
        lambda: register.withdraw(9, "other", WHO),
        lambda: register.supersede(9, 9, "other", WHO),
        lambda: register.hold(9, WHO),
        lambda: register.release(9, WHO),
        lambda: register.erase(9, "other", WHO),
        lambda: register.saw(9, WHO, "show"),
    ]
    for call in calls:
        with pytest.raises(Refused) as refused:
            call()

        assert code_of(refused) == "number-unknown"
    assert register.life(9) is None
    assert register.accesses(9) == ()
    assert register.head()[0] == 0


@pytest.mark.parametrize("by", ["", "  ", "two\nlines", "x" * 201, "\u202egnp"])
def test_nobody_acts_without_a_name(desk: Desk, by: str) -> None:
    """A name that tells nobody who it was is refused, and nothing is written."""
    with pytest.raises(Refused) as refused:
        desk.register.prepare(PAPER, "key", by)

    assert code_of(refused) == "who-unfit"
    assert desk.register.head()[0] == 0


@pytest.mark.parametrize("by", ["María Íñiguez", "دکتر می\u200cخواهد", "Łukasz O'Neil; --", 'a "b" \\c %s :x $1'])
def test_a_name_comes_back_as_it_was_given(desk: Desk, by: str) -> None:
    """Whatever script and signs it has, in the chain and in the access log."""
    number = desk.register.prepare(PAPER, by, by)
    desk.register.saw(number, by, by)
    life = desk.register.life(number)

    assert life is not None
    assert (by, by) == (life.entries[0].by, life.key)
    assert [(by, by)] == [access[1:] for access in desk.register.accesses(number)]


def test_a_reason_is_one_of_the_list(desk: Desk) -> None:
    """Free words stand in a file, never in the register."""
    number = desk.issued()
    calls = [
        lambda: desk.register.withdraw(number, "the patient said so", WHO),
        lambda: desk.register.erase(number, "", WHO),
        lambda: desk.register.issue(number, [], "", WHO, supersedes=number),
        lambda: desk.register.issue(number, [], "", WHO, reason="corrected"),
        lambda: desk.register.issue(number, [], "", WHO, action=Action.VOIDED),
    ]
    for call in calls:
        with pytest.raises(ValueError, match="reason"):
            call()


def test_keyed_digests_tell_words_and_their_borders_apart(desk: Desk) -> None:
    """Equal words give equal digests, in this register only; moving a letter over a border gives another."""
    keyed, code = desk.register.keyed, desk.register.check_code("a", "b")
    with desk.again() as again:
        same = again.keyed("ab", "c")

    assert keyed("ab", "c") == same
    assert len({keyed("ab", "c"), keyed("a", "bc"), keyed("abc"), keyed("ab", "c", "")}) == 4
    assert len(code) == 8
    assert set(code) <= set("ABCDEFGHIJKLMNOPQRSTUVWXYZ234567")


def test_both_databases_write_the_same_entries(both_desks: tuple[Desk, Desk]) -> None:
    """The same calls at the same times give the same digests, so a register may move from one to the other."""
    for desk in both_desks:
        first, second = desk.issued("a"), desk.issued("b", action=Action.SIGNED)
        third = desk.prepared("c")
        desk.register.issue(third, [kept("pdf", "ü")], "ABCD2345", "Łukasz", supersedes=first, reason="corrected")
        desk.register.hold(second, WHO)
        desk.register.release(second, WHO)
        desk.register.withdraw(second, "consent_withdrawn", WHO, [kept("reason.txt")])
        desk.register.erase(second, "other", WHO)
        desk.prepared("d")
        desk.clock.moment += timedelta(hours=2)
        desk.prepared("e")
    sqlite, postgres = ([*desk.register.entries()] for desk in both_desks)

    assert sqlite == postgres
    assert len(sqlite) == 14
    assert [*both_desks[0].register.lives()] == [*both_desks[1].register.lives()]
    assert both_desks[0].run("SELECT * FROM documents ORDER BY number") == both_desks[1].run(
        "SELECT * FROM documents ORDER BY number"
    )


def test_an_entry_is_never_given_a_local_time(desk: Desk) -> None:
    """Times come back in UTC, to the microsecond."""
    desk.clock.moment = datetime(2026, 3, 29, 1, 30, 0, 123456, tzinfo=UTC)
    desk.prepared()
    entry: Entry = next(desk.register.entries())

    assert UTC is entry.at.tzinfo
    assert entry.at.microsecond == 123456


def test_two_threads_use_one_register(desk: Desk) -> None:
    """A register is not bound to the thread that opened it."""
    numbers: list[int] = []
    threads = [threading.Thread(target=lambda: numbers.append(desk.issued())) for _ in range(2)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()

    assert [1, 2] == sorted(numbers)
