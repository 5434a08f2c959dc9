"""Facts of teeth, read from a case: numbers, classes, totals, risks and gaps (specification 3.2)."""

from __future__ import annotations

from typing import Any

import pytest
from case_facts import CONSENT, REFERRAL, Edits, facts_of, unknown, value_of
from conftest import example_tree

from docgen.answer import Answer
from docgen.facts import Known, Unknown

ITEM: dict[str, Any] = example_tree("fenwright")["teeth"][0]
PLANNED: dict[str, Any] = example_tree("fenwright")["plan"]["procedures"][0]
KIM = {"level": "4", "space_ratio": "0.2", "reverse": "no"}


def both(**of_48: Any) -> Edits:
    """Give the changes for a second lower third molar, 48, beside 38."""
    item = {**ITEM, "tooth": "48", "side": "right", **of_48}
    return {
        "teeth": [ITEM, {key: value for key, value in item.items() if value is not None}],
        "plan.procedures": [PLANNED, PLANNED | {"tooth": "48", "side": "right"}],
    }


def upper(**changed: Any) -> Edits:
    """Give the changes for an upper right third molar in place of 38."""
    place = {"tooth": "18", "jaw": "upper", "side": "right"}
    item = {**ITEM, **place, "canal": "not_applicable", **changed}
    item.pop("ramus")
    return {
        "teeth": [{key: value for key, value in item.items() if value is not None}],
        "plan.procedures": [PLANNED | place],
    }


def test_a_tooth_has_its_names_by_fdi_number() -> None:
    """Lower left wisdom tooth: 38, Universal 17, Palmer LL8 [FDI-W]; its words are found by the FDI number."""
    found = facts_of({}, CONSENT)
    named = [found[name] for name in ("tooth_universal", "tooth_palmer", "tooth_words")]

    assert [{"38": "17"}, {"38": "LL8"}, {"38": "38"}] == [getattr(one, "value", None) for one in named]


def test_without_a_notation_a_number_names_no_tooth() -> None:
    """18 is an upper right tooth in one system and a lower left one in another."""
    for name in ("tooth_fdi", "tooth_universal", "tooth_palmer", "tooth_words", "teeth_in_question"):
        assert ("record.tooth_notation",) == unknown(name, {"record.tooth_notation": None}, CONSENT).needs


@pytest.mark.parametrize(
    ("degrees", "from_101", "from_111"),
    [
        ("10", "vertical", "vertical"),  # reference, check 1 [IJD21] [JCM21]
        ("11", "mesioangular", "mesioangular"),
        ("79", "mesioangular", "mesioangular"),
        ("80", "horizontal", "horizontal"),
        ("100", "horizontal", "horizontal"),
        ("101", "other", "horizontal"),  # [SCIN] against [IJD21]
        ("110", "other", "horizontal"),
        ("111", "other", "other"),
    ],
)
def test_an_angle_has_its_class_under_either_reading(degrees: str, from_101: str, from_111: str) -> None:
    """The setting difficulty.other_from moves the end of horizontal and nothing else."""
    edits: Edits = {"teeth[0].angle_degrees": degrees}
    later = edits | {"settings.difficulty.other_from": "111"}

    assert {"38": from_101} == value_of("winter_class", edits, CONSENT)
    assert {"38": from_111} == value_of("winter_class", later, CONSENT)


def test_a_recorded_class_counts_only_without_degrees() -> None:
    """Degrees win; without either the class is open."""
    assert {"38": "mesioangular"} == value_of("winter_class", {"teeth[0].angle_class": "vertical"}, CONSENT)
    only_class: Edits = {"teeth[0].angle_degrees": None, "teeth[0].angle_class": "vertical"}
    assert {"38": "vertical"} == value_of("winter_class", only_class, CONSENT)
    assert unknown("winter_class", {"teeth[0].angle_degrees": "not_known"}, CONSENT).asked


