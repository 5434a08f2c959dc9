"""Every setting of the clinic: changing one changes what it says and nothing else, and the document names the value."""

from __future__ import annotations

import copy
import difflib
from collections.abc import Callable
from datetime import date
from typing import Any

import pytest
from conftest import ISSUED_ON, LANGUAGES, example_tree, put, shipped_world, tree_files

from docgen.blocks import plain
from docgen.case import setting_specs
from docgen.examine import Wish, examine
from docgen.generate import Made

WORLD = shipped_world()
RISK = {"risk_estimates", "risk_table", "risk_trace", "risk_sources", "root_choice", "open_points"}
DOSE = {"la_", "epinephrine_", "dose_sheet", "planned_solutions", "injected_solutions", "open_points"}
MINOR = {
    "analgesic_totals", "bilingual_wanted", "capacity_is_explained", "drug_conflicts", "endocarditis_",
    "guardian_is_named", "interpreter_needed", "leaflet_reader", "minor_decides_alone", "patient_is_minor",
    "patient_may_consent_alone",
    "patient_age_years", "readers_language", "signs_on_the_day", "signs_stage_one", "someone_else_signs",
    "retention_until",
    "nsaid_verdict", "physician_query", "age_at_operation_years", "open_points", "risk_", "adult_", "reply_", "told_",
    "witness_line", "understood_without_interpreter", "decision_maker_is_named",
}  # fmt: skip
HEART = {"endocarditis_rule", "endocarditis_verdict", "physician_query", "open_points"}
BAND = {"difficulty_", "pederson_band"}
CLASS = {"winter_class", "pederson_", "kim_", "difficulty_", "root_", "harder_factors", "open_points"}
THINNER = {"antithrombotic_rule", "inr_verdict", "physician_query", "open_points"}

FACTS: dict[str, tuple[str, str, dict[str, str], set[str]]] = {
    "jurisdiction.age_of_majority": ("fenwright", "30", {}, MINOR),
    "jurisdiction.age_of_own_consent": ("brzezna", "16", {}, MINOR),
    "jurisdiction.leap_birthday": (
        "fenwright", "28_february",
        {"patient.birth_date": "2008-02-29", "operation.started_at": "2026-02-28T10:05"}, MINOR,
    ),
    "jurisdiction.endocarditis": ("holloway", "uk_framework", {}, HEART),
    "la.regime": ("fenwright", "us_label", {}, DOSE),
    "la.combine": ("solana", "lower_of_two", {}, DOSE),
    "la.memory_rows": (
        "fenwright", "approved", {"settings.la.regime": "uk_label", "plan.injections[0].inn": "prilocaine"},
        DOSE | {"drug_conflicts"},
    ),
    "difficulty.band_set": ("brzezna", "p7", {}, BAND),
    "difficulty.other_from": ("fenwright", "111", {"teeth[0].angle_degrees": "105"}, CLASS | RISK),
    "risk.any_complication_ratios": ("kestrelmoor", "never", {}, RISK),
    "risk.score_envelope": ("kestrelmoor", "off", {}, RISK),
    "risk.depth_reference": ("brzezna", "C_vs_B", {}, RISK),
    "risk.max_ratio_studies": ("fenwright", "0", {}, RISK),
    "risk.contradicted_ratios": ("fenwright", "wording", {}, RISK),
    "risk.lingual_flap": ("malvasio", "stratum", {}, RISK),
    "risk.ln_permanent": ("fenwright", "lee23", {}, RISK),
    "risk.dry_socket_non_smoker": ("fenwright", "central_low", {}, RISK),
    "risk.film_sign_floor": ("solana", "0.20", {}, RISK),
    "risk.tuberosity_event": ("rotacker", "large_fragment", {}, RISK),
    "risk.orn_unit": ("fenwright", "socket", {"medical.jaw_radiotherapy.given": "not_known"}, RISK),
    "risk.coronectomy_ian": ("solana", "older_range", {}, RISK),
    "risk.memory_figures": ("pinhal", "on", {}, RISK | {"after_mronj_check"}),
    "risk.protective_ratios": ("fenwright", "on", {}, RISK),
    "antithrombotic.inr_rule": ("holloway", "below_4", {"medical.inr.value": "3.7"}, THINNER),
    "antithrombotic.doac_guidance": ("rotacker", "ask_physician", {}, THINNER),
    "mronj.denosumab_washout": (
        "pinhal", "nine_months",
        dict.fromkeys(
            ("medical.antiresorptives[0].stopped_on", "medical.antiresorptives[0].last_dose_on"), "2024-01-10"
        ),
        {"mronj_group", "mronj_reasons", "physician_query", "open_points", "after_mronj_check"} | RISK,
    ),
    "aftercare.metronidazole_alcohol_hours": ("brzezna", "48", {}, {"metronidazole_alcohol_hours"}),
    "aftercare.dry_socket_watch_days": ("fenwright", "5", {}, {"after_dry_socket_last_day"}),
    "aftercare.nsaid_food": ("fenwright", "as_leaflet_in_box", {}, {"nsaid_food"}),
    "retention.years_adult": ("fenwright", "11", {}, {"retention_until"}),
    "retention.child_until_age": ("brzezna", "25", {}, {"retention_until"}),
}  # fmt: skip
"""Setting > example, another value, an edit that lets it act, and facts (or how their names begin) it may move."""

