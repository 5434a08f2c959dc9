"""Prescriptions, aftercare and follow-up."""

from typing import Annotated

from docgen.answer import Answer
from docgen.case.field_types import (
    NA,
    NONE,
    Day,
    DecimalOr,
    IntOr,
    Line,
    MomentOr,
    Person,
    Text,
    TextOr,
    YesNo,
    a_code,
    a_count,
    a_group,
    a_list,
    a_moment,
    a_number,
    a_positive,
    a_text,
)
from docgen.case.recorded import Recorded, recorded


class Prescription(Recorded):
    """One medicine to take at home."""

    inn: Line = recorded("INN name", "S", "ibuprofen")
    form: Line = recorded("Form", "S", "tablet")
    dose_mg: Annotated[DecimalOr, a_positive()] = recorded("Single dose in mg", "S", "400")
    times_per_day: Annotated[IntOr, a_count(low=1)] = recorded("Doses a day", "S", "3")
    hours_apart: Annotated[DecimalOr, a_positive()] = recorded("Shortest gap between two doses in hours", "S", "6")
    days: Annotated[IntOr, a_count(low=1)] = recorded("Days", "S", "3")
    max_mg_per_day: Annotated[DecimalOr, a_positive()] = recorded("Most in one day in mg", "S", "1200")
    supply: Annotated[TextOr, a_code("prescribed over_the_counter given_here")] = recorded(
        "How it is supplied", "S", "over_the_counter"
    )
    reason: Line = recorded("What it is for", "S", "pain")


class Aftercare(Recorded):
    """What the patient takes home besides medicines."""

    syringe_given: YesNo = recorded("Whether a socket syringe was handed out", "S", "yes")
    cold_pack: YesNo = recorded("Whether a cold pack is advised", "S", "yes")
    jaw_at_risk: YesNo = recorded("Whether the jaw is weak: soft food for four weeks", "S", "no")
    days_off_work: Annotated[IntOr, a_count()] = recorded("Days off work", "S", "1")
    extra_words: Annotated[TextOr, a_text(NONE)] = recorded("What else this patient should know", "S", "none")


class Visit(Recorded):
    """One review."""

    on: Day = recorded("Day", "S", "2026-03-24")
    pain: Line = recorded("Pain", "S", "little")
    healing: Line = recorded("Healing", "S", "as expected")
    lip: Annotated[TextOr, a_code("normal altered not_tested", NA)] = recorded("Lower lip", "S", "normal")
    tongue: Annotated[TextOr, a_code("normal altered not_tested", NA)] = recorded("Tongue", "S", "normal")
    opening_mm: Annotated[DecimalOr, a_number()] = recorded("Mouth opening in mm", "S", "38")
    stitches: Line = recorded("Stitches", "S", "gone")
    plan: Text = recorded("What comes next", "S", "No further visit")


class Result(Recorded):
    """A result of a specimen."""

    what: Line = recorded("What was examined", "S", "cyst wall")
    on: Day = recorded("Day of the result", "S", "2026-03-30")
    words: Text = recorded("The result", "S", "Dentigerous cyst")


class FollowUp(Recorded):
    """Review visits and results."""

    review_at: Annotated[MomentOr, a_moment(NA)] = recorded("Next visit", "R S", "2026-03-24T16:00")
    with_: Person = recorded("Id of who sees the patient", "R S", "mh", written="with")
    mode: Annotated[TextOr, a_code("visit telephone")] = recorded("How", "R S", "visit")
    owner: Person = recorded("Id of who answers for it", "R S", "mh")
    visits: Annotated[tuple[Annotated[Visit, a_group()], ...] | Answer | None, a_list(NONE)] = recorded(
        "Reviews that took place", "S", "none"
    )
    results: Annotated[tuple[Annotated[Result, a_group()], ...] | Answer | None, a_list(NONE)] = recorded(
        "Results of specimens, entered when they come", "S", "none"
    )
