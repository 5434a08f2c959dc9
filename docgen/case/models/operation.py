"""The operation: who, when, checks, injections, what was left and counted, and the way home."""

from typing import Annotated

from docgen.answer import Answer
from docgen.case.field_types import (
    NA,
    NONE,
    DecimalOr,
    IntOr,
    Line,
    Moment,
    MomentOr,
    Person,
    Text,
    TextOr,
    YesNo,
    YesNoApplicable,
    a_code,
    a_count,
    a_group,
    a_list,
    a_moment,
    a_positive,
    a_text,
    an_id,
)
from docgen.case.models.injection import Injection
from docgen.case.models.procedure import PerformedProcedure
from docgen.case.recorded import Recorded, part, recorded


class Checks(Recorded):
    """Who checked what before the injection."""

    identity_by: Person = recorded("Id of who checked the identity", "S", "mh")
    consent_by: Person = recorded("Id of who checked the consent", "S", "mh")
    site_by: Person = recorded("Id of who checked the site", "S", "mh")
    imaging_shown: YesNo = recorded("Whether the images were shown", "S", "yes")
    history_changes: Annotated[TextOr, a_text(NONE)] = recorded("What changed in the history", "S", "none")


class Checklist(Recorded):
    """The three pauses."""

    sign_in_at: Moment = recorded("Before the injection", "S", "2026-03-17T09:48")
    time_out_at: Moment = recorded("Before the first cut", "S", "2026-03-17T10:03")
    sign_out_at: Moment = recorded("Before the patient leaves", "S", "2026-03-17T10:50")
    open_points: Annotated[TextOr, a_text(NONE)] = recorded("What stayed open", "S", "none")


class Baseline(Recorded):
    """Feeling before the injection."""

    lip: Annotated[TextOr, a_code("normal altered not_tested", NA)] = recorded("Lower lip", "S", "normal")
    tongue: Annotated[TextOr, a_code("normal altered not_tested", NA)] = recorded("Tongue", "S", "normal")


class ExtraProcedure(Recorded):
    """Something that was not planned at all."""

    what: Text = recorded("What was done", "S", "A loose filling was smoothed")
    reason: Text = recorded("Why", "S", "Sharp edge")
    agreed: YesNo = recorded("Whether the patient agreed", "S", "yes")


class Specimen(Recorded):
    """Tissue that was sent away."""

    what: Line = recorded("What was sent", "S", "cyst wall")
    sent_to: Line = recorded("Where to", "S", "County pathology")
    result_owner: Person = recorded("Id of who answers for the result", "S", "mh")


class GivenAntibiotic(Recorded):
    """An antibiotic that was given."""

    inn: Line = recorded("INN name", "S", "amoxicillin")
    dose_mg: Annotated[DecimalOr, a_positive()] = recorded("Dose in mg", "S", "2000")
    at: Moment = recorded("When", "S", "2026-03-17T09:05")


class DrugGiven(Recorded):
    """A sedative or other drug that was given."""

    inn: Line = recorded("INN name", "S", "midazolam")
    dose: Line = recorded("Dose with its unit", "S", "3 mg")
    at: Moment = recorded("When", "S", "2026-05-12T14:05")
    by: Person = recorded("Id of who gave it", "S", "mh")


class Addendum(Recorded):
    """What was added after the signature."""

    text: Text = recorded("The addition", "S", "Patient phoned, no bleeding")
    by: Person = recorded("Id of who wrote it", "S", "mh")
    at: Moment = recorded("When", "S", "2026-03-18T09:00")


