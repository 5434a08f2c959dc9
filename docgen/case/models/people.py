"""The record itself, the clinic and its people, the patient and those who act for the patient."""

from typing import Annotated

from docgen.answer import Answer
from docgen.case.field_types import (
    NA,
    NK,
    NONE,
    DateOr,
    Day,
    DecimalOr,
    IntOr,
    Line,
    Name,
    Person,
    Text,
    TextOr,
    Tongue,
    YesNo,
    Zone,
    a_code,
    a_count,
    a_date,
    a_language,
    a_line,
    a_list,
    a_number,
    a_positive,
    a_text,
    an_id,
)
from docgen.case.recorded import Recorded, recorded


class Record(Recorded):
    """What the record says about itself."""

    id: Name = recorded(
        "Unique name of the record; stands in file names instead of the patient's name", "R", "HM-2026-0117"
    )
    edition: Annotated[IntOr, a_count(low=1)] = recorded("Edition of the field dictionary", "C", "1")
    sample: YesNo = recorded("Yes prints SAMPLE on every page", "C", "no")
    tooth_notation: Annotated[TextOr, a_code("fdi universal palmer")] = recorded(
        "How every tooth number of this record is meant", "R", "fdi"
    )
    language: Tongue = recorded("The clinic's language: of all texts and codes of the surgeon", "R", "en")


class Clinic(Recorded):
    """The clinic that answers for the documents."""

    name: Line = recorded("Name of the clinic", "C", "Harrowmere Dental Surgery")
    address: Annotated[tuple[Line, ...] | None, a_list()] = recorded(
        "Postal address, line by line", "C", "[12 Quay Row, Harrowmere]"
    )
    phone: Line = recorded("Telephone by day", "C", "0100 555 0100")
    email: Annotated[TextOr, a_line(NONE)] = recorded("Mail address", "C", "desk@harrowmere.example")
    registration: Annotated[TextOr, a_line(NONE)] = recorded("Registration of the clinic", "C", "none")
    out_of_hours: Line = recorded(
        "Telephone and hours at night, or the way to urgent care", "C", "0100 555 0199, 18-08 h"
    )
    time_zone: Zone = recorded("Time zone by its IANA name; every moment is meant in it", "C", "Europe/London")
    drugs: Annotated[tuple[Line, ...] | Answer | None, a_list(NONE)] = recorded(
        "INN names the clinic uses that no class list holds: known, without rules", "C", "none"
    )


class Practitioner(Recorded):
    """One person of the clinic; other fields point to the id."""

    id: Name = recorded("Short name other fields point to", "C", "mh")
    name: Line = recorded("Name as documents print it", "C", "Maren Holt")
    roles: Annotated[
        tuple[Annotated[str | None, a_code("surgeon operator assistant sedationist explainer")], ...] | None, a_list()
    ] = recorded("What the person does here", "C", "[surgeon, operator, explainer]")
    registration_number: Annotated[TextOr, a_line(NA)] = recorded(
        "Number in the professional register", "C", "000000 (sample)"
    )
    registration_body: Annotated[TextOr, a_line(NA)] = recorded(
        "Who keeps that register", "C", "Dental register (sample)"
    )
    trainee: YesNo = recorded("Whether the person is in training", "C", "no")
    supervisor: Annotated[TextOr, an_id(NA)] = recorded(
        "Id of the person who supervises a trainee", "C", "not_applicable"
    )


class Letterhead(Recorded):
    """The head of the clinic's pages."""

    logo: Annotated[TextOr, a_line(NONE)] = recorded("File name of the logo, beside the clinic's file", "C", "logo.png")


class Patient(Recorded):
    """The patient."""

    identifier: Line = recorded("Number of the patient at the clinic", "R F", "P-20417")
    national_number: Annotated[TextOr, a_line(NONE, NK)] = recorded("National health number", "R F", "none")
    given_names: Line = recorded("Given names", "R F", "Orla")
    family_name: Line = recorded("Family name", "R F", "Fenwright")
    form_of_address: Line = recorded("How the patient wishes to be addressed", "R F", "Ms Fenwright")
    birth_date: Day = recorded("Date of birth", "R F", "2001-11-19")
    sex: Annotated[TextOr, a_code("female male other_recorded", NK)] = recorded(
        "Sex as recorded for clinical use", "R F", "female"
    )
    address: Annotated[tuple[Line, ...] | Answer | None, a_list(NONE)] = recorded(
        "Postal address, line by line", "R F", "[3 Mill Lane, Harrowmere]"
    )
    phone: Annotated[TextOr, a_line(NONE)] = recorded("Telephone", "R F", "0100 555 0123")
    email: Annotated[TextOr, a_line(NONE)] = recorded("Mail address", "R F", "none")
    preferred_language: Tongue = recorded("Language of reading; decides the patient's text", "R F", "en")
    spoken_language: Annotated[TextOr, a_language(NA)] = recorded(
        "Language spoken, if another", "R F", "not_applicable"
    )
    communication_needs: Annotated[
        tuple[
            Annotated[str | None, a_code("large_print hearing sight sign_language reads_with_help easy_words other")],
            ...,
        ]
        | Answer
        | None,
        a_list(NONE),
    ] = recorded("What the patient needs to read and hear", "R F", "[large_print]")
    communication_note: Annotated[TextOr, a_text(NONE)] = recorded("The needs in words", "R F", "none")
    interpreter_needed: YesNo = recorded("Whether an interpreter is needed", "R F", "no")
    weight_kg: Annotated[DecimalOr, a_number(low="3", high="300")] = recorded("Weight in kg", "R S", "62")
    weight_on: Day = recorded("Day of weighing", "R S", "2026-03-03")
    dosing_weight_kg: Annotated[DecimalOr, a_positive(NA)] = recorded(
        "Lean or ideal weight in kg for doses, set by the surgeon", "R S", "not_applicable"
    )
    occupation: Annotated[TextOr, a_line(NONE, NK)] = recorded("Work", "R", "teacher")
    matters: Annotated[
        tuple[
            Annotated[
                str | None,
                a_code(
                    "singing wind_instrument public_speaking taste_work contact_sport driving_work carer_duties "
                    "fear other"
                ),
            ],
            ...,
        ]
        | Answer
        | None,
        a_list(NONE),
    ] = recorded("What the operation touches in this patient's life", "R S", "[singing]")
    matters_words: Annotated[TextOr, a_text(NONE)] = recorded("The same in the patient's words", "R S", "twice a week")


