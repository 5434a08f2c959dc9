"""Facts about blood thinners, read from a case: answers, gaps and moments (specification 3.4)."""

from __future__ import annotations

from typing import Any

import pytest
from case_facts import CONSENT, UNDATED, Edits, facts_of, unknown, value_of

from docgen.answer import Answer
from docgen.facts import Known, Unknown

WARFARIN = {"inn": "Warfarin sodium", "dose_mg": "3", "dose_times": ["18:00"], "indication": "mechanical_valve",
            "recent_event": "none", "last_dose_at": "2026-03-16T18:00"}  # fmt: skip
APIXABAN = WARFARIN | {"inn": "apixaban", "dose_mg": "5", "dose_times": ["08:00", "20:00"]}
ASPIRIN = WARFARIN | {"inn": "Aspirin", "dose_mg": "75", "dose_times": ["08:00"]}
INR = {"value": "2.8", "taken_at": "2026-03-16T13:10", "stable": "yes"}


def taking(*drugs: dict[str, Any], inr: Any = INR, **more: Any) -> Edits:
    """Give the changes for a patient on blood thinners."""
    return {"medical.antithrombotics": list(drugs), "medical.inr": inr, **more}


def decided(**decisions: str) -> Edits:
    """Give the change for what a clinician decided, drug by drug."""
    rows = [{"inn": inn, "decision": code, "by": "mh", "on": "2026-03-03"} for inn, code in decisions.items()]
    return {"plan.antithrombotic_decisions": rows}


def test_a_patient_without_blood_thinner_has_no_verdict_and_no_dose() -> None:
    """A fact about a drug the case does not have is not applicable, not unknown (1.2, rule 7)."""
    found = facts_of({})

    for name in ("inr_verdict", "next_antithrombotic_dose", "after_next_blood_thinner"):
        assert Answer.NOT_APPLICABLE == getattr(found[name], "value", None), name
    assert () == value_of("antithrombotic_rule", {})


def test_a_list_nobody_answered_leaves_everything_open() -> None:
    """Unknown is never no; the INR is assumed to need a repeat."""
    edits: Edits = {"medical.antithrombotics": None}

    assert ("medical.antithrombotics",) == unknown("antithrombotic_rule", edits).needs
    assert ("medical.antithrombotics",) == unknown("next_antithrombotic_dose", edits).needs
    assert "repeat_test" == unknown("inr_verdict", edits).assumed


def test_a_drug_without_a_name_could_be_any() -> None:
    """No class is given while one drug has no name."""
    nameless = {key: value for key, value in WARFARIN.items() if key != "inn"}

    for name in ("bleeding_patient_class", "takes_blood_thinner", "takes_vka", "antithrombotic_rule"):
        assert ("medical.antithrombotics[0].inn",) == unknown(name, taking(nameless)).needs


@pytest.mark.parametrize(
    ("inr", "more", "expected"),
    [
        ({}, {}, "proceed"),
        ({"value": "3.5"}, {}, "proceed"),  # [CDA24]
        ({"value": "3.6"}, {}, "delay"),
        ({"value": "3.9"}, {}, "delay"),
        ({"value": "3.9"}, {"settings.antithrombotic.inr_rule": "below_4"}, "proceed"),  # [SDCEP-VKA]
        ({"value": "4.0"}, {"settings.antithrombotic.inr_rule": "below_4"}, "delay"),
        ({"taken_at": "2026-03-16T10:05"}, {}, "proceed"),  # 24 h 00 min before the actual start 10:05
        ({"taken_at": "2026-03-16T10:04"}, {}, "repeat_test"),
        ({"taken_at": "2026-03-17T10:06"}, {}, "repeat_test"),
        ({"taken_at": "2026-03-16T10:00"}, {"operation.started_at": None}, "proceed"),  # else the planned start 10:00
        ({"taken_at": "2026-03-16T09:59"}, {"operation.started_at": None}, "repeat_test"),
        ({"taken_at": "2026-03-14T10:05"}, {"settings.antithrombotic.inr_rule": "below_4"}, "proceed"),
        ({"taken_at": "2026-03-14T10:04"}, {"settings.antithrombotic.inr_rule": "below_4"}, "repeat_test"),
        (
            {"taken_at": "2026-03-15T10:05", "stable": "no"},
            {"settings.antithrombotic.inr_rule": "below_4"},
            "repeat_test",
        ),
    ],
)
def test_the_inr_of_a_case_is_judged(inr: dict[str, str], more: Edits, expected: str) -> None:
    """Value first, then age at the actual start, else at the planned one, under the clinic's rule."""
    assert expected == value_of("inr_verdict", taking(WARFARIN, inr=INR | inr, **more))


