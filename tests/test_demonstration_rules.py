"""Demonstration cases 2 to 7, from their records: the times, rules and checks of section 7 of the specification."""

from __future__ import annotations

from datetime import date, datetime
from typing import Any

import pytest
from conftest import ISSUED_ON, LANGUAGES, example_files
from example_facts import changed, example, fact, known, seen, with_setting

from docgen.answer import Answer


def _clock(moment: datetime) -> str:
    return f"{moment:%H:%M}"


def _on_day(moment: datetime) -> str:
    return f"{moment:%Y-%m-%d %H:%M}"


@pytest.mark.parametrize(
    ("name", "numb", "gauze"),
    [
        ("fenwright", ("13:12", "15:12"), ["11:25", "12:10", "12:55"]),
        ("solana", ("14:20", "16:20"), None),
        ("rotacker", ("12:34", "14:34"), ["10:50", "11:35", "12:20"]),
        ("brzezna", ("17:08", "19:08"), None),
        ("holloway", ("12:06", "14:06"), None),
        ("pinhal", ("13:01", "15:01"), None),
        ("malvasio", ("13:15", "21:15"), ["11:10", "11:55", "12:40"]),
    ],
)
def test_hours(name: str, numb: tuple[str, str], gauze: list[str] | None) -> None:
    """Section 7, column Dates and times: numb from and to, and the gauze where it is named."""
    window = fact(name, "aftercare", "after_numb_window")
    changes = [_clock(one.from_at) for one in fact(name, "aftercare", "after_gauze_times")]

    assert numb == (_clock(window.from_at), _clock(window.to_at))
    assert gauze in (None, changes)


@pytest.mark.parametrize(
    ("name", "from_on", "until"),
    [
        ("solana", date(2026, 4, 21), (date(2026, 4, 28), date(2026, 5, 5))),
        ("brzezna", date(2026, 5, 19), None),
        ("pinhal", date(2026, 6, 16), (date(2026, 6, 23), date(2026, 6, 30))),
    ],
)
def test_syringe(name: str, from_on: date, until: tuple[date, date] | None) -> None:
    """The syringe begins on day 7 and goes on to day 14 to 21."""
    closed = fact(name, "aftercare", "after_syringe_until")

    assert from_on == fact(name, "aftercare", "after_syringe_from").from_on
    assert until in (None, (closed.from_on, closed.to_on))


def test_days_of_cases_2_and_5() -> None:
    """Case 2: rinse from 15 April 12:05, watch to 21 April; case 5: review 27 January, no stitches."""
    stitches = fact("holloway", "aftercare", "after_suture_window")

    assert _on_day(fact("solana", "aftercare", "after_rinse_from").from_at) == "2026-04-15 12:05"
    assert fact("solana", "aftercare", "after_dry_socket_last_day").to_on == date(2026, 4, 21)
    assert fact("holloway", "aftercare", "after_review_on").to_on == date(2026, 1, 27)
    assert stitches is Answer.NOT_APPLICABLE


def test_days_of_cases_3_4_and_7() -> None:
    """Case 3: nose until 12 March, no syringe; case 4: escort, driving; case 7: soft food to 20 October, tongue."""
    escort, drive = (fact("brzezna", "aftercare", name) for name in ("after_escort_until", "after_drive_from"))
    review = fact("malvasio", "reply", "nerve_review")

    assert fact("rotacker", "aftercare", "after_sinus_until").to_on == date(2026, 3, 12)
    assert fact("rotacker", "aftercare", "syringe_line") is False
    assert (_on_day(escort.to_at), _on_day(drive.from_at)) == ("2026-05-13 15:10", "2026-05-13 15:10")
    assert fact("malvasio", "aftercare", "after_soft_diet_until").to_on == date(2026, 10, 20)
    assert (review.from_months, review.to_months) == (3, 4)


def test_the_healing_check_of_case_6_prints_only_once_approved() -> None:
    """Day 56 is 4 August; its row is `memory`."""
    approved = known(with_setting("pinhal", "risk.memory_figures", "on"), "aftercare", "after_mronj_check")

    assert fact("pinhal", "aftercare", "after_mronj_check") is Answer.NOT_APPLICABLE
    assert approved.to_on == date(2026, 8, 4)


def test_case_2_is_bilingual_and_its_canal_at_risk() -> None:
    """Two languages, coronectomy to discuss, root left on purpose."""
    assert fact("solana", "consent", "bilingual_wanted") is True
    assert fact("solana", "consent", "canal_at_risk") == {"48": True}
    assert fact("solana", "consent", "coronectomy_to_discuss") is True
    assert fact("solana", "operative-note", "fragment_left") is True


def _hits(name: str) -> set[tuple[str, str]]:
    return {(hit.code, hit.severity) for hit in fact(name, "operative-note", "drug_conflicts").hits}


def test_case_3_takes_apixaban_and_a_beta_blocker() -> None:
    """Higher category, the rule agrees with the decision, next dose 20:00 and not before 14:10, NSAID avoid."""
    rule, dose = (fact("rotacker", "aftercare", n) for n in ("antithrombotic_rule", "next_antithrombotic_dose"))

    assert ("betablocker-epinephrine", "caution") in _hits("rotacker")
    assert fact("rotacker", "consent", "bleeding_category") == "higher"
    assert [(one.inn, one.decision) for one in rule] == [("apixaban", "miss_dose")]
    assert [(one.inn, _on_day(one.at), _clock(one.not_before)) for one in dose] == [
        ("apixaban", "2026-02-26 20:00", "14:10")
    ]
    assert fact("rotacker", "aftercare", "nsaid_verdict").verdict == "avoid"
    assert "antithrombotic-differs" not in {p.code for p in example("rotacker").problems}


