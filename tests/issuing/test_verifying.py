"""Three words for a file or a number: what the register, its chain, its store and a printed code say together."""

from __future__ import annotations

import sqlite3
from collections.abc import Callable
from pathlib import Path

from docgen.issuing import IssuedPack, Office, erase, withdraw
from docgen.verdict import FAILED, PASSED
from docgen.verifying import Verdict, verify_file, verify_number

Issue = Callable[..., IssuedPack]


def _said(verdict: Verdict) -> str:
    return " | ".join(one.message.in_words() for one in verdict.findings)


def _pdf(pack: IssuedPack) -> bytes:
    return next(content for name, content in pack.issued[0].files.items() if name.endswith(".pdf"))


def test_the_very_file_passes(issued: Issue, office: Office) -> None:
    """PDF and DOCX are found by their digests, and the chain is whole."""
    for content in issued().issued[0].files.values():
        assert PASSED == verify_file(content, office).verdict


def test_a_changed_file_fails(issued: Issue, office: Office) -> None:
    """One byte more, less or other, and the register does not know it."""
    content = _pdf(issued())
    for changed in (content + b"\n", content[:-1], content.replace(b"/Type", b"/Tyqe", 1), b""):
        assert FAILED == verify_file(changed, office).verdict


def test_a_printed_page_is_checked_by_its_code(issued: Issue, office: Office) -> None:
    """The code of the foot passes as it is printed; another fails, and so does another number."""
    life = issued().issued[0].life
    printed = f"{life.code[:4]} {life.code[4:].lower()}"

    assert PASSED == verify_number(life.number, printed, office).verdict
    assert FAILED == verify_number(life.number, "AAAAAAAA", office).verdict
    assert FAILED == verify_number(life.number + 1, printed, office).verdict


def test_the_code_is_of_the_words(issued: Issue, office: Office) -> None:
    """Two documents of one record have two codes, and no code is that of its number alone."""
    pack = issued(None, "reply", "operative-note")
    codes = {one.life.code for one in pack.issued}

    assert 2 == len(codes)
    assert not codes & {office.register.check_code(str(one.life.number)) for one in pack.issued}


def test_what_became_of_a_document_is_said(issued: Issue, office: Office) -> None:
    """A withdrawn file is still the file that left, and it is said that it is in force no more."""
    pack = issued()
    withdraw(1, "entered_in_error", "", office, "M. Holt")
    verdict = verify_file(_pdf(pack), office)

    assert PASSED == verdict.verdict
    assert "withdrawn" in _said(verdict)


def test_an_erased_document_is_still_known_by_its_digest(issued: Issue, office: Office) -> None:
    """Whoever has kept the file can have it verified; the number passes without its content."""
    pack = issued()
    erase(1, "other", office, "M. Holt", before_due=True)

    assert PASSED == verify_file(_pdf(pack), office).verdict
    assert "erased" in _said(verify_number(1, "", office))


def test_a_damaged_store_fails(issued: Issue, office: Office) -> None:
    """A flipped byte and a lost file of the store are named."""
    issued()
    first, second, *_ = sorted(path for path in office.store.folder.rglob("*") if path.is_file())
    content = bytearray(first.read_bytes())
    content[-1] ^= 1
    first.write_bytes(bytes(content))
    second.unlink()
    verdict = verify_number(1, "", office)

    assert FAILED == verdict.verdict
    assert "is damaged" in _said(verdict)
    assert "has lost" in _said(verdict)


def test_a_register_changed_behind_its_back_fails(issued: Issue, office: Office, tmp_path: Path) -> None:
    """Somebody who edits the database by hand, triggers taken away, is found."""
    pack = issued()
    with sqlite3.connect(tmp_path / "data/register.sqlite") as raw:
        for (name,) in raw.execute("SELECT name FROM sqlite_master WHERE type = 'trigger'").fetchall():
            raw.execute(f"DROP TRIGGER {name}")
        raw.execute("UPDATE entries SET body = replace(body, 'R. Desk', 'N. Body')")
    raw.close()

    assert FAILED == verify_file(_pdf(pack), office).verdict


def test_a_lost_end_is_found_by_a_checkpoint(issued: Issue, office: Office, tmp_path: Path) -> None:
    """An old database put back is a whole chain; the statement kept elsewhere knows better."""
    database = tmp_path / "data/register.sqlite"
    issued()
    with sqlite3.connect(database) as source, sqlite3.connect(tmp_path / "old") as target:
        source.backup(target)
    issued(None, "operative-note")
    checkpoint = office.register.checkpoint()
    good = verify_number(1, "", office, [checkpoint])
    with sqlite3.connect(tmp_path / "old") as source, sqlite3.connect(database) as target:
        source.backup(target)
    for raw in (source, target):
        raw.close()

    assert PASSED == good.verdict
    assert PASSED == verify_number(1, "", office).verdict
    assert FAILED == verify_number(1, "", office, [checkpoint]).verdict