def test_stability_nobody_knows_is_named_only_where_it_decides() -> None:
    """Between 24 and 72 hours; before, the test is fresh anyhow."""
    below_4 = {"settings.antithrombotic.inr_rule": "below_4"}
    old = INR | {"taken_at": "2026-03-15T10:05", "stable": "not_known"}
    found = unknown("inr_verdict", taking(WARFARIN, inr=old, **below_4))

    assert (("medical.inr.stable",), True, "repeat_test") == (found.needs, found.asked, found.assumed)
    assert "proceed" == value_of("inr_verdict", taking(WARFARIN, inr=INR | {"stable": "not_known"}, **below_4))
    assert "repeat_test" == value_of("inr_verdict", taking(WARFARIN, inr=old))


@pytest.mark.parametrize(
    ("inr", "needs"),
    [
        ("not_known", ("medical.inr.value",)),
        ("not_applicable", ("medical.inr",)),
        ({"value": "2.8", "stable": "yes"}, ("medical.inr.taken_at",)),
        ({"taken_at": "2026-03-16T13:10"}, ("medical.inr.value",)),
    ],
)
def test_an_inr_that_is_lacking_counts_as_one_to_repeat(inr: Any, needs: tuple[str, ...]) -> None:
    """Column U of 3.4: assumed repeat_test."""
    found = unknown("inr_verdict", taking(WARFARIN, inr=inr))

    assert (needs, "repeat_test") == (found.needs, found.assumed)


def test_too_high_a_value_needs_no_moment() -> None:
    """The value comes first: 4.2 delays whenever it was taken."""
    assert "delay" == value_of("inr_verdict", taking(WARFARIN, inr={"value": "4.2"}))


def test_the_verdict_shows_its_arithmetic() -> None:
    """Rule, value, both moments, and the elapsed time between them."""
    result = facts_of(taking(WARFARIN))["inr_verdict"]

    assert isinstance(result, Known)
    assert "to_3_5: 2.8; 2026-03-16 13:10 > 2026-03-17 10:05 = 20 h 55 min" == result.working
    assert ("CDA24",) == result.sources


def test_each_drug_has_its_guidance_in_the_order_of_the_list() -> None:
    """Names are joined to plain INNs; the case's operation is of the higher category."""
    edits = taking(WARFARIN, APIXABAN, ASPIRIN, **{"settings.antithrombotic.doac_guidance": "sdcep_2022"})
    found = value_of("antithrombotic_rule", edits)

    assert [
        ("warfarin", "continue", ("vka", "inr_proceed")),
        ("apixaban", "miss_dose", ("doac_missed",)),
        ("acetylsalicylic acid", "continue", ("other_antiplatelet",)),
    ] == [(one.inn, one.decision, one.reasons) for one in found]


def test_the_guidance_needs_what_it_says_and_no_more() -> None:
    """A drug whose need nobody answered asks the physician, the others keep theirs."""
    timeless = {key: value for key, value in APIXABAN.items() if key != "dose_times"}
    no_event = {key: value for key, value in WARFARIN.items() if key != "recent_event"}
    edits = taking(
        timeless,
        no_event,
        WARFARIN | {"inn": "acenocoumarol"},
        **{"settings.antithrombotic.doac_guidance": "sdcep_2022"},
    )
    found = value_of("antithrombotic_rule", edits)

    assert ["ask_physician", "ask_physician", "continue"] == [one.decision for one in found]
    assert ["dose_times_not_known", "recent_event_not_known", "vka"] == [one.reasons[0] for one in found]