def test_the_totals_show_their_points() -> None:
    """Rows of the index as keys, with their points (PDI18, KIM19)."""
    edits: Edits = {"teeth[0].eruption": "fully_impacted", "teeth[0].kim": KIM}
    found = facts_of(edits, CONSENT)

    pederson, kim = found["pederson_total"], found["kim_total"]
    assert isinstance(pederson, Known)
    assert isinstance(kim, Known)
    assert "38: relation_mesioangular 1 + depth_B 2 + ramus_II 2 = 5" == pederson.working
    assert "38: relation_mesioangular 1 + level_4 4 + space_narrow 3 = 8" == kim.working
    assert ({"38": 8}, {"38": "very"}) == (kim.value, value_of("kim_band", edits, CONSENT))


def test_class_other_is_not_scorable_and_nothing_is_missing() -> None:
    """Known, though depth and ramus are not recorded."""
    edits: Edits = {"teeth[0].angle_degrees": "120", "teeth[0].depth": None, "teeth[0].ramus": None}

    assert {"38": "not_scorable"} == value_of("pederson_total", edits, CONSENT)
    assert {"38": "not_scorable"} == value_of("pederson_band", edits, CONSENT)


def test_the_extended_index_is_open_for_a_fully_impacted_tooth_without_entries() -> None:
    """Not recorded is not the same as not applicable; for another eruption the index does not apply."""
    full: Edits = {"teeth[0].eruption": "fully_impacted"}

    assert unknown("kim_total", {**full, "teeth[0].kim": None}, CONSENT).needs == ("teeth[0].kim.reverse",)
    assert {"38": Answer.NOT_APPLICABLE} == value_of("kim_total", {**full, "teeth[0].kim": "not_applicable"}, CONSENT)
    assert {"38": Answer.NOT_APPLICABLE} == value_of("kim_total", {"teeth[0].kim": None}, CONSENT)
    assert ("teeth[0].eruption",) == unknown(
        "kim_total", {"teeth[0].kim": None, "teeth[0].eruption": "not_known"}, CONSENT
    ).needs


@pytest.mark.parametrize(("degrees", "reverse", "total"), [("120", "no", "not_scorable"), ("120", "yes", 12)])
def test_a_reversed_tooth_is_scored_whatever_its_angle(degrees: str, reverse: str, total: Any) -> None:
    """Reverse 5 + level 4 + narrow 3 (KIM19); class other without it is not scorable."""
    edits: Edits = {
        "teeth[0].eruption": "fully_impacted",
        "teeth[0].kim": KIM | {"reverse": reverse},
        "teeth[0].angle_degrees": degrees,
    }

    assert {"38": total} == value_of("kim_total", edits, CONSENT)


@pytest.mark.parametrize(("band_set", "band"), [("p8", "moderate"), ("p7", "very")])
def test_at_seven_both_bands_are_kept_and_the_patient_hears_the_harder(band_set: str, band: str) -> None:
    """Vertical A III is 7: moderate by PDI18, very by DPOCK (reference, check 3)."""
    edits: Edits = {
        "teeth[0].angle_degrees": "0",
        "teeth[0].depth": "A",
        "teeth[0].ramus": "III",
        "settings.difficulty.band_set": band_set,
    }
    bands = value_of("pederson_band", edits, CONSENT)["38"]
    hardest = value_of("difficulty_case", edits, CONSENT).difficulty

    assert (band, "moderate", "very", True) == (bands.band, bands.p8, bands.p7, bands.sets_differ)
    assert (7, band, "very") == (hardest.total, hardest.grade, hardest.patient_grade)


def test_one_tooth_nobody_could_place_leaves_the_other_its_total() -> None:
    """The fact is open, the known tooth is kept, and its score still raises its figures."""
    edits = both(angle_degrees="not_known")
    edits["teeth"] = [ITEM | {"angle_degrees": "85"}, edits["teeth"][1]]
    total = unknown("pederson_total", edits, CONSENT)
    alone = {**edits, "teeth": edits["teeth"][:1], "plan.procedures": [PLANNED]}

    assert (("teeth[1].angle_degrees",), {"38": 6}) == (total.needs, total.partial)
    assert _nerve_figure(edits) == _nerve_figure(alone) == 44  # 4.7, example 5: the envelope acts from 6


