"""The safety sheet: nineteen points over three pauses, every box empty, one page, nothing of the operation asked."""

from __future__ import annotations

import copy
from collections.abc import Callable
from datetime import date
from typing import Any

import pytest
from conftest import drop, put, shipped_world
from render.reading import page_words

from docgen.blocks import Document, Table, Writing, plain
from docgen.generate import Examined, Made
from docgen.kinds import read_kind
from docgen.kinds.complete import CODES_OF_ABSENCE
from docgen.problem import Problems, Severity

ON = date(2026, 3, 17)


@pytest.fixture(scope="module")
def points(made: Callable[..., Made]) -> Callable[[dict[str, Any]], dict[str, str]]:
    """Give a function that gives what the program filled in, by the number of the point."""

    def make(tree: dict[str, Any]) -> dict[str, str]:
        (document,) = made(tree, "safety-sheet", on=ON, formats=()).documents.values()
        return {plain(row[0]): plain(row[2]).replace("\u00a0", " ") for table in tables(document) for row in table.rows}

    return make


@pytest.fixture(scope="module")
def refused(looked: Callable[..., Examined]) -> Callable[[dict[str, Any]], dict[str, str]]:
    """Give a function that gives what a tree is refused for: path > code."""

    def look(tree: dict[str, Any]) -> dict[str, str]:
        found = looked(tree, "safety-sheet", on=ON).problems
        return {p.path: p.code for p in found if p.severity is Severity.REFUSE}

    return look


def tables(document: Document) -> list[Table]:
    """Give the tables of the three pauses."""
    return [block for block in document.blocks if isinstance(block, Table)]


def before_the_operation(tree: dict[str, Any]) -> dict[str, Any]:
    """Take out all that is recorded only during or after the operation."""
    for group in ("operation", "prescriptions", "aftercare", "follow_up", "reply"):
        del tree[group]
    for leaf in ("confirmed_at", "confirmed_by", "changes"):
        del tree["consent"][leaf]
    return tree


def test_nineteen_points_stand_in_three_pauses(made: Callable[..., Made], fenwright: dict[str, Any]) -> None:
    """7, 7 and 5 points, numbered through [WHO-19]; each pause has a line for the time and each point for initials."""
    (document,) = made(fenwright, "safety-sheet", on=ON, formats=()).documents.values()

    assert ["K sign in", "K time out", "K sign out"] == [section.id for section in document.sections]
    assert [7, 7, 5] == [len(table.rows) for table in tables(document)]
    assert [str(n) for n in range(1, 20)] == [plain(row[0]) for table in tables(document) for row in table.rows]
    assert 3 == sum(isinstance(block, Writing) for block in document.blocks)
    assert {"Initials"} == {plain(table.header[4]) for table in tables(document)}


def test_every_box_is_left_to_the_team(made: Callable[..., Made], fenwright: dict[str, Any]) -> None:
    """The program ticks nothing and initials nothing, even when the operation is over."""
    pack = made(fenwright, "safety-sheet", on=ON, formats=("text",))
    (document,) = pack.documents.values()
    (text,) = pack.files.values()

    assert {(3,)} == {table.boxes for table in tables(document)}
    assert {""} == {plain(cell) for table in tables(document) for row in table.rows for cell in row[3:]}
    assert (19, 0) == (text.decode().count("☐"), text.decode().count("☒"))


def test_the_sheet_is_one_page(made: Callable[..., Made], fenwright: dict[str, Any]) -> None:
    """Case 1 fits on one sheet of A4."""
    (pdf,) = made(fenwright, "safety-sheet", on=ON, formats=("pdf",)).files.values()

    assert 1 == len(page_words(pdf))


def test_the_sheet_is_never_signed(made: Callable[..., Made], fenwright: dict[str, Any]) -> None:
    """It carries no mark of a missing signature."""
    (document,) = made(fenwright, "safety-sheet", on=ON, formats=()).documents.values()

    assert "UNSIGNED COPY" not in [mark.words for mark in document.furniture.marks]


def test_nothing_of_the_operation_is_asked(
    refused: Callable[..., dict[str, str]], points: Callable[..., dict[str, str]], fenwright: dict[str, Any]
) -> None:
    """The sheet is ready before the operation, and the same after it."""
    kind = read_kind("safety-sheet", shipped_world().templates, Problems())
    assert kind is not None
    declared = {pattern for requirement in kind.requires for pattern in requirement.fields} | set(kind.optional)
    later = ("operation.", "prescriptions", "aftercare.", "follow_up.", "reply.")

    assert set() == {pattern for pattern in declared if pattern.startswith(later)}
    before = before_the_operation(copy.deepcopy(fenwright))
    assert {} == refused(copy.deepcopy(before))
    assert points(fenwright) == points(before)


