"""Which events apply, what the trace holds, and how several teeth become one table (specification 4.2 to 4.6)."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

import pytest
from clinical_patients import TABLES, A, asked, at, upper

from docgen.answer import Answer
from docgen.clinical.likelihood import (
    UNKNOWN,
    Estimate,
    Inputs,
    Reported,
    RiskSettings,
    estimate,
    estimates_of_tooth,
    frequency_word,
    missing_must_print,
    risk_settings,
    risk_table,
)

EXAMPLE_3 = at("horizontal", "C", "II", canal_relation="overlapping", ct_position=UNKNOWN)


def _all(inputs: Inputs, settings: RiskSettings | None = None, nerve_review: bool = False) -> dict[str, Estimate]:
    found = estimates_of_tooth(inputs, settings or RiskSettings(), TABLES, nerve_review)
    return {e.event: e for e in found}


def test_the_trace_of_example_3_holds_every_item_of_the_staff_page() -> None:
    """Section 4.6: base, ratios with corroboration, odds, raw, floor, cap, printed, not used, not assessed, words."""
    found = asked("ian_permanent", EXAMPLE_3)
    trace = found.trace
    assert trace.base is not None
    assert trace.odds_before is not None
    assert trace.odds_after is not None
    assert trace.cap is not None
    assert ("ian_permanent", Fraction("0.0028"), ("KANG20",)) == (
        trace.base.row,
        trace.base.probability,
        trace.base.source,
    )
    applied = {a.row: (a.value, a.source, a.scope, a.corroborated_by, a.by_envelope) for a in trace.applied}
    assert {
        "depth_c": (Fraction("3.76"), ("JAPAN20",), "any_complication", ("CHEUNG10", "LEUNG11"), False),
        "canal_overlap": (Fraction("2.08"), ("JAPAN20",), "any_complication", ("LEUNG11",), False),
    } == applied
    assert Fraction("7.8208") == trace.odds_ratio_product
    assert ["0.0028079", "0.0219597"] == [f"{float(odds):.7f}" for odds in (trace.odds_before, trace.odds_after)]
    assert (None, False, Fraction("0.04")) == (trace.floor, trace.cap.reached, trace.cap.value)
    not_used = {n.row: (n.why, n.seen) for n in trace.not_used}
    assert ("condition_does_not_hold", (("age_years", 22),)) == not_used["age_over_25"]
    assert ("smaller_on_axis", ()) == not_used["score_envelope"]
    assert ("ct_position",) == trace.not_assessed
    assert ("depth_nerve", "horizontal", "ramus") == trace.words
    assert (
        Reported(Fraction(0), Fraction("0.009"), ("BDJ16",), ""),
        Reported(Fraction(0), Fraction("0.036"), ("HIND21",), ""),
    ) == trace.reported
    assert {"1"} == set(trace.editions.values())
    assert ("KANG20", "JAPAN20", "LEUNG11", "CHEUNG10") == found.sources


def test_a_reported_range_may_be_open_remembered_and_explained() -> None:
    """An end no source gives is not made up; where there is no source, the note says whence the range is."""
    assert (
        Reported(Fraction("0.005"), None, ("SAYED19",), ""),
        Reported(Fraction("0.25"), Fraction("0.37"), (), "top end from memory"),
    ) == asked("dry_socket", A).trace.reported
    assert (
        Reported(Fraction("0.0035"), Fraction("0.084"), ("SARIK14",), ""),
        Reported(None, Fraction("0.19"), ("MARTIN15",), "close on film"),
    ) == asked("ian_temporary", A).trace.reported


@pytest.mark.parametrize(
    ("group", "indication", "or_more"),
    [
        ("low", "osteoporosis", False),
        ("higher", "osteoporosis", True),
        ("low", "cancer", False),
        ("higher", "cancer", True),
        ("higher", UNKNOWN, True),
    ],
)
def test_or_more_is_said_of_the_higher_group_alone(group: str, indication: str, or_more: bool) -> None:
    """4.4: the figure of the low group stands as it is, and no other event has more than its figure."""
    said = {
        e.event: e.or_more for e in _all(replace(A, mronj_group=group, antiresorptive_indication=indication)).values()
    }
    assert {event: or_more and event == "mronj" for event in said} == said


def test_a_figure_raised_by_the_envelope_says_so() -> None:
    """Depth A with a total of 7 carries the ratio of depth C through the design row alone."""
    applied = asked("ian_temporary", at("vertical", "A", "III")).trace.applied
    assert [("score_envelope", True, "design")] == [(a.row, a.by_envelope, a.tag) for a in applied]


def test_a_smokers_trace_keeps_both_runs() -> None:
    """With one study at most the non-smoker's run is the higher one, and the smoker's own stands beside it."""
    smoker = replace(A, smoking_status="current", hormonal_contraception="combined")
    trace = asked("dry_socket", smoker, RiskSettings(max_ratio_studies=1)).trace
    assert trace.rival is not None
    assert (("smoking_status", "never"), ["combined_pill"]) == (trace.as_if, [a.row for a in trace.applied])
    assert (None, ["smoker"]) == (trace.rival.as_if, [a.row for a in trace.rival.applied])


@pytest.mark.parametrize(
    ("settings", "row", "why"),
    [
        ({"any_complication_ratios": "never"}, "depth_c", "composite_ratios_off"),
        ({"contradicted_ratios": "wording"}, "age_over_25", "contradicted"),
        ({"score_envelope": "off"}, "score_envelope", "envelope_off"),
    ],
)
def test_a_setting_that_keeps_a_ratio_out_is_named(settings: dict[str, str], row: str, why: str) -> None:
    """The staff page says why a ratio that holds was not used."""
    found = asked("ian_temporary", replace(EXAMPLE_3, age_years=28), risk_settings(settings))
    assert why == {n.row: n.why for n in found.trace.not_used}[row]


def test_protective_ratios_act_last_and_only_if_the_clinic_says_so() -> None:
    """Gel RR 0.47 and rinse RR 0.54 share an axis: the weaker one acts [CHX18]; off by default."""
    careful = replace(A, prevention=("chlorhexidine_gel", "chlorhexidine_rinse"))
    assert Fraction("0.116") == asked("dry_socket", careful).probability
    protected = asked("dry_socket", careful, RiskSettings(protective_ratios=True))
    assert Fraction("0.116") * Fraction("0.54") == protected.probability
    assert ["chlorhexidine_rinse"] == [a.row for a in protected.trace.applied]


@pytest.mark.parametrize(
    ("settings", "event", "percent"),
    [
        ({"depth_reference": "C_vs_B"}, "ian_temporary", "3.0270"),  # odds of 1.2 % x 2.57 [JAPAN20]
        ({"ln_permanent": "lee23"}, "ln_permanent", "0.18"),
        ({"dry_socket_non_smoker": "central_low"}, "dry_socket", "5"),
    ],
)
def test_a_setting_chooses_among_conflicting_sources(settings: dict[str, str], event: str, percent: str) -> None:
    """Section 1.3: the other value of each conflict is one setting away."""
    found = asked(event, at("mesioangular", "C", "I"), risk_settings(settings)).probability
    assert found is not None
    assert abs(found * 100 - Fraction(percent)) <= Fraction("0.0001")


def test_events_with_two_definitions_follow_their_setting() -> None:
    """Tuberosity 1.2 % of large pieces [SAYED19]; radiotherapy per socket 33/389 [KHOO21]; coronectomy up to 9.5 %."""
    assert (
        Fraction("0.012") == asked("tuberosity", upper(), RiskSettings(tuberosity_event="large_fragment")).probability
    )
    irradiated = replace(A, orn_risk=True, surgical=False)
    assert Fraction(33, 389) == asked("orn", irradiated, RiskSettings(orn_unit="socket")).probability
    discussed = replace(A, coronectomy_discussed=True)
    older = RiskSettings(coronectomy_ian="older_range")
    assert Fraction("0.095") == asked("cor_ian_root_stays", discussed, older).probability
    flap = replace(A, lingual_flap=True)
    assert Fraction("0.0298") == asked("ln_temporary", flap, RiskSettings(lingual_flap="stratum")).probability
    signs = replace(A, film_sign_strong=True)
    assert Fraction("0.2") == asked("ian_temporary", signs, RiskSettings(film_sign_floor="0.20")).probability


def test_a_remembered_figure_is_worded_until_approved() -> None:
    """A root in the sinus: words; approved: fewer than 10 of 1,000 (below 1 %, memory)."""
    assert "words" == asked("root_in_sinus", upper()).state
    approved = asked("root_in_sinus", upper(), RiskSettings(memory_figures=True)).printed
    assert approved is not None
    assert (10, 1000, "fewer than") == (approved.affected, approved.denominator, approved.frame)


@pytest.mark.parametrize("procedure", ["operculectomy", "exposure", "biopsy", "drainage", "other"])
def test_a_procedure_nobody_measured_prints_no_number(procedure: str) -> None:
    """Figures were measured on removals; the surgeon's words stand instead and the must-print set is empty."""
    found = _all(replace(A, procedure=procedure)).values()
    assert {"no_figures_for_procedure"} == {e.state for e in found}
    assert [] == [e.event for e in found if e.printed or e.must_print]


