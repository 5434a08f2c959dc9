"""The plan: what is proposed, and what else could be done."""

from typing import Annotated

from docgen.answer import Answer
from docgen.case.field_types import (
    NA,
    NK,
    NONE,
    Currency,
    Day,
    DecimalOr,
    IntOr,
    Jaw,
    Line,
    MomentOr,
    Person,
    Side,
    Text,
    TextOr,
    Tooth,
    YesNo,
    YesNoKnown,
    a_code,
    a_count,
    a_group,
    a_list,
    a_moment,
    a_number,
    a_positive,
    a_text,
)
from docgen.case.models.injection import PlannedInjection
from docgen.case.recorded import Recorded, part, recorded

PROCEDURES = "removal coronectomy root_removal operculectomy exposure biopsy drainage other"


class ProposedProcedure(Recorded):
    """What is proposed for one tooth."""

    tooth: Tooth = recorded("The tooth in the declared notation; an entry of its own", "S", "38")
    side: Side = recorded("The patient's side; a second witness to the number", "S", "left")
    jaw: Jaw = recorded("The jaw; a second witness to the number", "S", "lower")
    procedure: Annotated[TextOr, a_code(PROCEDURES)] = recorded("What is to be done", "S", "removal")
    surgical: YesNo = recorded("Whether it needs surgery", "S", "yes")
    incision: YesNo = recorded("Whether the gum is cut", "S", "yes")
    extra_steps: Annotated[
        tuple[
            Annotated[
                str | None,
                a_code("bone_removal sectioning stitches root_left_on_purpose membrane stop_early"),
            ],
            ...,
        ]
        | Answer
        | None,
        a_list(NONE),
    ] = recorded("Steps that may be needed", "S", "[bone_removal, stitches]")
    risks_words: Annotated[TextOr, a_text(NA)] = recorded(
        "Risks in the surgeon's words; needed for a procedure without figures", "S", "not_applicable"
    )
    lingual_flap: YesNoKnown = recorded("Whether a lingual flap is to be raised or retracted", "S", "no")
    air_driven: YesNoKnown = recorded("Whether an air-driven handpiece is to be used", "S", "no")
    coronectomy: Annotated[TextOr, a_code("chosen offered_declined not_suitable not_discussed", NA)] = recorded(
        "What was said about coronectomy", "S", "not_applicable"
    )
    coronectomy_reason: Text = recorded(
        "Why it is not suitable or was not discussed", "S", "The crown is decayed to the pulp"
    )


class PlannedSedation(Recorded):
    """Sedation beside the injections."""

    route: Annotated[TextOr, a_code("inhalation intravenous by_mouth")] = recorded(
        "How it is given", "S", "intravenous"
    )
    inn: Line = recorded("INN name", "S", "midazolam")
    fasting: Text = recorded("What to eat and drink before", "S", "Nothing to eat for six hours")


class PlannedAntibiotic(Recorded):
    """An antibiotic before the operation."""

    inn: Line = recorded("INN name", "S", "amoxicillin")
    dose_mg: Annotated[DecimalOr, a_positive()] = recorded("Dose in mg", "S", "2000")
    minutes_before: Annotated[IntOr, a_count()] = recorded("Minutes before the operation", "S", "60")
    reason: Text = recorded("What it is for", "S", "Heart valve")


class Option(Recorded):
    """Another choice the patient has."""

    option: Annotated[
        TextOr,
        a_code(
            "no_treatment watch_and_wait coronectomy operculectomy medicine_only ct_first refer_on other_anesthesia"
        ),
    ] = recorded("The choice", "S", "no_treatment")
    explained: YesNo = recorded("Whether it was explained", "S", "yes")
    view: Annotated[TextOr, a_text(NONE)] = recorded("What the patient thinks of it", "S", "none")


class AntithromboticDecision(Recorded):
    """A clinician's decision about one blood thinner; the program never makes it."""

    inn: Line = recorded("INN name", "S", "apixaban")
    decision: Annotated[TextOr, a_code("continue miss_dose delay_dose no_change ask_physician")] = recorded(
        "What was decided; ask_physician is undecided on the day", "S", "miss_dose"
    )
    by: Person = recorded("Id of who decided", "S", "mh")
    on: Day = recorded("Day of the decision", "S", "2026-02-20")


class Cost(Recorded):
    """What the treatment costs."""

    amount: Annotated[DecimalOr, a_number()] = recorded("Amount", "R", "240.00")
    currency: Currency = recorded("Currency by ISO 4217", "R", "EUR")
    words: Text = recorded("What the amount covers", "R", "Operation and one review")


class Plan(Recorded):
    """What is proposed, by whom and when."""

    made_on: Day = recorded("Day of the plan", "S R", "2026-03-03")
    made_by: Person = recorded("Id of who made it", "S R", "mh")
    operator: Person = recorded("Id of who is to operate", "S R", "mh")
    operation_at: Annotated[MomentOr, a_moment(NK)] = recorded("Planned start", "S R", "2026-03-17T10:00")
    procedures: Annotated[tuple[Annotated[ProposedProcedure, a_group()], ...] | None, a_list()] = recorded(
        "What is proposed, tooth by tooth", "S", "[{tooth: 38, procedure: removal}]"
    )
    anesthesia: Annotated[TextOr, a_code("local local_with_sedation general_elsewhere")] = recorded(
        "Kind of anesthesia", "S", "local"
    )
    injections: Annotated[tuple[Annotated[PlannedInjection, a_group()], ...] | Answer | None, a_list(NONE)] = recorded(
        "What is to be injected", "S", "[{inn: lidocaine, percent: 2}]"
    )
    sedation: Annotated[PlannedSedation | Answer, a_group(NONE)] = part(PlannedSedation, "Sedation", "S")
    antibiotic: Annotated[PlannedAntibiotic | Answer, a_group(NONE)] = part(
        PlannedAntibiotic, "An antibiotic before the operation", "S"
    )
    options: Annotated[tuple[Annotated[Option, a_group()], ...] | None, a_list()] = recorded(
        "The other choices", "S", "[{option: no_treatment, explained: yes}]"
    )
    benefit: Text = recorded("What the patient can expect to gain", "S", "No more swelling at this tooth")
    success_words: Text = recorded("How likely that is, in words", "S", "Nearly always")
    if_declined: Text = recorded("What happens without the operation", "S", "The swelling is likely to return")
    uncertainties: Annotated[TextOr, a_text(NONE)] = recorded("What is not certain", "S", "none")
    antithrombotic_decisions: Annotated[
        tuple[Annotated[AntithromboticDecision, a_group()], ...] | Answer | None, a_list(NONE)
    ] = recorded("Decisions about blood thinners", "S", "none")
    cost: Annotated[Cost | Answer, a_group(NA)] = part(Cost, "What the treatment costs", "R")