def test_an_inr_nobody_knows_leaves_warfarin_where_it_is() -> None:
    """The assumed verdict stands among the reasons; the drug itself goes on."""
    (found,) = value_of("antithrombotic_rule", taking(WARFARIN, inr="not_known"))

    assert ("continue", ("vka", "inr_repeat_test")) == (found.decision, found.reasons)


def test_low_risk_lets_a_direct_anticoagulant_go_on() -> None:
    """Drainage alone is low; without a plan the higher category is assumed."""
    drainage: Edits = {"plan.procedures[0].procedure": "drainage"}
    (low,) = value_of("antithrombotic_rule", taking(APIXABAN, **drainage))
    (assumed,) = value_of("antithrombotic_rule", taking(APIXABAN, **{"plan.procedures[0].surgical": None}))

    assert ("continue", "ask_physician") == (low.decision, assumed.decision)


def test_case_3_and_case_5_have_their_next_dose() -> None:
    """Section 7: two doses a day, the morning one missed: 20:00; warfarin goes on at 18:00. Hemostasis is at 10:42."""
    edits = taking(APIXABAN, WARFARIN) | decided(apixaban="miss_dose", warfarin="continue")
    found = value_of("next_antithrombotic_dose", edits)

    assert [
        ("apixaban", "2026-03-17 20:00", "2026-03-17 14:42"),
        ("warfarin", "2026-03-17 18:00", "2026-03-17 10:42"),
    ] == [(one.inn, f"{one.at:%Y-%m-%d %H:%M}", f"{one.not_before:%Y-%m-%d %H:%M}") for one in found]
    assert found == value_of("after_next_blood_thinner", edits)


def test_a_decision_fits_its_drug_by_any_name() -> None:
    """Aspirin in one list is acetylsalicylic acid in the other; salts are dropped."""
    both = {"inn": "acetylsalicylic acid", "decision": "no_change", "by": "mh", "on": "2026-03-03"}
    found = value_of("next_antithrombotic_dose", taking(ASPIRIN) | {"plan.antithrombotic_decisions": [both]})

    assert "2026-03-18 08:00" == f"{found[0].at:%Y-%m-%d %H:%M}"


@pytest.mark.parametrize(
    ("edits", "needs", "asked"),
    [
        (taking(WARFARIN), ("plan.antithrombotic_decisions",), False),
        (taking(WARFARIN) | decided(apixaban="continue"), ("plan.antithrombotic_decisions",), False),
        (taking(WARFARIN) | decided(warfarin="ask_physician"), ("plan.antithrombotic_decisions[0].decision",), True),
        (
            taking(WARFARIN, APIXABAN) | decided(warfarin="continue"),
            ("plan.antithrombotic_decisions",),
            False,
        ),
        (taking(APIXABAN) | decided(apixaban="delay_dose"), ("medical.antithrombotics[0].dose_times",), False),
        (
            taking(WARFARIN) | decided(warfarin="continue") | {"operation.hemostasis_at": None},
            ("operation.hemostasis_at",),
            False,
        ),
    ],
)
def test_without_a_decision_nobody_is_told_a_time(edits: Edits, needs: tuple[str, ...], asked: bool) -> None:
    """One open drug leaves the whole answer open: the patient asks before leaving."""
    found = facts_of(edits)

    for name in ("next_antithrombotic_dose", "after_next_blood_thinner"):
        result = found[name]
        assert isinstance(result, Unknown)
        assert (needs, asked, None) == (result.needs, result.asked, result.assumed)


def test_the_leaflet_without_dates_names_no_time() -> None:
    """Even if the operation is recorded by now."""
    edits = taking(WARFARIN) | decided(warfarin="continue")

    assert isinstance(facts_of(edits, UNDATED)["after_next_blood_thinner"], Unknown)
    assert isinstance(facts_of(edits, CONSENT)["after_next_blood_thinner"], Known)