def _nerve_figure(edits: Edits) -> int:
    estimates = value_of("risk_estimates", edits, CONSENT)
    (printed,) = [e.printed for e in estimates if e.event == "ian_temporary" and e.fdi == "38"]
    return int(printed.affected)


@pytest.mark.parametrize(
    ("edits", "rank"),
    [
        ({}, 2),  # total 5
        ({"teeth[0].depth": "A", "teeth[0].ramus": "I"}, 1),
        ({"teeth[0].angle_degrees": "-30", "teeth[0].depth": "C"}, 3),
        ({"teeth[0].surgeon_grade": "extreme"}, 4),
        ({"teeth[0].angle_degrees": "120"}, 3),  # not scorable and not graded
        ({"teeth[0].angle_degrees": "120", "teeth[0].surgeon_grade": "slight"}, 1),
        ({"teeth[0].eruption": "fully_impacted", "teeth[0].kim": KIM}, 3),
        ({"teeth[0].eruption": "fully_impacted"}, 2),  # Kim not recorded: Pederson's total stands
        ({"teeth[0].depth": "not_known", "plan.procedures[0].surgical": "no"}, 1),
        (upper(), 2),  # surgical without a score
        ({**upper(), "plan.procedures": [{**upper()["plan.procedures"][0], "surgical": "no"}]}, 1),
    ],
)
def test_a_tooth_has_its_rank(edits: Edits, rank: int) -> None:
    """The first that applies of the row difficulty_tooth."""
    (found,) = value_of("difficulty_tooth", edits, CONSENT).values()

    assert rank == found.rank


def test_a_surgical_lower_third_molar_without_a_total_has_no_rank() -> None:
    """Column U; graded is no as long as no total is a number."""
    edits: Edits = {"teeth[0].depth": "not_known"}

    assert ("teeth[0].depth",) == unknown("difficulty_tooth", edits, CONSENT).needs
    assert isinstance(facts_of(edits, CONSENT)["difficulty_case"], Unknown)
    assert unknown("difficulty_graded", edits, CONSENT).assumed is False
    assert value_of("difficulty_graded", {}, CONSENT) is True
    assert value_of("difficulty_graded", upper(), CONSENT) is False
    assert value_of("difficulty_graded", both(angle_degrees="not_known"), CONSENT) is True


def test_a_referral_takes_the_tooth_as_surgical() -> None:
    """It holds no plan yet."""
    edits = {**upper(), "referral.teeth": ["18"], "plan.procedures": None}

    assert 2 == value_of("difficulty_tooth", edits, REFERRAL)["18"].rank
    assert isinstance(facts_of(edits, CONSENT)["difficulty_tooth"], Unknown)


def test_the_hardest_tooth_stands_for_the_case() -> None:
    """By rank, then total, then harder factors, then lowest number."""
    assert "48" == value_of("difficulty_case", both(depth="C"), CONSENT).tooth
    assert "48" == value_of("difficulty_case", both(bone="dense"), CONSENT).tooth
    assert "38" == value_of("difficulty_case", both(), CONSENT).tooth


@pytest.mark.parametrize(
    ("relation", "eruption", "at_risk", "known"),
    [
        ("clear", "erupted", False, True),
        ("clear", "partly_impacted", True, True),
        ("tips_on_floor", "erupted", True, True),
        ("clear", "not_known", True, False),
        ("not_known", "erupted", True, False),
        ("not_known", "fully_impacted", True, True),
        (None, "erupted", True, False),
    ],
)
def test_an_upper_tooth_is_at_the_sinus_unless_proved_clear(
    relation: str | None, eruption: str, at_risk: bool, known: bool
) -> None:
    """Column U: yes, for the tooth nobody could place (ROTH07, HASEG16)."""
    sinus = None if relation is None else {"relation": relation, "overlap_fraction": "not_applicable"}
    found = facts_of(upper(sinus=sinus, eruption=eruption), CONSENT)
    result, anywhere = found["sinus_at_risk"], found["sinus_at_risk_anywhere"]

    assert {"18": at_risk} == (result.value if isinstance(result, Known) else result.assumed)
    assert known is isinstance(result, Known)
    assert known is isinstance(anywhere, Known)


