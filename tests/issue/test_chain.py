"""The chain: an entry is written one way only, and every change of it shows."""

from __future__ import annotations

import hashlib
from dataclasses import replace
from datetime import UTC, datetime, timedelta, timezone
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from docgen.issue.chain import beginning, canonical, digest_of, digest_of_text, entry_of, faults, written
from docgen.issue.entry import Action, Entry, KeptFile
from issue.registers import BEGUN, PAPER, WHO, kept

BEGIN = beginning("0" * 32)
FIRST = Entry(1, BEGUN, Action.PREPARED, 1, WHO, PAPER, "key", (), None, "", (), "", BEGIN, "")
CHANGES: list[dict[str, Any]] = [
    {"at": BEGUN + timedelta(microseconds=1)},
    {"action": Action.VOIDED},
    {"number": 2},
    {"by": "Dr. Maren Holz"},
    {"paper": None},
    {"paper": replace(PAPER, editions=("likelihood.1",))},
    {"paper": replace(PAPER, language="es")},
    {"key": "other"},
    {"files": (kept("pdf"),)},
    {"successor": 2},
    {"reason": "other"},
    {"note": (("level", "B-B"),)},
    {"code": "ABCD2345"},
    {"previous": "0" * 64},
    {"seq": 2},
]


def chain_of(count: int) -> list[Entry]:
    """Make a chain of entries that follow each other."""
    entries: list[Entry] = []
    for seq in range(1, count + 1):
        previous = entries[-1].digest if entries else BEGIN
        entry = replace(FIRST, seq=seq, number=seq, previous=previous)
        entries.append(replace(entry, digest=digest_of(entry)))
    return entries


texts = st.text(st.characters(exclude_categories=["Cs"]), max_size=40)
any_entry = st.builds(
    Entry,
    seq=st.integers(1, 2**62),
    at=st.datetimes(datetime(2000, 1, 1), datetime(2100, 1, 1), timezones=st.just(UTC)),
    action=st.sampled_from(Action),
    number=st.integers(1, 2**62),
    by=texts,
    paper=st.none() | st.builds(replace, st.just(PAPER), editions=st.lists(texts, max_size=3).map(tuple), copy=texts),
    key=texts,
    files=st.lists(st.builds(KeptFile, texts, texts, st.integers(0, 2**40)), max_size=3).map(tuple),
    successor=st.none() | st.integers(1, 2**62),
    reason=texts,
    note=st.lists(st.tuples(texts, texts), max_size=2).map(tuple),
    code=texts,
    previous=texts,
    digest=texts,
)


@given(any_entry)
def test_an_entry_is_read_as_it_was_written(entry: Entry) -> None:
    """What comes back from the canonical form is the entry, whatever words it holds."""
    text = canonical(entry)

    assert entry == entry_of(text, entry.digest)
    assert text.isascii()
    assert canonical(entry_of(text, "")) == text


def test_the_canonical_form_is_fixed() -> None:
    """A register of years ago verifies only if this text never changes."""
    entry = replace(FIRST, files=(KeptFile("pdf", "ab", 3, b"key"),), note=(("level", "B-B"),), by="Íñiguez")

    assert canonical(entry) == (
        '{"action":"prepared","at":"2026-03-24T09:00:00.000000+00:00","by":"\\u00cd\\u00f1iguez","code":"",'
        '"files":[["pdf","ab",3]],"key":"key","note":[["level","B-B"]],"number":1,'
        '"paper":{"case_digest":"' + "2" * 64 + '","copy":"patient","editions":["likelihood.1","risk.2"],'
        '"issued_on":"2026-03-24","kind":"consent","language":"en","program":"0.1.0","record_digest":"'
        + "1" * 64
        + '","template_digest":"'
        + "3" * 64
        + '","version":"3"},"previous":"'
        + BEGIN
        + '","reason":"","seq":1,"successor":null}'
    )
    assert digest_of(FIRST) == "86aac902340607116d2c68ef525ea1ad0f30b24d07708302b05e659036359de1"
    assert beginning("0" * 32) == "459eb05e69d494108d5de492325e3585bd19fc14ba75377c6d767a74ecf11f43"


@pytest.mark.parametrize("change", CHANGES, ids=lambda change: next(iter(change)))
def test_every_field_is_digested(change: dict[str, Any]) -> None:
    """No field can be changed without another digest."""
    assert digest_of(FIRST) != digest_of(replace(FIRST, **change))


def test_a_wrapped_key_is_not_digested() -> None:
    """Keys can be destroyed without breaking the chain."""
    entry = replace(FIRST, files=(kept("pdf"),))
    bare = replace(FIRST, files=(replace(kept("pdf"), wrapped_key=None),))

    assert digest_of(entry) == digest_of(bare)


def test_an_entry_digest_is_no_digest_of_its_text_alone() -> None:
    """No file that is kept can have the digest of an entry."""
    text = canonical(FIRST)

    assert digest_of(FIRST) == digest_of_text(text)
    assert digest_of_text(text) != hashlib.sha256(text.encode()).hexdigest()


def test_a_moment_has_one_writing() -> None:
    """Wherever a clock stands, the same moment is the same text, and text sorts as time does."""
    there = BEGUN.astimezone(timezone(timedelta(hours=5, minutes=45)))

    assert written(BEGUN) == written(there) == "2026-03-24T09:00:00.000000+00:00"
    assert written(BEGUN) < written(BEGUN + timedelta(microseconds=1)) < written(BEGUN + timedelta(seconds=1))


@pytest.mark.parametrize(
    "text", ["", "{", "[]", "null", "1", "{}", '{"seq":1}', canonical(FIRST).replace("prepared", "x")]
)
def test_what_is_no_entry_is_refused(text: str) -> None:
    """Any other text is a ValueError."""
    with pytest.raises(ValueError, match=r".*"):
        entry_of(text, "")


def test_a_whole_chain_has_no_fault() -> None:
    """Neither has an empty one."""
    assert faults(chain_of(5), BEGIN) == ()
    assert faults([], BEGIN) == ()


def codes(entries: list[Entry], begin: str = BEGIN) -> list[tuple[str, int | None]]:
    """Give code and place of each fault."""
    return [(fault.code, fault.seq) for fault in faults(entries, begin)]


def test_each_kind_of_edit_is_seen_at_its_place() -> None:
    """Changed, changed with a new digest, lost, moved, doubled, of another register."""
    good = chain_of(4)
    changed = replace(good[1], by="somebody else")
    redigested = replace(changed, digest=digest_of(changed))

    assert codes([good[0], changed, *good[2:]]) == [("entry-changed", 2)]
    assert codes([good[0], redigested, *good[2:]]) == [("chain-broken", 3)]
    assert codes([good[0], *good[2:]]) == [("chain-order", 3), ("chain-broken", 3)]
    assert codes(good[1:]) == [("chain-order", 2), ("chain-broken", 2)]
    assert [one[0] for one in codes([good[0], good[2], good[1], good[3]])].count("chain-broken") == 3
    assert codes([*good[:2], good[1], *good[2:]]) == [("chain-order", 2), ("chain-broken", 2)]
    assert codes(good, beginning("1" * 32)) == [("chain-broken", 1)]