class Physician(Recorded):
    """The patient's medical doctor."""

    name: Annotated[TextOr, a_line(NONE, NK)] = recorded("Name", "R F", "Dr T. Arkwell (sample)")
    practice: Annotated[TextOr, a_line(NONE, NK)] = recorded("Practice", "R F", "Quay Practice")
    address: Annotated[tuple[Line, ...] | Answer | None, a_list(NONE, NK)] = recorded(
        "Postal address, line by line", "R F", "[1 Quay Row, Harrowmere]"
    )
    phone: Annotated[TextOr, a_line(NONE, NK)] = recorded("Telephone", "R F", "0100 555 0130")
    email: Annotated[TextOr, a_line(NONE, NK)] = recorded("Mail address", "R F", "none")


class Guardian(Recorded):
    """Who signs for a minor."""

    name: Line = recorded("Name", "R", "Halina Brzezna")
    relation: Line = recorded("Relation to the patient", "R", "mother")
    phone: Line = recorded("Telephone", "R", "0100 555 0140")
    language: Tongue = recorded("Language of reading", "R", "pl")
    second_holder: Annotated[TextOr, a_line(NONE, NK)] = recorded("Second person with the same authority", "R", "none")
    authority: Annotated[TextOr, a_code("parental_responsibility court delegated")] = recorded(
        "Why this person may sign", "R", "parental_responsibility"
    )
    authority_seen_by: Person = recorded("Id of the person who checked it", "R", "mh")


class DecisionMaker(Recorded):
    """Who decides for an adult who lacks capacity."""

    name: Line = recorded("Name", "R S", "Livia Malvasio")
    relation: Line = recorded("Relation to the patient", "R S", "sister")
    phone: Line = recorded("Telephone", "R S", "0100 555 0150")
    people_consulted: Annotated[TextOr, a_text(NONE)] = recorded("Who else was asked", "R S", "none")
    authority: Annotated[TextOr, a_code("health_proxy court clinician_overall_benefit")] = recorded(
        "Why this person may decide", "R S", "health_proxy"
    )
    document_seen_on: Annotated[DateOr, a_date(NA)] = recorded("Day the paper was seen", "R S", "2026-09-01")


class Escort(Recorded):
    """The adult who takes the patient home."""

    name: Annotated[TextOr, a_line(NONE)] = recorded("Name", "R", "Halina Brzezna")
    phone: Annotated[TextOr, a_line(NONE)] = recorded("Telephone", "R", "0100 555 0140")


class Referrer(Recorded):
    """Who sends the patient."""

    kind: Annotated[TextOr, a_code("dentist physician self", NONE)] = recorded("Who sends", "F R", "dentist")
    name: Annotated[TextOr, a_line(NA, NONE)] = recorded("Name", "F R", "P. Lindqvist-Odell")
    registration_number: Annotated[TextOr, a_line(NA, NONE)] = recorded(
        "Number in the register", "F R", "000001 (sample)"
    )
    practice: Annotated[TextOr, a_line(NA, NONE)] = recorded("Practice", "F R", "Odell Dental")
    address: Annotated[tuple[Line, ...] | Answer | None, a_list(NA, NONE)] = recorded(
        "Postal address, line by line", "F R", "[4 Hill Street, Harrowmere]"
    )
    phone: Annotated[TextOr, a_line(NA, NONE)] = recorded("Telephone", "F R", "0100 555 0160")
    email: Annotated[TextOr, a_line(NA, NONE)] = recorded("Mail address", "F R", "none")


class Departure(Recorded):
    """A check that is knowingly not followed, with the clinician's reason."""

    code: Name = recorded("Code of the check", "S", "inr-missing")
    reason: Text = recorded("Why it is not followed", "S", "Test was not possible; bleeding risk discussed")
    by: Person = recorded("Id of the surgeon or operator", "S", "mh")
    on: Day = recorded("Day of the decision", "S", "2026-03-03")