def test_case_one_is_filled_in(points: Callable[..., dict[str, str]], fenwright: dict[str, Any]) -> None:
    """Identity, site, drugs against limits and epinephrine: 272.8 mg and 186 micrograms (section 7, row 1)."""
    filled = points(fenwright)

    assert "Orla Fenwright (Ms Fenwright), 19 November 2001; interpreter needed: no" == filled["1"]
    assert "lower left wisdom tooth (third molar), 38 FDI, LL8 Palmer: removal" == filled["2"]
    # planned 4.4 mL of 2 % = 88 mg of 4.4 mg/kg x 62 kg; 13.64 - 4.4 = 9.24 mL more
    assert "62.0 kg: lidocaine 88.0 of 272.8 mg; 2.0 per cent: 9.2 mL more; trouble: none" == filled["3"]
    assert "none" == filled["5"]
    assert filled["9"].startswith("number of teeth: 1; lower left wisdom tooth")
    assert "186.0 micrograms; illness, medicine: none" == filled["11"]
    assert "panoramic radiograph, 20 February 2026" == filled["14"]


@pytest.mark.parametrize(
    "path",
    [
        "plan.operation_at",
        "plan.operator",
        "plan.procedures[0].procedure",
        "plan.procedures[0].surgical",
        "plan.injections",
        "plan.injections[0].volume_ml",
        "plan.antibiotic",
        "medical.allergies",
        "medical.anesthetic_history",
        "medical.antithrombotics",
        "medical.conditions",
        "medical.endocarditis_heart",
        "patient.interpreter_needed",
        "imaging",
    ],
)
def test_a_required_field_that_is_missing_refuses_the_sheet(
    refused: Callable[..., dict[str, str]], fenwright: dict[str, Any], path: str
) -> None:
    """A sheet with a gap is not printed; the gap is named."""
    tree = before_the_operation(fenwright)
    drop(tree, path)

    found = refused(tree)
    assert CODES_OF_ABSENCE.get(path.replace("[0]", "[]"), "missing-field") == found[path]


def test_sedation_needs_the_oximeter_and_an_escort(
    refused: Callable[..., dict[str, str]], points: Callable[..., dict[str, str]], fenwright: dict[str, Any]
) -> None:
    """Without sedation both are not applicable; with it both are named, and a missing escort refuses the sheet."""
    tree = before_the_operation(fenwright)
    assert "not applicable: no sedation" == points(copy.deepcopy(tree))["4"]
    assert points(copy.deepcopy(tree))["19"].startswith("escort: not applicable")

    put(tree, "plan.anesthesia", "local_with_sedation")
    tree["plan"]["sedation"] = {"route": "intravenous", "inn": "midazolam", "fasting": "Nothing for six hours."}
    assert {"escort"} == {path.split(".")[0] for path in refused(copy.deepcopy(tree))}

    tree["escort"] = {"name": "Tam Fenwright", "phone": "0100 555 0141"}
    filled = points(tree)
    assert "needed: midazolam, intravenous" == filled["4"]
    assert filled["19"].startswith("escort: Tam Fenwright, 0100 555 0141")


def warfarin(tree: dict[str, Any], value: str) -> dict[str, Any]:
    """Let the patient take warfarin, with an INR taken the evening before."""
    drug = {"inn": "warfarin", "dose_mg": "3", "dose_times": ["18:00"], "indication": "clot", "recent_event": "none"}
    put(tree, "medical.antithrombotics", [{**drug, "last_dose_at": "2026-03-16T18:00"}])
    put(tree, "medical.inr", {"value": value, "taken_at": "2026-03-16T16:00", "stable": "yes"})
    decision = {"inn": "warfarin", "decision": "continue", "by": "mh", "on": "2026-03-03"}
    put(tree, "plan.antithrombotic_decisions", [decision])
    return tree


def test_warfarin_prints_the_inr_and_its_verdict(
    refused: Callable[..., dict[str, str]], points: Callable[..., dict[str, str]], fenwright: dict[str, Any]
) -> None:
    """An INR of 3.5, 18 hours old, proceeds [CDA24]; not known it is repeated; not recorded the sheet is refused."""
    tree = before_the_operation(fenwright)
    assert "blood thinner: none" == points(copy.deepcopy(tree))["7"]

    warfarin(tree, "3.5")
    filled = points(copy.deepcopy(tree))
    assert "INR 3.5, 16 March 2026, 16:00: proceed" in filled["7"]
    assert filled["7"].endswith("warfarin, decided: continue (Maren Holt)")
    assert filled["11"].endswith("medicines: none; warfarin")
    assert "warfarin (usually at 18:00)" in filled["19"]

    put(tree, "medical.inr", "not_known")
    assert "INR not known (asked): repeat the test" in points(copy.deepcopy(tree))["7"]
    put(tree, "plan.antithrombotic_decisions", "none")
    assert points(copy.deepcopy(tree))["7"].endswith("no decision recorded")

    del tree["medical"]["inr"]
    assert {"medical.inr.value", "medical.inr.taken_at"} <= set(refused(tree))