def test_a_procedure_nobody_recorded_keeps_the_must_print_rows_back() -> None:
    """An unknown procedure is not taken for a removal; what must print is named as missing."""
    found = _all(replace(A, procedure=UNKNOWN)).values()
    assert {"not_assessed"} == {e.state for e in found}
    assert (("ian_permanent", "38"), ("jaw_fracture", "38"), ("ln_permanent", "38")) == missing_must_print(found)


@pytest.mark.parametrize(
    ("inputs", "expected"),
    [
        (A, {"ian_permanent", "ln_permanent", "jaw_fracture"}),
        (upper(), {"sinus_opening"}),
        (replace(A, fdi="16"), {"sinus_opening"}),
        (replace(A, fdi="46"), {"ian_permanent"}),
        (replace(A, fdi="11"), set()),
        (replace(upper(), mronj_group="low"), {"sinus_opening", "mronj"}),
    ],
)
def test_the_must_print_set_is_that_of_the_tooth(inputs: Inputs, expected: set[str]) -> None:
    """Lasting numbness, jaw fracture, sinus opening (upper), MRONJ if on the drugs (reference 4.1)."""
    assert expected == {e.event for e in _all(inputs).values() if e.must_print}


def test_an_unknown_input_of_a_must_print_row_is_named() -> None:
    """A bone-drug group nobody knows keeps its row back; an unknown eruption does not: it has a base row."""
    found = _all(upper(mronj_group=UNKNOWN, eruption=UNKNOWN)).values()
    assert (("mronj", "28"),) == missing_must_print(found)


