"""The consent conversation."""

from typing import Annotated

from docgen.answer import Answer
from docgen.case.field_types import (
    NA,
    NONE,
    Day,
    Line,
    Moment,
    MomentOr,
    Person,
    Text,
    TextOr,
    Tongue,
    Tooth,
    YesNo,
    a_code,
    a_group,
    a_list,
    a_moment,
    a_text,
)
from docgen.case.recorded import Recorded, part, recorded


class InformationGiven(Recorded):
    """One leaflet or film the patient received."""

    title: Line = recorded("Title", "R S", "Removing a wisdom tooth")
    version: Line = recorded("Version", "R S", "3")
    language: Tongue = recorded("Language", "R S", "en")
    given_on: Day = recorded("Day it was given", "R S", "2026-03-03")


class Question(Recorded):
    """One question of the patient."""

    question: Text = recorded("The question", "S", "Can I sing the week after?")
    answer: Text = recorded("The answer", "S", "Most people can after two weeks")


class Interpreter(Recorded):
    """Who interpreted."""

    name: Line = recorded("Name", "R S", "A. Nowak")
    number: Line = recorded("Number of the interpreter", "R S", "T-118")
    language: Tongue = recorded("Language", "R S", "pl")
    mode: Annotated[TextOr, a_code("in_person video telephone")] = recorded("How", "R S", "video")
    qualified: YesNo = recorded("Whether the person is a qualified interpreter", "R S", "yes")
    adult: YesNo = recorded("Whether the person is an adult", "R S", "yes")
    relative: YesNo = recorded("Whether the person is a relative of the patient", "R S", "no")
    reason: Annotated[TextOr, a_text(NA)] = recorded("Why a relative interpreted", "R S", "not_applicable")


class SignedAt(Recorded):
    """When each person signed; a blank line prints until then."""

    patient: Annotated[MomentOr, a_moment(NA)] = recorded("The patient signed", "R S", "2026-03-03T15:40")
    guardian: Annotated[MomentOr, a_moment(NA)] = recorded("The guardian signed", "R S", "not_applicable")
    decision_maker: Annotated[MomentOr, a_moment(NA)] = recorded("The decision-maker signed", "R S", "not_applicable")
    clinician: Annotated[MomentOr, a_moment(NA)] = recorded("The clinician signed", "R S", "2026-03-03T15:42")
    interpreter: Annotated[MomentOr, a_moment(NA)] = recorded("The interpreter signed", "R S", "not_applicable")
    witness: Annotated[MomentOr, a_moment(NA)] = recorded("The witness signed", "R S", "not_applicable")


class Consent(Recorded):
    """What was explained, and what the patient decided."""

    first_talk_on: Day = recorded("Day of the first talk, stage one", "S", "2026-03-03")
    explained_by: Person = recorded("Id of who explained", "S", "mh")
    place: Line = recorded("Where", "S", "Room 2")
    teeth: Annotated[tuple[Tooth, ...] | None, a_list()] = recorded("The teeth the patient agreed to", "S", "[38]")
    not_agreed: Annotated[TextOr, a_text(NONE)] = recorded("What the patient refused", "S", "none")
    only_if_urgent: Annotated[TextOr, a_text(NONE)] = recorded("What only an emergency would allow", "S", "none")
    information_given: Annotated[tuple[Annotated[InformationGiven, a_group()], ...] | Answer | None, a_list(NONE)] = (
        recorded("Leaflets and films the patient received", "R S", "none")
    )
    questions: Annotated[tuple[Annotated[Question, a_group()], ...] | Answer | None, a_list(NONE)] = recorded(
        "The patient's questions", "S", "none"
    )
    risks_asked: Annotated[TextOr, a_text(NONE)] = recorded("Risks the patient raised", "S", "none")
    understanding_words: Text = recorded("How the patient put it", "S", "You take the tooth out and my lip may be numb")
    capacity: Annotated[TextOr, a_code("presumed assessed_has assessed_lacks")] = recorded(
        "Ability to decide", "S", "presumed"
    )
    capacity_note: Annotated[TextOr, a_text(NONE)] = recorded("How it was assessed", "S", "none")
    support_given: Annotated[TextOr, a_text(NONE)] = recorded("Help with deciding", "S", "none")
    assent: Annotated[TextOr, a_code("agrees objects not_able", NA)] = recorded(
        "Own view of a minor, or of an adult without capacity", "S", "not_applicable"
    )
    interpreter: Annotated[Interpreter | Answer, a_group(NA)] = part(Interpreter, "Who interpreted", "R S")
    signed_at: Annotated[SignedAt, a_group()] = part(SignedAt, "When each person signed", "R S")
    confirmed_at: Moment = recorded("Stage two, on the day", "S", "2026-03-17T09:40")
    confirmed_by: Person = recorded("Id of who confirmed it", "S", "mh")
    changes: Annotated[TextOr, a_text(NONE)] = recorded("What changed since the first talk", "S", "none")
    copy_: Annotated[TextOr, a_code("accepted declined sent_later")] = recorded(
        "The patient's copy", "R S", "accepted", written="copy"
    )
    photographs: Annotated[TextOr, a_code("separate_form_signed refused not_asked", NA)] = recorded(
        "Pictures and teaching, asked for separately", "R S", "not_asked"
    )
    withdrawn_at: Annotated[MomentOr, a_moment(NONE)] = recorded("When consent was withdrawn", "S", "none")
    withdrawn_words: Annotated[TextOr, a_text(NONE)] = recorded("What the patient said then", "S", "none")