def test_the_lower_tooth_beside_an_open_upper_one_stays_clear() -> None:
    """Assumed for each tooth by itself."""
    edits = {
        "teeth": [ITEM, upper(sinus={"relation": "not_known", "overlap_fraction": "not_applicable"})["teeth"][0]],
        "plan.procedures": [PLANNED, upper()["plan.procedures"][0]],
    }
    edits["teeth"][1]["eruption"] = "erupted"
    found = unknown("sinus_at_risk", edits, CONSENT)

    assert ({"38": False, "18": True}, {"38": False}, True) == (found.assumed, found.partial, found.asked)


@pytest.mark.parametrize(
    ("canal", "expected"),
    [
        ({"relation": "touching", "film_signs": "none"}, False),
        ({"relation": "overlapping"}, True),
        ({"relation": "clear", "film_signs": ["root_narrowing"]}, True),
        ({"relation": "clear", "film_signs": "none", "ct_position": "lingual"}, True),
        ({"relation": "clear", "film_signs": "none", "ct_position": "between_roots"}, True),
        ({"relation": "clear", "film_signs": "none", "ct_position": "buccal", "ct_contact": "yes"}, True),
        ({"relation": "clear", "film_signs": "none", "ct_position": "buccal", "ct_contact": "no"}, False),
        ({"relation": "clear", "film_signs": "none", "ct_position": "buccal", "ct_contact": "not_known"}, None),
        ({"relation": "clear", "film_signs": "none", "ct_position": "below"}, None),
        ({"relation": "clear", "film_signs": "not_known"}, None),
        ({"relation": "not_known", "film_signs": "none"}, None),
        ({"relation": "not_known", "film_signs": ["root_darkening"]}, True),
    ],
)
def test_the_canal_is_at_risk_if_any_part_says_so(canal: dict[str, Any], expected: bool | None) -> None:
    """One yes settles it, else one unknown leaves it open (ATIEH10, SU17)."""
    result = facts_of({"teeth[0].canal": canal}, CONSENT)["canal_at_risk"]

    assert expected == (result.value["38"] if isinstance(result, Known) else None)


def test_one_canal_at_risk_settles_what_to_discuss() -> None:
    """Whatever is unknown of the other tooth; with none at risk it is open, and assumed yes."""
    open_canal = {"relation": "not_known", "film_signs": "none"}
    at_risk = {"relation": "overlapping", "film_signs": "none"}
    settled = both(canal=open_canal)
    settled["teeth"] = [ITEM | {"canal": at_risk}, settled["teeth"][1]]

    assert value_of("coronectomy_to_discuss", settled, CONSENT) is True
    assert value_of("canal_at_risk_anywhere", settled, CONSENT) is True
    assert unknown("coronectomy_to_discuss", both(canal=open_canal), CONSENT).assumed is True
    assert (
        value_of("coronectomy_to_discuss", {"teeth[0].canal": at_risk, "teeth[0].present": "root_only"}, CONSENT)
        is False
    )
    assert ("teeth[0].present",) == unknown(
        "coronectomy_to_discuss", {"teeth[0].canal": at_risk, "teeth[0].present": None}, CONSENT
    ).needs


def test_the_roots_of_a_primary_tooth_say_nothing_of_timing() -> None:
    """They are on their way out: half a root is no root that grows."""
    child = {**ITEM, "tooth": "75", "root_fraction": "0.5", "apex": "open", "canal": "not_applicable"}
    gone = {key: value for key, value in child.items() if key not in ("depth", "ramus", "angle_degrees")}
    edits = {"teeth": [gone], "plan.procedures": [PLANNED | {"tooth": "75"}]}

    assert {"75": Answer.NOT_APPLICABLE} == value_of("root_timing", edits, CONSENT)
    assert value_of("primary_planned", edits, CONSENT)
    assert not value_of("primary_planned", {}, CONSENT)
