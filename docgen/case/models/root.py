"""The whole case record."""

from typing import Annotated

from docgen.answer import Answer
from docgen.case.field_types import NA, NONE, a_group, a_list
from docgen.case.models.addendum import SignedAddendum
from docgen.case.models.after import Aftercare, FollowUp, Prescription
from docgen.case.models.consent import Consent
from docgen.case.models.letters import File, Query, Referral, Reply
from docgen.case.models.medical import Medical
from docgen.case.models.operation import Operation
from docgen.case.models.people import (
    Clinic,
    DecisionMaker,
    Departure,
    Escort,
    Guardian,
    Letterhead,
    Patient,
    Physician,
    Practitioner,
    Record,
    Referrer,
)
from docgen.case.models.plan import Plan
from docgen.case.models.teeth import Image, ToothItem
from docgen.case.recorded import Recorded, part, recorded


class CaseRecord(Recorded):
    """One patient, one course of treatment, from referral to reply."""

    record: Annotated[Record, a_group()] = part(Record, "What the record says about itself", "R C")
    clinic: Annotated[Clinic, a_group()] = part(Clinic, "The clinic", "C")
    practitioners: Annotated[tuple[Annotated[Practitioner, a_group()], ...] | None, a_list()] = recorded(
        "The people of the clinic", "C", "[{id: mh, name: Maren Holt}]"
    )
    letterhead: Annotated[Letterhead | Answer, a_group(NONE)] = part(Letterhead, "The head of the clinic's pages", "C")
    patient: Annotated[Patient, a_group()] = part(Patient, "The patient", "R F")
    physician: Annotated[Physician, a_group()] = part(Physician, "The patient's medical doctor", "R F")
    guardian: Annotated[Guardian | Answer, a_group(NA)] = part(Guardian, "Who signs for a minor", "R")
    decision_maker: Annotated[DecisionMaker | Answer, a_group(NA)] = part(
        DecisionMaker, "Who decides for an adult who lacks capacity", "R S"
    )
    escort: Annotated[Escort | Answer, a_group(NA)] = part(Escort, "The adult who takes the patient home", "R")
    referrer: Annotated[Referrer, a_group()] = part(Referrer, "Who sends the patient", "F R")
    medical: Annotated[Medical, a_group()] = part(Medical, "The medical history", "S F")
    imaging: Annotated[tuple[Annotated[Image, a_group()], ...] | Answer | None, a_list(NONE)] = recorded(
        "Radiographs and scans", "F S", "[{id: im1, type: panoramic, taken_on: 2026-02-20}]"
    )
    teeth: Annotated[tuple[Annotated[ToothItem, a_group()], ...] | None, a_list()] = recorded(
        "The findings, tooth by tooth", "F S", "[{tooth: 38, side: left, jaw: lower}]"
    )
    plan: Annotated[Plan, a_group()] = part(Plan, "What is proposed", "S")
    consent: Annotated[Consent, a_group()] = part(Consent, "The consent conversation", "S")
    departures: Annotated[tuple[Annotated[Departure, a_group()], ...] | Answer | None, a_list(NONE)] = recorded(
        "Checks that are knowingly not followed", "S", "none"
    )
    operation: Annotated[Operation, a_group()] = part(Operation, "What was done", "S")
    addendum: Annotated[SignedAddendum, a_group()] = part(
        SignedAddendum, "The document that adds to a signed operative note", "S"
    )
    prescriptions: Annotated[tuple[Annotated[Prescription, a_group()], ...] | Answer | None, a_list(NONE)] = recorded(
        "Medicines to take at home", "S", "none"
    )
    aftercare: Annotated[Aftercare, a_group()] = part(Aftercare, "What the patient takes home", "S")
    follow_up: Annotated[FollowUp, a_group()] = part(FollowUp, "Review visits and results", "R S")
    referral: Annotated[Referral, a_group()] = part(Referral, "What the referrer asks for", "F")
    reply: Annotated[Reply, a_group()] = part(Reply, "The letter after the visit", "S R")
    query: Annotated[Query, a_group()] = part(Query, "The letter to the physician", "S")
    files: Annotated[tuple[Annotated[File, a_group()], ...] | None, a_list()] = recorded(
        "Files that belong to the case", "R", "[{id: f1, title: Panoramic film}]"
    )