def test_a_class_of_blood_thinner_nobody_knows_gives_no_number() -> None:
    """Unknown is never "none": the row is not assessed, and prints nothing."""
    found = asked("bleeding", replace(A, bleeding_patient_class=Answer.NOT_KNOWN))
    assert ("not_assessed", None, ("bleeding_patient_class",)) == (found.state, found.printed, found.trace.not_assessed)


def test_not_applicable_is_an_answer_and_holds_no_condition() -> None:
    """A man's contraception is not missing, and raises nothing."""
    trace = asked("dry_socket", replace(A, hormonal_contraception=Answer.NOT_APPLICABLE)).trace
    assert ((), ()) == (trace.applied, trace.not_assessed)


def test_a_nerve_seen_is_estimated_for_the_reply_only() -> None:
    """4.4: reply letter, review only."""
    seen = replace(A, nerve_seen=True)
    assert {"ian_seen_temporary", "ian_seen_permanent"} == _all(seen, nerve_review=True).keys() - _all(seen).keys()
    assert "does_not_apply" == asked("ian_seen_permanent", A).state


def test_several_teeth_make_one_row_with_the_highest_figure_and_its_teeth() -> None:
    """Case 4: 48 carries the nerve figure by the envelope; equal figures name both teeth, lowest FDI number first."""
    second = replace(at("vertical", "B", "II", age_years=16), fdi="48")
    first = at("mesioangular", "B", "I", age_years=16)
    table = {row.event: row for row in risk_table([*_all(second).values(), *_all(first).values()])}
    assert (("48",), True) == (table["ian_permanent"].fdis, table["ian_permanent"].several_teeth)
    assert (("38", "48"), "38") == (table["dry_socket"].fdis, table["dry_socket"].estimate.fdi)
    assert not table["bleeding"].several_teeth


def test_must_print_rows_come_first_and_figures_fall() -> None:
    """Section 3.7: must-print rows, then falling figure; a worded row stands after the figures."""
    rows = risk_table(_all(CASE_UPPER).values())
    flags = [row.must_print for row in rows]
    assert sorted(flags, reverse=True) == flags
    for part in (True, False):
        figures = [
            row.estimate.printed.probability if row.estimate.printed else -1 for row in rows if row.must_print is part
        ]
        assert sorted(figures, reverse=True) == figures
    assert "words" == rows[-1].estimate.state


CASE_UPPER = upper(eruption="fully_impacted", mronj_group="higher", antiresorptive_indication="osteoporosis")


@pytest.mark.parametrize(
    ("probability", "word"),
    [
        ("0.1", "very_common"),  # check 12 [EC-FREQ]
        ("0.0999", "common"),
        ("0.01", "common"),
        ("0.001", "uncommon"),
        ("0.0001", "rare"),
        ("0.00009", "very_rare"),
        ("37/750000", "very_rare"),  # check 15 [LIBERSA02]
        ("2/10779", "rare"),  # check 16 [KLUP14]
    ],
)
def test_a_frequency_word_is_that_of_the_official_bands(probability: str, word: str) -> None:
    """The lower bound of a band belongs to it."""
    assert word == frequency_word(Fraction(probability), TABLES)


def test_settings_are_read_from_their_texts() -> None:
    """Names with or without "risk."; an unknown name or value is refused."""
    chosen = risk_settings({"risk.max_ratio_studies": "1", "score_envelope": "off", "risk.film_sign_floor": "0.20"})
    assert RiskSettings(max_ratio_studies=1, score_envelope=False, film_sign_floor="0.20") == chosen
    assert RiskSettings() == risk_settings({})
    for wrong in ({"risk.max_ratio_studies": "3"}, {"risk.score_envelope": "True"}, {"risk.speed": "on"}):
        with pytest.raises(ValueError, match=r"no setting|not one of"):
            risk_settings(wrong)


def test_an_event_there_is_not_is_refused() -> None:
    """A misspelled event is a fault of the program, not an event that does not apply."""
    with pytest.raises(ValueError, match="no event"):
        estimate("ian_temporal", A, RiskSettings(), TABLES)
