"""Facts of the plan, the operation and the way home, read from a case (specification 3.3, 3.6 to 3.8)."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

import pytest
from case_facts import CONSENT, UNDATED, Edits, facts_of, unknown, value_of
from conftest import example_tree

from docgen.facts import Known, Unknown

TREE = example_tree("fenwright")
PLANNED: dict[str, Any] = TREE["plan"]["procedures"][0]
DONE: dict[str, Any] = TREE["operation"]["procedures"][0]
ITEM: dict[str, Any] = TREE["teeth"][0]
UPPER = {"tooth": "28", "jaw": "upper"}
PLAIN = PLANNED | {"surgical": "no", "incision": "no"}
DRESSING = {"name": "gauze strip", "resorbable": "no", "lot": "G1"}


def plan(*rows: dict[str, Any]) -> Edits:
    """Give the change for what is proposed."""
    return {"plan.procedures": list(rows)}


def done(*rows: dict[str, Any]) -> Edits:
    """Give the change for what was performed."""
    return {"operation.procedures": list(rows)}


def without(row: dict[str, Any], *names: str) -> dict[str, Any]:
    """Leave fields of a row out."""
    return {key: value for key, value in row.items() if key not in names}


def at(*teeth: str) -> list[dict[str, Any]]:
    """Give a plain removal for each tooth."""
    sides = {"1": "right", "2": "left", "3": "left", "4": "right"}
    return [
        PLAIN | {"tooth": tooth, "side": sides[tooth[0]], "jaw": "upper" if tooth[0] in "12" else "lower"}
        for tooth in teeth
    ]


@pytest.mark.parametrize(
    ("rows", "expected"),
    [
        ([PLAIN], "low"),
        ([PLANNED], "higher"),
        ([PLAIN | {"incision": "yes"}], "higher"),
        (at("16", "26", "36"), "low"),  # 1-3 teeth [SDCEP-BR]
        (at("16", "26", "36", "46"), "higher"),
        (at("36", "37"), "higher"),  # neighbors
        (at("36", "38"), "low"),
        (at("11", "21"), "higher"),  # the two central incisors of a jaw
        (at("31", "11"), "low"),
        ([PLANNED | {"procedure": "drainage"}], "low"),
        ([PLAIN | {"procedure": "drainage"}, at("46")[0]], "higher"),  # not drainage alone
        ([PLAIN | {"procedure": "root_removal"}], "higher"),
    ],
)
def test_a_plan_has_its_bleeding_category(rows: list[dict[str, Any]], expected: str) -> None:
    """Low for drainage alone and for few plain removals apart from each other (GIZMO, SDCEP-BR)."""
    assert expected == value_of("bleeding_category", plan(*rows), CONSENT)


def test_an_open_answer_leaves_the_higher_category() -> None:
    """Assumed; where another row decides, nothing is open."""
    lacking = without(PLAIN, "surgical")

    assert ("plan.procedures[0].surgical",) == unknown("bleeding_category", plan(lacking), CONSENT).needs
    assert "higher" == unknown("bleeding_category", plan(lacking), CONSENT).assumed
    assert "higher" == value_of("bleeding_category", plan(lacking, at("16")[0] | {"surgical": "yes"}), CONSENT)


@pytest.mark.parametrize(
    ("air", "flap", "surgical", "expected", "known"),
    [
        ("yes", "yes", "yes", "caution", True),
        ("yes", "no", "yes", "mention", True),
        ("no", "yes", "yes", "no", True),
        ("not_known", "no", "yes", "mention", False),  # column U: mention if surgical
        ("not_known", "no", "no", "no", False),
        ("yes", "not_known", "no", "mention", False),
        (None, "no", "yes", "mention", False),
        ("no", None, "yes", "no", True),
    ],
)
def test_air_under_the_skin_before_the_operation(
    air: str | None, flap: str | None, surgical: str, expected: str, known: bool
) -> None:
    """An air-driven handpiece alone is a mention, with a lingual flap a caution (KLUP14)."""
    row = without(PLANNED, "air_driven", "lingual_flap") | {"surgical": surgical}
    row |= {name: value for name, value in (("air_driven", air), ("lingual_flap", flap)) if value is not None}
    result = facts_of({**plan(row), "operation.procedures": None}, CONSENT)["emphysema_caution"]

    assert (expected, known) == ((result.value, True) if isinstance(result, Known) else (result.assumed, False))


def test_air_under_the_skin_after_the_operation() -> None:
    """What was performed goes before the plan."""
    air = DONE | {"handpiece": "air_driven"}

    assert "no" == value_of("emphysema_caution", plan(PLANNED | {"air_driven": "yes"}))
    assert "mention" == value_of("emphysema_caution", done(air))
    assert "caution" == value_of("emphysema_caution", done(air | {"lingual_flap_raised": "yes"}))
    assert "mention" == unknown("emphysema_caution", done(without(DONE, "handpiece"))).assumed


@pytest.mark.parametrize(
    ("name", "change", "yes"),
    [
        ("complications_occurred", "complications", [{"code": "bleeding", "words": "oozing", "action": "gauze",
                                                      "patient_told": "yes"}]),
        ("fragment_left", "fragment", {"site": "apex", "size_mm": "2", "reason": "near the nerve", "on_purpose": "no",
                                       "patient_told": "yes"}),
        ("sinus_opened", "sinus_opening", "under_3_mm"),
        ("nerve_seen", "nerve_seen", "yes"),
        ("dressing_stays", "dressing", DRESSING),
    ],
)  # fmt: skip
def test_what_happened_is_yes_no_or_open(name: str, change: str, yes: Any) -> None:
    """One yes settles it, an unanswered row leaves it open, and a tooth not done answers nothing."""
    other = DONE | {"tooth": "48", "side": "right"}
    skipped = {"tooth": "48", "side": "right", "jaw": "lower", "performed": "not_done", "difference": "asked to wait"}

    assert value_of(name, done(DONE)) is False
    assert value_of(name, done(DONE, skipped)) is False
    assert value_of(name, done(without(DONE, change), other | {change: yes})) is True
    open_ = unknown(name, done(DONE, without(other, change)))
    assert open_.needs[0].startswith(f"operation.procedures[1].{change}")
    assert open_.assumed is None


def test_a_dressing_counts_beside_stitches() -> None:
    """Either of them; the undated leaflet goes by the planned steps."""
    assert value_of("stitches_or_pack", done(without(DONE, "sutures") | {"dressing": DRESSING})) is True
    assert value_of("stitches_or_pack", done(DONE | {"sutures": "none"})) is False
    assert isinstance(facts_of(done(without(DONE, "sutures")))["stitches_or_pack"], Unknown)
    assert value_of("stitches_or_pack", plan(PLANNED | {"extra_steps": ["membrane"]}), UNDATED) is True
    assert value_of("stitches_or_pack", plan(PLANNED | {"extra_steps": "none"}), UNDATED) is False


@pytest.mark.parametrize(
    ("rows", "lower", "upper_only"),
    [
        ([DONE], True, False),
        ([DONE | {"tooth_out": "crown_only"}], True, False),
        ([DONE | {"tooth_out": "not_out"}], False, False),
        ([DONE | UPPER], False, True),
        ([DONE | UPPER, DONE], True, False),
    ],
)
def test_a_socket_is_where_a_tooth_came_out(rows: list[dict[str, Any]], lower: bool, upper_only: bool) -> None:
    """Whole, in pieces, or its crown."""
    found = facts_of(done(*rows))

    assert (lower, upper_only) == tuple(
        getattr(found[name], "value", None) for name in ("lower_socket", "upper_socket_only")
    )


def test_the_syringe_line_needs_a_lower_socket_and_a_syringe() -> None:
    """One no settles it; before the operation there is none."""
    assert value_of("syringe_line", {}) is True
    assert value_of("syringe_line", {"aftercare.syringe_given": "no"}) is False
    assert value_of("syringe_line", {**done(without(DONE, "tooth_out")), "aftercare.syringe_given": "no"}) is False
    assert value_of("syringe_line", {**done(DONE | UPPER), "aftercare.syringe_given": None}) is False
    assert ("aftercare.syringe_given",) == unknown("syringe_line", {"aftercare.syringe_given": None}).needs
    assert value_of("syringe_line", {"aftercare.syringe_given": None}, UNDATED) is False


def upper_case(**item: Any) -> Edits:
    """Give the changes for an upper wisdom tooth beside the lower one, both planned."""
    tooth = {**ITEM, **UPPER, "canal": "not_applicable", "eruption": "erupted",
             "sinus": {"relation": "clear", "overlap_fraction": "not_applicable"}, **item}  # fmt: skip
    return {"teeth": [ITEM, without(tooth, "ramus")], **plan(PLANNED, PLANNED | UPPER)}


def test_the_nose_is_spared_after_a_tooth_at_the_sinus() -> None:
    """Per tooth: one at risk that stayed in spares nothing; an opening always does; unknown counts as yes."""
    skipped = {"side": "left", **UPPER, "performed": "not_done", "difference": "asked to wait"}
    at_risk = upper_case(eruption="partly_impacted")

    assert value_of("nose_precautions", {**at_risk, **done(DONE, DONE | UPPER | {"sinus_opening": "none"})}) is True
    assert value_of("nose_precautions", {**at_risk, **done(DONE, skipped)}) is False
    clear = {**upper_case(), **done(DONE, DONE | UPPER | {"sinus_opening": "none"})}
    assert value_of("nose_precautions", clear) is False
    opened = {**upper_case(), **done(DONE, DONE | UPPER | {"sinus_opening": "under_3_mm"})}
    assert value_of("nose_precautions", opened) is True
    assert unknown("nose_precautions", {**at_risk, "operation.procedures": None}).assumed is True
    assert value_of("nose_precautions", at_risk, UNDATED) is True


def test_an_operation_is_timed_in_elapsed_minutes() -> None:
    """The night of 29 March 2026 in London: 00:50 to 02:10 by the clock is 20 minutes."""
    night: Edits = {"operation.started_at": "2026-03-29T00:50", "operation.ended_at": "2026-03-29T02:10"}

    assert 20 == value_of("operation_minutes", night)
    assert 35 == value_of("operation_minutes", {})
    assert isinstance(facts_of({"operation.ended_at": "2026-03-17T10:04"})["operation_minutes"], Unknown)


def test_a_day_and_an_hour_show_what_they_were_counted_from() -> None:
    """Figures and dates only, as the clinician checks them."""
    found = facts_of({})
    working = {name: getattr(found[name], "working", "") for name in found}

    assert "2026-03-17 10:40 + 24 h = 2026-03-18 10:40" == working["after_rinse_from"]
    assert "2026-03-17 + 5 d = 2026-03-22, 2026-03-17 + 7 d = 2026-03-24" == working["after_suture_window"]
    assert (
        "2026-03-17 10:12 + 3 h = 2026-03-17 13:12, 2026-03-17 10:12 + 5 h = 2026-03-17 15:12"
        == (working["after_numb_window"])
    )
    assert working["after_gauze_times"].startswith("2026-03-17 10:40 + 45 min = 2026-03-17 11:25; ")
    assert "" == getattr(facts_of({}, UNDATED)["after_rinse_from"], "working", None)


def test_an_injection_without_a_time_counts_from_the_end() -> None:
    """It may have been the last one; the end of the operation is no earlier."""
    window = value_of("after_numb_window", {"operation.injections[2].at": None})

    assert ("2026-03-17 13:40", "2026-03-17 15:40") == tuple(
        f"{at:%Y-%m-%d %H:%M}" for at in (window.from_at, window.to_at)
    )


def test_the_jaw_is_at_risk_only_if_somebody_said_so() -> None:
    """Not answered is open after the operation, and no before it."""
    assert ("aftercare.jaw_at_risk",) == unknown("jaw_at_risk", {"aftercare.jaw_at_risk": None}).needs
    assert value_of("jaw_at_risk", {"aftercare.jaw_at_risk": None}, UNDATED) is False
    assert value_of("jaw_at_risk", {"aftercare.jaw_at_risk": "yes"}) is True


def test_the_head_is_raised_after_every_operation() -> None:
    """The dated leaflet needs the end of the operation for it, like every line of the timetable."""
    assert value_of("after_head_raised", {}) is True
    assert value_of("after_head_raised", {"operation.ended_at": None}, UNDATED) is True
    assert ("operation.ended_at",) == unknown("after_head_raised", {"operation.ended_at": None}).needs


def test_epinephrine_has_the_lower_limit_while_anything_is_unknown() -> None:
    """Column U of 3.6: 40 micrograms, or less for a light patient; the sheet says that it is assumed."""
    edits: Edits = {"medical.medications": None}
    found = unknown("epinephrine_limit_ug", edits, CONSENT)

    assert (("medical.medications",), Fraction(40)) == (found.needs, found.assumed.ug)
    light = unknown("epinephrine_limit_ug", {**edits, "patient.weight_kg": "10"}, CONSENT)
    assert Fraction(30) == light.assumed.ug
    assert Fraction(40) == unknown("epinephrine_limit_ug", {"patient.weight_kg": None}, CONSENT).assumed.ug
    assert value_of("dose_sheet_planned", edits, CONSENT).epinephrine_limit_assumed is True
    assert value_of("dose_sheet_planned", {}, CONSENT).epinephrine_limit_assumed is False


def test_one_reason_settles_the_lower_epinephrine_limit() -> None:
    """Propranolol alone caps it at 40 micrograms: conditions that nobody recorded could not change that."""
    drug = {"inn": "propranolol", "dose": "40 mg", "route": "by mouth", "frequency": "morning", "indication": "tremor"}
    unasked: Edits = {"medical.conditions": None}

    assert Fraction(40) == value_of("epinephrine_limit_ug", {**unasked, "medical.medications": [drug]}, CONSENT).ug
    assert ("medical.conditions",) == unknown("epinephrine_limit_ug", unasked, CONSENT).needs
    severe = [{"code": "heart_disease_severe", "words": "heart", "controlled": "yes"}]
    edits: Edits = {"medical.conditions": severe, "medical.medications": None}
    assert value_of("epinephrine_limit_ug", edits, CONSENT).assumed is False
    still = unknown(
        "epinephrine_limit_ug", {**unasked, "medical.medications": [drug], "patient.weight_kg": None}, CONSENT
    )
    assert ("patient.weight_kg",) == still.needs


def test_a_dose_needs_no_weight_and_a_limit_does() -> None:
    """No weight, no calculation, never a default."""
    edits: Edits = {"patient.weight_kg": None}

    assert {"lidocaine": 88} == value_of("la_dose_mg_planned", edits, CONSENT)
    for name in ("la_limit_mg", "la_fraction", "la_combined", "la_limiting_term", "la_remaining_ml", "la_over_limit"):
        assert ("patient.weight_kg",) == unknown(f"{name}_planned", edits, CONSENT).needs


def test_a_drug_without_a_row_leaves_the_sum_open() -> None:
    """uk_taught holds lidocaine only: never a partial sum, and not over is not said."""
    injections = [*TREE["plan"]["injections"], TREE["plan"]["injections"][0] | {"inn": "articaine", "percent": "4"}]
    edits: Edits = {"plan.injections": injections}

    assert value_of("la_limit_mg_planned", edits, CONSENT)["articaine"] is None
    for name in ("la_combined", "la_limiting_term", "la_over_limit"):
        assert ("settings.la.regime",) == unknown(f"{name}_planned", edits, CONSENT).needs
    much = [*injections, injections[0] | {"volume_ml": "20"}]
    assert value_of("la_over_limit_planned", {"plan.injections": much}, CONSENT) is True


def test_a_lower_cap_of_elsewhere_is_noted_only_above_it() -> None:
    """Articaine without a cap: note above 500 mg, the cap printed until about 2013 [DDH]."""
    row = TREE["plan"]["injections"][0] | {"inn": "articaine", "percent": "4", "cartridge_ml": "1.7"}
    label: Edits = {"settings.la.regime": "us_label", "patient.weight_kg": "90"}

    def noted(volume_ml: str) -> Any:
        edits = {**label, "plan.injections": [row | {"volume_ml": volume_ml}]}
        return value_of("dose_sheet_planned", edits, CONSENT).drugs[0].passes_note_mg

    assert [None, 500] == [noted("12.5"), noted("12.6")]


def test_severe_obesity_asks_for_a_dosing_weight() -> None:
    """Lean or ideal weight, set by the surgeon; a note, no calculation."""
    edits: Edits = {"medical.conditions": [{"code": "obesity_severe", "words": "obesity", "controlled": "yes"}]}

    assert value_of("dosing_weight_advised", {**edits, "patient.dosing_weight_kg": "not_applicable"}, CONSENT) is True
    assert value_of("dosing_weight_advised", {**edits, "patient.dosing_weight_kg": "60"}, CONSENT) is False
    assert value_of("dosing_weight_advised", {}, CONSENT) is False


def test_another_beta_blocker_is_named_for_a_note() -> None:
    """Bisoprolol brings no lower limit, propranolol does (PFIZER)."""
    drug = {"dose": "5 mg", "route": "by mouth", "frequency": "morning", "indication": "blood pressure"}

    def both(inn: str) -> tuple[Any, Any]:
        edits = {"medical.medications": [{"inn": inn, **drug}]}
        limit = value_of("epinephrine_limit_ug", edits, CONSENT)
        return value_of("other_beta_blockers", edits, CONSENT), limit.ug

    assert (("bisoprolol",), 186) == both("Bisoprolol")
    assert ((), 40) == both("propranolol")
