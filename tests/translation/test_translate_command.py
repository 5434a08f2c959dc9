"""`docgen translate merge`: today's sentences reach a catalog; what changed is fuzzy, what is gone is dropped."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from babel.messages.catalog import Message

from docgen.cli import main
from docgen.language import read_language
from docgen.problem import Problems
from docgen.translation.catalog_file import write_catalog
from tests.translation.desk import accepted_by_gettext, catalog_of, entries_of, language, messages, sentences

LONG = max((one for one in sentences() if len(one.forms) == 1), key=lambda one: len(one.forms[0]))
OLD = LONG.forms[0].replace(" ", " then ", 1)
"""What the longest sentence was before somebody changed it."""


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """Give a Danish catalog of another day: one sentence since changed, one gone, two translated, one missing."""
    assert 0 == main(["translate", "start", "da", "--to", str(tmp_path)])
    kept = messages("da", {"You": "Dem"})
    old = [one for one in kept if one.id not in (LONG.forms[0], "Born")]
    old.append(Message(OLD, "Gammel oversættelse", context=LONG.context))
    old.append(Message("Nobody ever printed quite this before.", "Væk"))
    catalog_of(tmp_path, "da").write_bytes(write_catalog(old, language("da")))
    return tmp_path


def test_a_catalog_is_brought_up_to_date(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """The changed sentence keeps its words as a fuzzy entry with what it was; numbers are said."""
    capsys.readouterr()
    assert 0 == main(["translate", "merge", "da", "--in", str(folder), "--json"])
    entries = entries_of(folder, "da")
    changed = entries[LONG.key]
    danish = read_language("da", [folder], Problems())

    assert {"new": 1, "changed": 1, "dropped": 1}.items() <= json.loads(capsys.readouterr().out).items()
    assert {one.key for one in sentences()} == entries.keys()
    assert (True, "Gammel oversættelse", [OLD]) == (changed.fuzzy, changed.string, changed.previous_id)
    assert "" == entries[None, "Born"].string
    assert danish is not None
    assert "Dem" == danish.text("You")
    assert LONG.key not in danish.catalog.entries
    assert "" == accepted_by_gettext(catalog_of(folder, "da"))


def test_a_second_merge_writes_nothing(folder: Path) -> None:
    """The same bytes, in the same file: a previous text is not lost, and the day of the file stays."""
    merge = ["translate", "merge", "da", "--in", str(folder)]
    assert 0 == main(merge)
    file = catalog_of(folder, "da")
    before = file.read_bytes(), file.stat().st_ino, file.stat().st_mtime_ns
    assert 0 == main(merge)

    assert before == (file.read_bytes(), file.stat().st_ino, file.stat().st_mtime_ns)


def test_a_translators_own_comment_outlives_a_merge(folder: Path) -> None:
    """What a person wrote beside an entry stays, however often the program writes the file."""
    file = catalog_of(folder, "da")
    asked = f"# asked the clinic: {'formal, as in letters to adults; ' * 4}from the head of the practice\n"
    text = file.read_text("utf-8")
    start = text.rindex("\n\n", 0, text.index('msgid "You"\n')) + 2
    file.write_text(f"{text[:start]}{asked}{text[start:]}", "utf-8")
    for _ in range(2):
        assert 0 == main(["translate", "merge", "da", "--in", str(folder)])

    assert 1 == file.read_text("utf-8").count(asked)


def test_a_broken_catalog_is_refused_and_stays(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Its line is named; a file that somebody may mend is not replaced."""
    file = catalog_of(folder, "da")
    file.write_text('msgid "You"\nmsgtext "x"\n', "utf-8")

    assert 1 == main(["translate", "merge", "da", "--in", str(folder)])
    assert "[file-unreadable]" in capsys.readouterr().err
    assert 'msgid "You"\nmsgtext "x"\n' == file.read_text("utf-8")


def test_a_folder_that_refuses_leaves_the_catalog(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """English is no catalog, and a tag that is a path leads nowhere."""
    for tag in ("en", "../da", "fr"):
        assert 1 == main(["translate", "merge", tag, "--in", str(folder)])
    assert 3 == capsys.readouterr().err.count("fix")