IN_THE_TEXT = {
    "jurisdiction.emergency_number": ("aftercare", "999"),
    "risk.words": ("consent", "on"),
    "reading.words_per_minute": ("consent", "100"),
    "aftercare.nsaid_food": ("aftercare", "as_leaflet_in_box"),
}
"""Setting > a kind of case 1 in whose lines it shows, and another value."""

ELSEWHERE = {
    "jurisdiction.name": "names the place for whoever reads the settings; no document prints law",
    "issue.unreviewed": "acts when a document is issued (the register)",
    "issue.unapproved": "acts when a document is issued (the register)",
    "language.unreviewed": "held by test_languages with a catalog nobody has reviewed",
    "retention.<kind>.years": "acts when a document is issued: held by issue/test_retention",
    "readability.<language>.<kind>.index": "held by test_late_facts",
    "readability.<language>.<kind>.target": "held by test_late_facts",
    "readability.<language>.<kind>.severity": "held by test_late_facts",
    "exchange.tooth_system": "acts in exchanged data, held by tests/exchange/test_codes",
    "exchange.icd10_system": "acts in exchanged data, held by tests/exchange/test_codes",
    "exchange.procedure.<code>": "acts in exchanged data, held by tests/exchange/test_codes",
    "exchange.condition.<code>": "acts in exchanged data, held by tests/exchange/test_codes",
    "exchange.allergy.<group>": "acts in exchanged data, held by tests/exchange/test_codes",
    "exchange.medicine.<inn>": "acts in exchanged data, held by tests/exchange/test_codes",
}


def _facts(tree: dict[str, Any], name: str) -> dict[tuple[str, str, str], object]:
    wish = Wish(on=ISSUED_ON[name], language=LANGUAGES.get(name, ""))
    seen = examine(tree_files(tree), wish, WORLD, lambda _zone: ISSUED_ON[name])
    return {
        (one.kind.name, one.request.copy, fact): result
        for one in seen.asked
        for fact, result in one.stated.results.items()
    }


def _chosen(tree: dict[str, Any], setting: str, value: str) -> dict[str, Any]:
    changed = copy.deepcopy(tree)
    changed["settings"][setting] = {"value": value, "by": "Maren Holt", "on": "2026-01-05"}
    return changed


def _edited(name: str, edits: dict[str, str]) -> dict[str, Any]:
    tree = copy.deepcopy(example_tree(name))
    for path, value in edits.items():
        if path.startswith("settings."):
            tree = _chosen(tree, path.removeprefix("settings."), value)
        else:
            put(tree, path, value)
    return tree


def test_every_setting_has_its_test() -> None:
    """No setting of the clinic is left out."""
    assert set(setting_specs()) == {*FACTS, *IN_THE_TEXT, *ELSEWHERE}


@pytest.mark.parametrize("setting", sorted(FACTS))
def test_a_setting_moves_its_facts_and_no_other(setting: str) -> None:
    """Another value changes a fact the setting speaks of, and leaves every other fact as it was."""
    name, value, edits, allowed = FACTS[setting]
    tree = _edited(name, edits)
    before, after = _facts(tree, name), _facts(_chosen(tree, setting, value), name)
    moved = {key[2] for key in before if before[key] != after.get(key)}

    assert moved
    assert {fact for fact in moved if not fact.startswith(tuple(allowed))} == set()


@pytest.mark.parametrize("setting", sorted(IN_THE_TEXT))
def test_a_setting_shows_in_the_text_and_in_the_origin(setting: str, made: Callable[..., Made]) -> None:
    """The text changes only where the setting speaks; the document knows the value it used."""
    kind, value = IN_THE_TEXT[setting]
    tree = example_tree("fenwright")
    wish: dict[str, Any] = {"on": ISSUED_ON["fenwright"], "formats": ("text",), "copies": ("patient",)}
    first = made(tree_files(tree), kind, **wish)
    other = made(tree_files(_chosen(tree, setting, value)), kind, **wish)
    lines = [next(iter(m.files.values())).decode().splitlines() for m in (first, other)]
    changed = [line for line in difflib.unified_diff(lines[0], lines[1], lineterm="", n=0) if line[:1] in "+-"][2:]

    assert 0 < len(changed) <= 60
    assert {dict(d.origin.settings).get(setting) for d in other.documents.values()} == {value}


def test_the_clinics_copy_says_how_long_it_is_kept(made: Callable[..., Made]) -> None:
    """The foot of the clinic's copy names the day, where the clinic set the years; the patient's copy does not."""
    tree = _chosen(example_tree("fenwright"), "retention.years_adult", "11")
    documents = made(tree_files(tree), "consent", on=ISSUED_ON["fenwright"], formats=()).documents
    feet = {name: [plain(line) for line in d.furniture.foot] for name, d in documents.items()}

    assert {name: any("verify locally" in line for line in foot) for name, foot in feet.items()} == {
        "HM-2026-0117-consent-clinic-en": True,
        "HM-2026-0117-consent-patient-en": False,
    }
    assert "Keep until 24\u00a0March 2037; verify locally." in feet["HM-2026-0117-consent-clinic-en"]


def test_a_choice_without_approver_or_date_is_refused(fenwright: dict[str, Any]) -> None:
    """Each setting carries who approved it and when."""
    for part in ("by", "on"):
        tree = copy.deepcopy(fenwright)
        del tree["settings"]["la.regime"][part]
        day = ISSUED_ON["fenwright"]
        seen = examine(tree_files(tree), Wish(("consent",), on=day), WORLD, lambda _zone: date.max)
        assert ("missing-field", f"settings.la.regime.{part}") in {(p.code, p.path) for p in seen.problems.refusing}