def test_case_4_is_a_minor_whose_guardian_signs() -> None:
    """Guardian and interpreter; the sheet's pulse oximeter hangs on the sedation."""
    assert fact("brzezna", "consent", "patient_is_minor") is True
    assert fact("brzezna", "consent", "someone_else_signs") == "guardian"
    assert fact("brzezna", "consent", "interpreter_needed") is True
    assert fact("brzezna", "safety-sheet", "sedation_planned") is True
    assert str(example("brzezna").case.value("consent.assent")) == "agrees"


def test_case_5_proceeds_on_its_second_inr() -> None:
    """2.8, 20 hours old: proceed; warfarin goes on at 18:00 the same day; NSAID avoid."""
    dose = fact("holloway", "aftercare", "next_antithrombotic_dose")

    assert fact("holloway", "operative-note", "inr_verdict") == "proceed"
    assert [(one.inn, _on_day(one.at)) for one in dose] == [("warfarin", "2026-01-20 18:00")]
    assert fact("holloway", "aftercare", "nsaid_verdict").verdict == "avoid"
    assert ("antibiotic-warfarin", "caution") in _hits("holloway")


def test_case_5_has_to_repeat_its_first_inr() -> None:
    """3.0, 88 h 40 min old: repeat the test, so the note is refused without a departure."""
    first = {"medical.inr.value": "3.0", "medical.inr.taken_at": "2026-01-16T16:30"}
    looked = changed("holloway", first)
    on_the_day = changed("holloway", first, date(2026, 1, 20))

    assert known(looked, "operative-note", "inr_verdict") == "repeat_test"
    assert "inr-verdict" in {p.code for p in looked.problems.refusing}
    assert "inr_repeat_on_day" in known(on_the_day, "physician-query", "physician_query_reasons")


def test_case_5_gets_no_dose_against_endocarditis() -> None:
    """Penicillin allergy: no dose is printed, the clinician decides, and the physician is asked."""
    rule = fact("holloway", "consent", "endocarditis_rule")

    assert (rule.verdict, rule.doses) == ("clinician_decides", ())
    assert "endocarditis" in fact("holloway", "physician-query", "physician_query_reasons")
    assert fact("holloway", "consent", "physician_query_needed") is True


@pytest.mark.parametrize(
    ("inn", "code", "severity"),
    [("amoxicillin", "penicillin-allergy", "stop"), ("clarithromycin", "macrolide-statin", "stop_unless_departure")],
)
def test_case_5_may_not_be_given_these(inn: str, code: str, severity: str) -> None:
    """A penicillin and a macrolide are refused if ordered."""
    looked = changed("holloway", {"plan.antibiotic.inn": inn})
    hits = {(hit.code, hit.severity) for hit in known(looked, "consent", "drug_conflicts").hits}

    assert (code, severity) in hits
    assert "plan.antibiotic.inn" in {p.path for p in looked.problems.refusing}


def test_case_6_is_in_the_higher_group() -> None:
    """Six years and a steroid: higher; NSAID caution; the physician is asked."""
    nsaid = fact("pinhal", "aftercare", "nsaid_verdict")

    assert fact("pinhal", "consent", "mronj_group") == "higher"
    assert nsaid.verdict == "caution"
    assert "ssri" in nsaid.reasons
    assert fact("pinhal", "consent", "physician_query_needed") is True
    assert "mronj_higher" in fact("pinhal", "physician-query", "physician_query_reasons")


def test_case_7_asks_its_decision_maker_and_its_physician() -> None:
    """The sister signs; tricyclic with epinephrine: caution and query; air-driven with the flap: note."""
    assert fact("malvasio", "consent", "someone_else_signs") == "decision_maker"
    assert ("tca-maoi-epinephrine", "caution") in _hits("malvasio")
    assert "tca_maoi_epinephrine" in fact("malvasio", "physician-query", "physician_query_reasons")
    assert fact("malvasio", "aftercare", "emphysema_caution") == "caution"
    assert "emphysema" in {p.code for p in example("malvasio").problems}
    assert fact("malvasio", "aftercare", "fragment_left") is True


def test_case_7_is_refused_until_the_fragment_was_told() -> None:
    """A fragment nobody was told of stops leaflet and reply."""
    untold: dict[str, Any] = {"operation.procedures[0].fragment.patient_told": "no"}
    looked = changed("malvasio", untold)
    stopped = {label for p in looked.problems.refusing if p.code == "fragment-told" for label in p.needed_by}

    assert {label.split(" ")[0] for label in stopped} == {"aftercare", "reply"}


NOTES = {
    "fenwright": set(),
    "solana": set(),
    "rotacker": {"interpreter-declined", "drug-caution"},
    "brzezna": {"drug-caution"},
    "holloway": {"drug-caution"},
    "pinhal": {"interpreter-declined", "drug-caution"},
    "malvasio": {"drug-caution", "emphysema"},
}


@pytest.mark.parametrize(("name", "codes"), NOTES.items())
def test_notes(name: str, codes: set[str]) -> None:
    """What travels with the documents is what the case is made to show, and nothing else."""
    assert codes == {p.code for p in example(name).problems}


@pytest.mark.parametrize("name", [name for name in LANGUAGES if name != "solana"])
def test_a_reader_without_a_catalog_gets_a_text_only_when_it_is_asked_for(name: str) -> None:
    """Without --language the patient texts are refused, and for no other reason; the staff texts are made."""
    files, day = example_files(name), ISSUED_ON[name]
    patient = {p.code for p in seen(files, day, "consent", "aftercare", language="").problems.refusing}
    staff = seen(files, day, "operative-note", "referral", "reply", language="").problems.refusing

    assert patient == {"language-missing"}
    assert list(staff) == []
