"""Every code of these facts has words for patients and staff."""

from __future__ import annotations

from conftest import shipped_world

from docgen.facts.query import PARTS
from docgen.kinds import read_words
from docgen.kinds.lint import lint_words
from docgen.problem import Problems

CAUTIONS = ("prepared_from_data", "read_correct_sign", "no_substitute", "figures_of_groups", "laws_vary",
            "clinician_signs")  # fmt: skip


def test_each_reason_and_caution_has_words() -> None:
    """The reasons of the guidance are the rows of its table and the three verdicts on an INR."""
    world, problems = shipped_world(), Problems()
    reasons = [row.id for row in world.tables.table("antithrombotic-guidance")]
    reasons += [f"inr_{verdict}" for verdict in ("proceed", "repeat_test", "delay")]
    wanted = [("antithrombotic_rule.reasons", reason) for reason in reasons]
    wanted += [("physician_query_reasons", reason) for reason in PARTS]
    wanted += [("cautions", line) for line in CAUTIONS]
    lint_words(read_words(world.templates.folders), problems, wanted)

    assert [] == [problem.path for problem in problems]