class Operation(Recorded):
    """What was done."""

    started_at: Moment = recorded("First incision or elevation", "S", "2026-03-17T10:05")
    ended_at: Moment = recorded("Last stitch", "S", "2026-03-17T10:40")
    urgency: Annotated[TextOr, a_code("elective emergency")] = recorded("Urgency", "S", "elective")
    place: Line = recorded("Where", "S", "Surgery 2")
    operator: Person = recorded("Id of who operated", "S", "mh")
    assistants: Annotated[tuple[Person, ...] | Answer | None, a_list(NONE)] = recorded(
        "Ids of who assisted", "S", "[jt]"
    )
    sedationist: Annotated[TextOr, an_id(NA)] = recorded("Id of who sedated", "S", "not_applicable")
    checks: Annotated[Checks, a_group()] = part(Checks, "Who checked what", "S")
    checklist: Annotated[Checklist, a_group()] = part(Checklist, "The three pauses", "S")
    site_marked: YesNoApplicable = recorded("Whether the site was marked", "S", "yes")
    held_medicines: Annotated[TextOr, a_text(NONE)] = recorded(
        "Medicines held or continued, and by whose decision", "S", "none"
    )
    baseline: Annotated[Baseline, a_group()] = part(Baseline, "Feeling before the injection", "S")
    injections: Annotated[tuple[Annotated[Injection, a_group()], ...] | Answer | None, a_list(NONE)] = recorded(
        "What was injected", "S", "[{inn: lidocaine, percent: 2}]"
    )
    procedures: Annotated[tuple[Annotated[PerformedProcedure, a_group()], ...] | None, a_list()] = recorded(
        "What was done, tooth by tooth", "S", "[{tooth: 38, performed: removal}]"
    )
    extra_procedure: Annotated[ExtraProcedure | Answer, a_group(NONE)] = part(
        ExtraProcedure, "Something that was not planned", "S"
    )
    throat_gauze: YesNo = recorded("Whether gauze protected the airway", "S", "yes")
    throat_gauze_out: YesNoApplicable = recorded("Whether that gauze was taken out", "S", "yes")
    counts: Annotated[TextOr, a_code("complete incomplete not_done")] = recorded(
        "Swabs, needles, burs, teeth and roots", "S", "complete"
    )
    blood_loss: Annotated[IntOr | str, a_count(also="minimal")] = recorded("Blood loss: minimal, or mL", "S", "minimal")
    hemostasis_at: Moment = recorded("When the bleeding had stopped", "S", "2026-03-17T10:42")
    specimens: Annotated[tuple[Annotated[Specimen, a_group()], ...] | Answer | None, a_list(NONE)] = recorded(
        "Tissue that was sent away", "S", "none"
    )
    antibiotic: Annotated[GivenAntibiotic | Answer, a_group(NONE)] = part(
        GivenAntibiotic, "An antibiotic that was given", "S"
    )
    dvt_prophylaxis: Annotated[TextOr, a_code("given", NONE, NA)] = recorded(
        "Protection against clots in the legs", "S", "not_applicable"
    )
    drugs_given: Annotated[tuple[Annotated[DrugGiven, a_group()], ...] | Answer | None, a_list(NONE)] = recorded(
        "Sedatives and other drugs", "S", "none"
    )
    observations: Annotated[TextOr, a_text(NA)] = recorded("Pulse, pressure and oxygen", "S", "not_applicable")
    discharged_at: Moment = recorded("When the patient left", "S", "2026-03-17T11:20")
    discharge_state: Line = recorded("How the patient left", "S", "walking, gauze in place")
    told: Annotated[tuple[Annotated[str | None, a_code("spoken written contact_number")], ...] | None, a_list()] = (
        recorded("How the patient was told what to do", "S", "[spoken, written, contact_number]")
    )
    signed_by: Person = recorded("Id of who signed the note", "S", "mh")
    signed_at: Moment = recorded("When", "S", "2026-03-17T11:30")
    supervisor_signed_by: Annotated[TextOr, an_id(NA)] = recorded("Id of the supervisor", "S", "not_applicable")
    supervisor_signed_at: Annotated[MomentOr, a_moment(NA)] = recorded("When", "S", "not_applicable")
    addenda: Annotated[tuple[Annotated[Addendum, a_group()], ...] | Answer | None, a_list(NONE)] = recorded(
        "What was added after the signature", "S", "none"
    )
