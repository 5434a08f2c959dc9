"""The people and places of a document > Patient, Practitioner, PractitionerRole, RelatedPerson, Organization."""

from __future__ import annotations

from docgen.exchange.carried import text
from docgen.exchange.elements import TONGUES, Element, address, coding, compact, concept, human_name, telecom
from docgen.exchange.telling import Telling

GENDERS = {"female": "female", "male": "male", "other_recorded": "other", "not_known": "unknown"}
"""FHIR's words for sex as recorded for clinical use; not recorded says nothing."""


def tell_people(telling: Telling) -> None:
    """Add everybody the document names; who is not named by anything is dropped later."""
    _organizations(telling)
    _practitioners(telling)
    _outside(telling)
    _patient(telling)
    _related(telling, "guardian")
    _related(telling, "decision_maker")


def _patient(telling: Telling) -> None:
    value = telling.value
    given, family = value("patient.given_names"), value("patient.family_name")
    name = telling.phrases.language.full_name(given or "", family or "").strip()
    usual = value("patient.form_of_address")
    names = [human_name(name, family, given)] if name else []
    names += [{"use": "usual", "text": usual}] if usual else []
    sex = telling.case.value("patient.sex")
    born = value("patient.birth_date")
    telling.entries.add(
        "patient",
        "Patient",
        meta=telling.meta,
        text=telling.told(name, born and telling.phrases.language.date(born), value("patient.identifier")),
        identifier=_numbers(telling),
        name=names,
        telecom=telecom(value("patient.phone"), value("patient.email")),
        gender=GENDERS.get(text(sex)),
        birthDate=born and born.isoformat(),
        address=address(value("patient.address")),
        contact=_contacts(telling),
        communication=_tongues(telling),
        generalPractitioner=[one] if (one := telling.entries.find("physician")) else None,
        managingOrganization=telling.entries.find("clinic"),
    )


def _numbers(telling: Telling) -> list[Element]:
    """Number the patient; whose number it is stands beside it in words, because no system was given."""
    clinic = telling.value("clinic.name")
    own = compact(value=telling.value("patient.identifier"), assigner={"display": clinic} if clinic else None)
    national = telling.value("patient.national_number")
    return [one for one in (own, compact(use="official", value=national) if national else {}) if one.get("value")]


def _tongues(telling: Telling) -> list[Element]:
    read, spoken = telling.value("patient.preferred_language"), telling.value("patient.spoken_language")
    found = [{"language": {"coding": [coding(TONGUES, read)]}, "preferred": True}] if read else []
    return found + ([{"language": {"coding": [coding(TONGUES, spoken)]}}] if spoken and spoken != read else [])


def _contacts(telling: Telling) -> list[Element]:
    found = []
    for group in ("guardian", "decision_maker", "escort"):
        name = telling.value(f"{group}.name")
        relation = telling.value(f"{group}.relation") if group != "escort" else None
        if name:
            found.append(
                compact(
                    relationship=[concept(relation)] if relation else None,
                    name=human_name(name),
                    telecom=telecom(telling.value(f"{group}.phone")),
                )
            )
    return found


def _related(telling: Telling, group: str) -> None:
    """Add who signs or decides for the patient."""
    name, relation = telling.value(f"{group}.name"), telling.value(f"{group}.relation")
    if name:
        telling.entries.add(
            group,
            "RelatedPerson",
            text=telling.told(name, relation),
            patient=telling.subject,
            relationship=[concept(relation)] if relation else None,
            name=[human_name(name)],
            telecom=telecom(telling.value(f"{group}.phone")),
        )


def _practitioners(telling: Telling) -> None:
    for _, person in telling.rows("practitioners"):
        number, body = (one if isinstance(one, str) else None for one in (person.registration_number,
                                                                          person.registration_body))  # fmt: skip
        telling.entries.add(
            f"practitioner/{person.id}",
            "Practitioner",
            text=telling.told(person.name, number, body),
            identifier=[compact(value=number, assigner={"display": body} if body else None)] if number else None,
            name=[human_name(person.name)] if person.name else None,
        )


def _outside(telling: Telling) -> None:
    """Add the referrer and the physician with their practices."""
    for group in ("referrer", "physician"):
        name = telling.value(f"{group}.name")
        if not name or (group == "referrer" and telling.value("referrer.kind") == "self"):
            continue
        number = telling.value(f"{group}.registration_number") if group == "referrer" else None
        person = telling.entries.add(
            group,
            "Practitioner",
            text=telling.told(name, number),
            identifier=[{"value": number}] if number else None,
            name=[human_name(name)],
            telecom=telecom(telling.value(f"{group}.phone"), telling.value(f"{group}.email")),
        )
        if practice := telling.value(f"{group}.practice"):
            where = telling.entries.add(
                f"{group}/practice",
                "Organization",
                text=telling.told(practice),
                name=practice,
                address=address(telling.value(f"{group}.address")),
            )
            telling.entries.add(
                f"{group}/role",
                "PractitionerRole",
                text=telling.told(name, practice),
                practitioner=person,
                organization=where,
            )


def _organizations(telling: Telling) -> None:
    """Add the clinic whose record it is, and the clinic a letter goes to if that is another."""
    name = telling.value("clinic.name")
    number = telling.value("clinic.registration")
    if name:
        telling.entries.add(
            "clinic",
            "Organization",
            text=telling.told(name),
            identifier=[{"value": number}] if number else None,
            name=name,
            telecom=telecom(telling.value("clinic.phone"), telling.value("clinic.email")),
            address=address(telling.value("clinic.address")),
        )
    receiver = telling.value("referral.to_clinic")
    if receiver and receiver != name:
        telling.entries.add("receiver", "Organization", text=telling.told(receiver), name=receiver)
