"""The referral, the reply, the query to the physician, and enclosed files."""

from typing import Annotated

from docgen.answer import Answer
from docgen.case.field_types import (
    NA,
    NONE,
    Day,
    Line,
    MomentOr,
    Name,
    Person,
    Text,
    TextOr,
    Tooth,
    YesNo,
    a_code,
    a_group,
    a_line,
    a_list,
    a_moment,
    a_text,
)
from docgen.case.recorded import Recorded, recorded


class Referral(Recorded):
    """What the referrer asks for."""

    on: Day = recorded("Day of the letter", "F", "2026-02-20")
    to_name: Annotated[TextOr, a_line(NONE)] = recorded("Person it goes to", "F", "Maren Holt")
    to_clinic: Line = recorded("Clinic it goes to", "F", "Harrowmere Dental Surgery")
    teeth: Annotated[tuple[Tooth, ...] | None, a_list()] = recorded("Teeth it is about", "F", "[38]")
    request: Annotated[TextOr, a_code("opinion opinion_and_treatment treatment")] = recorded(
        "What is asked for", "F", "opinion_and_treatment"
    )
    problem: Text = recorded("The problem", "F", "Two swellings at a lower wisdom tooth")
    tried: Annotated[TextOr, a_text(NONE)] = recorded("What was tried so far", "F", "Rinsing under the gum")
    patient_told: Text = recorded("What the patient was told", "F", "The tooth may have to come out")
    expects: Annotated[TextOr, a_code("return_to_referrer shared discharge")] = recorded(
        "Who looks after the patient afterwards", "F", "return_to_referrer"
    )
    no_image_why: Annotated[TextOr, a_text(NA)] = recorded("Why no image is enclosed", "F", "not_applicable")
    signed_at: Annotated[MomentOr, a_moment(NA)] = recorded("When it was signed", "F", "2026-02-20T16:00")
    anesthesia_wanted: Annotated[TextOr, a_code("local sedation general no_view")] = recorded(
        "Anesthesia the referrer asks for", "F", "local"
    )
    anesthesia_why: Annotated[TextOr, a_text(NONE)] = recorded("Why", "F", "none")
    urgency: Annotated[TextOr, a_code("not_urgent soon urgent")] = recorded("Urgency", "F", "not_urgent")
    urgency_why: Annotated[TextOr, a_text(NONE)] = recorded("Why", "F", "none")
    suspected_cancer: YesNo = recorded("Whether cancer is suspected: that has a route of its own", "F", "no")


class MedicineChange(Recorded):
    """A medicine that was changed."""

    inn: Line = recorded("INN name", "S", "ibuprofen")
    change: Annotated[TextOr, a_code("started stopped changed")] = recorded("What changed", "S", "started")
    reason: Line = recorded("Why", "S", "pain after the operation")


class Action(Recorded):
    """Something somebody has to do."""

    action: Text = recorded("What is to be done", "S", "Check the filling of the neighboring tooth")
    owner: Annotated[TextOr, a_code("patient referrer physician surgeon clinic")] = recorded(
        "Who does it", "S", "referrer"
    )
    by_when: Day = recorded("By when", "S", "2026-05-01")


class Reply(Recorded):
    """The letter after the visit."""

    on: Day = recorded("Day of the letter", "S R", "2026-03-24")
    address_to: Annotated[TextOr, a_code("patient referrer")] = recorded("Whom it greets", "S R", "patient")
    summary: Text = recorded("The visit in short", "S R", "The tooth was removed; healing is as expected")
    told_patient: Text = recorded("What the patient was told", "S R", "Feeling is normal")
    refer_back_if: Text = recorded("When to send the patient back", "S R", "Numbness or swelling")
    copies: Annotated[
        tuple[Annotated[str | None, a_code("patient guardian physician referrer")], ...] | Answer | None, a_list(NONE)
    ] = recorded("Who gets a copy", "S R", "[referrer, physician]")
    signed_by: Person = recorded("Id of who signs", "S R", "mh")
    signed_at: Annotated[MomentOr, a_moment(NA)] = recorded("When it was signed", "S R", "2026-03-24T16:30")
    medicine_changes: Annotated[tuple[Annotated[MedicineChange, a_group()], ...] | Answer | None, a_list(NONE)] = (
        recorded("Medicines that were changed", "S", "none")
    )
    actions: Annotated[tuple[Annotated[Action, a_group()], ...] | Answer | None, a_list(NONE)] = recorded(
        "What somebody has to do", "S", "none"
    )


class Query(Recorded):
    """The letter to the physician."""

    on: Day = recorded("Day of the letter", "S", "2026-01-12")
    questions: Annotated[tuple[Text, ...] | None, a_list(at_most=2)] = recorded(
        "Questions, two at most", "S", "[Is the last INR in your records within range?]"
    )
    answer_wanted_by: Day = recorded("By when an answer is needed", "S", "2026-01-16")
    consent_to_share: YesNo = recorded("Whether the patient agreed that data leave the clinic", "S", "yes")
    signed_by: Person = recorded("Id of who signs", "S", "mh")
    signed_at: Annotated[MomentOr, a_moment(NA)] = recorded("When it was signed", "S", "2026-01-12T12:00")


class File(Recorded):
    """A file that belongs to the case."""

    id: Name = recorded("Short name other fields point to", "R", "f1")
    title: Line = recorded("Title", "R", "Panoramic film")
    type: Annotated[TextOr, a_code("image letter result other")] = recorded("Kind of file", "R", "image")
    on: Day = recorded("Day of the file", "R", "2026-02-20")
    name: Line = recorded("File name, without the patient's name", "R", "pan-20417.png")
