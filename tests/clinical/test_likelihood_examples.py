"""Every worked example of the specification, section 4.7: raw percent within 0.0001, and the printed pair."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from typing import Any

import pytest
from clinical_patients import A, asked, at, upper

from docgen.clinical.likelihood import UNKNOWN, Inputs, RiskSettings, apply_odds_ratio, apply_relative_risk

MESIO_A = at("mesioangular", "A", "I")
DEEP_OVERLAP = at("horizontal", "C", "II", canal_relation="overlapping")  # depth C, total 7
DEEP_LINGUAL = replace(DEEP_OVERLAP, ct_position="lingual")
SIGNS = at("mesioangular", "B", "II", canal_relation="overlapping", film_sign_strong=True)
COR = replace(A, coronectomy_discussed=True)

# number of the example, event, inputs, settings, percent after the ratios and floor (before the cap), printed
# (affected, not affected, denominator, frame)
EXAMPLES: tuple[tuple[str, str, Inputs, dict[str, Any], str, tuple[int, int, int, str]], ...] = (
    ("1", "ian_temporary", MESIO_A, {}, "1.2", (12, 988, 1000, "about")),
    ("1", "ian_permanent", MESIO_A, {}, "0.28", (3, 997, 1000, "about")),
    ("2", "ian_temporary", at("mesioangular", "C", "I"), {}, "4.3674", (44, 956, 1000, "about")),
    ("2", "ian_permanent", at("mesioangular", "C", "I"), {}, "1.0447", (11, 989, 1000, "about")),
    ("3", "ian_temporary", DEEP_OVERLAP, {}, "8.6749", (87, 913, 1000, "about")),
    ("3", "ian_permanent", DEEP_OVERLAP, {}, "2.1488", (22, 978, 1000, "about")),
    ("4", "ian_temporary", at("mesioangular", "B", "II", canal_relation="overlapping"), {}, "2.4641",
     (25, 975, 1000, "about")),
    ("4", "ian_permanent", at("mesioangular", "B", "II", canal_relation="overlapping"), {}, "0.5806",
     (6, 994, 1000, "about")),
    ("5", "ian_temporary", at("horizontal", "B", "II"), {}, "4.3674", (44, 956, 1000, "about")),
    ("5", "ian_temporary", at("horizontal", "B", "II"), {"score_envelope": False}, "1.2", (12, 988, 1000, "about")),
    ("6", "ian_temporary", at("vertical", "A", "III"), {}, "4.3674", (44, 956, 1000, "about")),
    ("6", "ian_permanent", at("vertical", "A", "III"), {}, "1.0447", (11, 989, 1000, "about")),
    ("7", "ian_temporary", replace(DEEP_OVERLAP, age_years=34), {}, "12.4714", (130, 870, 1000, "about")),
    ("7", "ian_permanent", replace(DEEP_OVERLAP, age_years=34), {}, "3.1889", (32, 968, 1000, "about")),
    ("8", "ian_temporary", replace(DEEP_LINGUAL, age_years=34), {}, "24.4664", (200, 800, 1000, "as many as")),
    ("8", "ian_permanent", replace(DEEP_LINGUAL, age_years=34), {}, "6.9666", (40, 960, 1000, "as many as")),
    ("9", "ian_temporary", DEEP_LINGUAL, {}, "18.4681", (190, 810, 1000, "about")),
    ("9", "ian_permanent", DEEP_LINGUAL, {}, "4.9760", (40, 960, 1000, "as many as")),
    ("10", "ian_temporary", SIGNS, {}, "7.5",
     (75, 925, 1000, "about")),
    ("10", "ian_permanent", SIGNS, {},
     "0.5806", (6, 994, 1000, "about")),
    ("11", "ian_temporary", replace(MESIO_A, age_years=28), {}, "1.7893", (18, 982, 1000, "about")),
    ("11", "ian_permanent", replace(MESIO_A, age_years=28), {}, "0.4194", (5, 995, 1000, "about")),
    ("12", "ian_temporary", at("distoangular", "C", "III", age_years=45), {}, "6.4110", (65, 935, 1000, "about")),
    ("12", "ian_permanent", at("distoangular", "C", "III", age_years=45), {}, "1.5589", (16, 984, 1000, "about")),
    ("12", "ian_temporary", at("distoangular", "C", "III", age_years=45, canal_relation="touching"), {}, "6.4110",
     (65, 935, 1000, "about")),
    ("12", "ian_permanent", at("distoangular", "C", "III", age_years=45, canal_relation="touching"), {}, "1.5589",
     (16, 984, 1000, "about")),
    ("13", "ln_temporary", A, {}, "1.92", (20, 980, 1000, "about")),
    ("13", "ln_temporary", replace(A, lingual_flap=UNKNOWN), {}, "2.98", (30, 970, 1000, "about")),
    ("13", "ln_temporary", replace(A, lingual_flap=True), {}, "9.216", (93, 907, 1000, "about")),
    ("13", "ln_temporary", replace(A, lingual_flap=True), {"max_ratio_studies": 0}, "2.98", (30, 970, 1000, "about")),
    ("14", "ln_temporary", replace(A, age_years=40), {}, "2.8526", (29, 971, 1000, "about")),
    ("14", "ln_temporary", replace(A, age_years=40, lingual_flap=True), {}, "13.6926", (140, 860, 1000, "about")),
    ("15", "ln_permanent", A, {}, "0.49", (5, 995, 1000, "about")),
    ("15", "ln_permanent", replace(A, age_years=40), {}, "0.7332", (8, 992, 1000, "about")),
    ("16", "dry_socket", A, {}, "11.6", (120, 880, 1000, "about")),
    ("16", "dry_socket", replace(A, smoking_status="current"), {}, "16.8490", (170, 830, 1000, "about")),
    ("17", "dry_socket", replace(A, hormonal_contraception="combined"), {}, "22.968", (230, 770, 1000, "about")),
    ("17", "dry_socket", replace(A, hormonal_contraception="combined", smoking_status="current"), {}, "33.3611",
     (340, 660, 1000, "about")),
    ("17", "dry_socket", replace(A, hormonal_contraception="combined", smoking_status="current"),
     {"max_ratio_studies": 1}, "22.968", (230, 770, 1000, "about")),
    ("18", "dry_socket", upper(), {}, "0.4", (4, 996, 1000, "about")),
    ("18", "dry_socket", upper(smoking_status="current"), {}, "1.5226", (16, 984, 1000, "about")),
    ("18", "dry_socket", replace(A, fdi="46"), {}, "3.8", (38, 962, 1000, "about")),
    ("18", "dry_socket", replace(A, fdi="46", smoking_status="current"), {}, "13.2004", (140, 860, 1000, "about")),
    ("19", "sinus_opening", upper(eruption="fully_impacted"), {}, "23.7838", (240, 760, 1000, "about")),
    ("19", "sinus_opening", upper(eruption="partly_impacted"), {}, "10.3604", (110, 890, 1000, "about")),
    ("19", "sinus_opening", upper(), {}, "4.9462", (50, 950, 1000, "about")),
    ("19", "sinus_opening", upper(eruption=UNKNOWN), {}, "12.6774", (130, 870, 1000, "about")),
    ("20", "sinus_opening", upper(incision=True), {}, "21.1672", (220, 780, 1000, "about")),
    ("20", "sinus_opening", upper(winter_class="mesioangular"), {}, "23.9439", (240, 760, 1000, "about")),
    ("20", "sinus_opening", upper(sinus_relation="all_roots_overlap"), {}, "34.6289", (240, 760, 1000, "as many as")),
    ("21", "tuberosity", upper(age_years=28), {}, "12.1", (130, 870, 1000, "about")),
    ("21", "tuberosity", upper(age_years=45), {}, "25", (250, 750, 1000, "about")),
    ("21", "tuberosity", upper(age_years=28, root_shapes=("divergent",)), {}, "28.8018", (290, 710, 1000, "about")),
    ("21", "tuberosity", upper(age_years=45, root_shapes=("divergent",)), {}, "49.4838",
     (310, 690, 1000, "as many as")),
    ("22", "bleeding", A, {}, "0.7", (7, 993, 1000, "about")),
    ("22", "bleeding", replace(A, bleeding_patient_class="antiplatelet"), {}, "1.7", (17, 983, 1000, "about")),
    ("22", "bleeding", replace(A, bleeding_patient_class="vka"), {}, "3.88", (39, 961, 1000, "about")),
    ("22", "bleeding", replace(A, bleeding_patient_class="doac"), {}, "8.7", (87, 913, 1000, "about")),
    ("22", "ian_seen_temporary", replace(A, nerve_seen=True), {}, "20.3", (210, 790, 1000, "about")),
    ("22", "ian_seen_permanent", replace(A, nerve_seen=True), {}, "5.8667", (59, 941, 1000, "about")),
    ("23", "jaw_fracture", A, {}, "0.00493", (5, 99_995, 100_000, "about")),
    ("23", "emphysema", A, {}, "0.01855", (20, 99_980, 100_000, "about")),
    ("23", "injection_numbness", A, {}, "0.000164", (1, 99_999, 100_000, "fewer than")),
    ("24", "infection", A, {}, "5.5263", (56, 944, 1000, "about")),
    ("24", "infection", replace(A, surgical=False), {}, "2", (20, 980, 1000, "about")),
    ("24", "retained_root", A, {}, "1.1", (11, 989, 1000, "about")),
    ("24", "adjacent_damage", A, {}, "0.2", (2, 998, 1000, "about")),
    ("25", "mronj", replace(A, mronj_group="low", antiresorptive_indication="osteoporosis"), {}, "0.15",
     (2, 998, 1000, "about")),
    ("25", "mronj", replace(A, mronj_group="higher", antiresorptive_indication="cancer"), {}, "2.9",
     (29, 971, 1000, "about")),
    ("25", "orn", replace(A, orn_risk=True, surgical=False), {}, "21.9178", (220, 780, 1000, "about")),
    ("25", "orn", replace(A, orn_risk=True), {}, "64.5963", (220, 780, 1000, "as many as")),
    ("26", "cor_ian_root_stays", COR, {}, "0.5", (5, 995, 1000, "about")),
    ("26", "cor_ian_root_out", COR, {}, "2.6", (26, 974, 1000, "about")),
    ("26", "cor_ian_permanent_root_stays", COR, {}, "0.05", (50, 99_950, 100_000, "about")),
    ("26", "cor_ian_permanent_root_out", COR, {}, "1.3", (13, 987, 1000, "about")),
    ("26", "cor_failed", COR, {}, "7.2832", (73, 927, 1000, "about")),
    ("26", "cor_infection", COR, {}, "9.5", (95, 905, 1000, "about")),
    ("27", "any_complication", MESIO_A, {}, "10", (100, 900, 1000, "about")),
    ("27", "any_complication", at("mesioangular", "C", "I"), {}, "29.4671", (190, 810, 1000, "as many as")),
    ("27", "any_complication", replace(MESIO_A, canal_relation="overlapping"), {}, "18.7726",
     (190, 810, 1000, "about")),
    ("27", "any_complication", replace(MESIO_A, age_years=28), {}, "14.2857", (150, 850, 1000, "about")),
)  # fmt: skip


@pytest.mark.parametrize(
    ("event", "inputs", "settings", "raw_percent", "expected"),
    [example[1:] for example in EXAMPLES],
    ids=[f"example-{example[0]}-{example[1]}-{place}" for place, example in enumerate(EXAMPLES)],
)
def test_a_worked_example_gives_its_raw_percent_and_its_printed_pair(
    event: str, inputs: Inputs, settings: dict[str, Any], raw_percent: str, expected: tuple[int, int, int, str]
) -> None:
    """A figure is the specification's, before the cap and as printed (section 4.7; sources in each row's trace)."""
    found = asked(event, inputs, RiskSettings(**settings))
    assert found.printed is not None
    assert found.trace.combined is not None
    floored = max(found.trace.combined, found.trace.floor.value if found.trace.floor else Fraction(0))
    assert abs(floored * 100 - Fraction(raw_percent)) <= Fraction("0.0001")
    shown = found.printed
    assert expected == (shown.affected, shown.not_affected, shown.denominator, shown.frame)


@pytest.mark.parametrize(
    ("probability", "ratio", "percent"),
    [("0.012", "2", "2.3715"), ("0.038", "3.9", "13.3489"), ("0.05", "3", "13.6364")],
)
def test_an_odds_ratio_multiplies_odds_and_not_the_probability(probability: str, ratio: str, percent: str) -> None:
    """Example 28; scaling rule 1 of reference 2.8 and check 18 (printed there as 2.37, 13.35, 13.64 %)."""
    found = apply_odds_ratio(Fraction(probability), Fraction(ratio)) * 100
    assert abs(found - Fraction(percent)) <= Fraction("0.0001")


def test_a_relative_risk_multiplies_the_probability_up_to_certainty() -> None:
    """Example 28 and check 20 [TANG22]: 5 % with RR 1.98 is 9.9 %; nothing passes 1."""
    assert Fraction("0.099") == apply_relative_risk(Fraction("0.05"), Fraction("1.98"))
    assert Fraction(1) == apply_relative_risk(Fraction("0.6"), Fraction("1.98"))


def test_the_smoking_ratio_is_that_of_its_source_within_its_rounding() -> None:
    """Check 19 [KUS22]: the odds of 13.2 % over the odds of 3.8 % are 3.85."""
    smokers, others = Fraction("0.132"), Fraction("0.038")
    ratio = (smokers / (1 - smokers)) / (others / (1 - others))
    assert Fraction("3.85") == Fraction(round(ratio, 2))
