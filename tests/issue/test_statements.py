"""The questions of the register: none of those a writer or a reader of one document asks reads a table that grows."""

from __future__ import annotations

import pytest
from sqlalchemy.sql import ClauseElement

from docgen.issue import statements
from docgen.issue.keys import MasterKey
from issue.registers import Desk

QUICK = [
    "STALE",
    "DOCUMENT",
    "STANDING",
    "TWIN",
    "SET_DOCUMENT",
    "DROP_FILES",
    "PAGE",
    "ENTRIES_OF",
    "FILES_OF",
    "FILE_KEY",
    "SHARED",
    "NUMBER_OF_FILE",
    "ACCESSES_OF",
]


@pytest.fixture
def embedded(tmp_path_factory: pytest.TempPathFactory, master: MasterKey) -> Desk:
    """Give a register in a file: SQLite tells its plans in plain words."""
    return Desk(f"sqlite:///{tmp_path_factory.mktemp('plans') / 'register.sqlite'}", master)


def plan(desk: Desk, statement: ClauseElement) -> list[str]:
    """Ask SQLite how it would answer."""
    database = desk.register.database
    values = dict.fromkeys(("number", "after", "last", "limit", "new_hold", "new_erased"), 1)
    words = dict.fromkeys(("before", "key", "digest", "new_state", "kind", "state", "record", "since"), "x")
    ((text, places),) = database._compiled([(statement, {**values, **words})])
    with database.connected() as raw:
        return [row[3] for row in raw.execute(f"EXPLAIN QUERY PLAN {text}", places)]


@pytest.mark.parametrize("name", QUICK)
def test_no_question_reads_a_whole_table(embedded: Desk, name: str) -> None:
    """Each goes by a key or an index, so that the ten-thousandth document takes no longer than the first."""
    with embedded:
        steps = plan(embedded, getattr(statements, name))

    assert steps
    assert [step for step in steps if step.startswith("SCAN")] == []


def test_a_record_is_found_by_its_index(embedded: Desk) -> None:
    """Its documents, their entries and their files."""
    with embedded:
        plans = [plan(embedded, statement) for statement in statements.page_of("record", "kind")]

    assert "documents_of_record" in plans[0][0]
    assert [step for steps in plans for step in steps if step.startswith("SCAN")] == []
