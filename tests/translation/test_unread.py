"""What the clinic typed in its own language is named to whoever makes a text for a reader of another."""

from __future__ import annotations

from datetime import date
from typing import Any

from conftest import shipped_world, tree_files

from docgen.drafts import text_problems
from docgen.examine import Wish, examine

DAY = date(2026, 3, 17)


def _notes(tree: dict[str, Any], reader: str) -> list[str]:
    world = shipped_world()
    tree["patient"].update(preferred_language=reader, interpreter_needed="no")
    seen = examine(tree_files(tree), Wish(("consent", "aftercare"), on=DAY), world, lambda _zone: DAY)
    return [problem.in_words() for problem in text_problems(seen, world) if problem.code == "text-unread"]


def test_free_texts_of_another_language_are_named_with_their_lines(fenwright: dict[str, Any]) -> None:
    """One note a document names each field; names, numbers and drugs are none of them."""
    (note,) = _notes(fenwright, "ar")

    assert "its reader reads Arabic" in note
    assert "plan.benefit" in note
    assert "patient.family_name" not in note
    assert "(note)" in note


def test_a_reader_of_the_clinics_language_needs_no_note(fenwright: dict[str, Any]) -> None:
    """In the clinic's own language everything can be read."""
    assert [] == _notes(fenwright, "en")