def test_what_limits_the_operation_is_read_aloud(
    points: Callable[..., dict[str, str]], fenwright: dict[str, Any]
) -> None:
    """Limits of the consent stand at point 10, a bone drug with its group at 11, a minor's guardian at 1."""
    tree = before_the_operation(fenwright)
    assert "surgical" == points(copy.deepcopy(tree))["10"]

    tree["consent"].update(not_agreed="Taking out 28.", only_if_urgent="A larger cut.")
    drug = {"inn": "denosumab", "route": "injection", "indication": "cancer", "started_on": "2025-01-08"}
    tree["medical"]["antiresorptives"] = [{**drug, "stopped_on": "not_applicable", "last_dose_on": "2026-01-08"}]
    tree["patient"]["birth_date"] = "2010-02-01"
    tree["guardian"] = {"name": "Tam Fenwright", "relation": "father"}
    filled = points(tree)

    assert filled["1"].endswith("guardian: Tam Fenwright (father)")
    assert "surgical; not agreed: Taking out 28. only if urgent: A larger cut." == filled["10"]
    assert filled["11"].endswith("denosumab; jaw bone (MRONJ): higher risk group")


def test_an_allergy_is_named_with_its_reaction(
    points: Callable[..., dict[str, str]], fenwright: dict[str, Any]
) -> None:
    """The substance and what happened stand beside the point."""
    allergy = {"substance": "latex", "group": "latex", "reaction": "wheeze", "severity": "anaphylaxis"}
    put(fenwright, "medical.allergies", [allergy])

    assert "latex (wheeze)" == points(before_the_operation(fenwright))["5"]


def test_a_heart_at_risk_names_the_dose_of_the_guidance(
    refused: Callable[..., dict[str, str]], points: Callable[..., dict[str, str]], fenwright: dict[str, Any]
) -> None:
    """With a listed heart and us_2021 the dose of 2,000 mg amoxicillin is named [AHA-S]; with none the rule is none."""
    tree = before_the_operation(fenwright)
    assert "planned: none; heart rule: none" == points(copy.deepcopy(tree))["13"]

    put(tree, "medical.endocarditis_heart", ["previous_endocarditis"])
    tree["settings"]["jurisdiction.endocarditis"]["value"] = "us_2021"
    dose = {"inn": "amoxicillin", "dose_mg": "2000", "minutes_before": "60", "reason": "heart at risk"}
    put(tree, "plan.antibiotic", dose)
    assert "amoxicillin 2,000 mg, 60 min before; heart rule: amoxicillin 2,000 mg" == points(copy.deepcopy(tree))["13"]

    del tree["settings"]["jurisdiction.endocarditis"]
    assert "no-jurisdiction" in refused(tree).values()


def test_without_a_weight_no_limit_is_made_up(points: Callable[..., dict[str, str]], fenwright: dict[str, Any]) -> None:
    """No weight, no limit; the lower limit of epinephrine, 40 micrograms [YAGIELA], is said to be assumed."""
    tree = before_the_operation(fenwright)
    for leaf in ("weight_kg", "weight_on"):
        del tree["patient"][leaf]
    filled = points(tree)

    assert filled["3"].startswith("no limit computed")
    assert filled["11"].startswith("40.0 micrograms, assumed")


def test_several_teeth_are_counted(points: Callable[..., dict[str, str]], fenwright: dict[str, Any]) -> None:
    """Two teeth are named in full at the site and counted at the second pause."""
    tree = before_the_operation(fenwright)
    item = copy.deepcopy(tree["teeth"][0]) | {"tooth": "48", "side": "right"}
    planned = copy.deepcopy(tree["plan"]["procedures"][0]) | {"tooth": "48", "side": "right"}
    tree["teeth"].append(item)
    tree["plan"]["procedures"].append(planned)
    tree["consent"]["teeth"] = ["38", "48"]
    filled = points(tree)

    assert "38 FDI, LL8 Palmer: removal; lower right wisdom tooth" in filled["2"]
    assert filled["9"].startswith("number of teeth: 2;")
