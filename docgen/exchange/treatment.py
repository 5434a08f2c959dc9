"""What was asked for, agreed and done > ServiceRequest, Consent, Procedure; one Procedure for each tooth."""

from __future__ import annotations

from typing import Any

from docgen.answer import Answer
from docgen.exchange.elements import LOINC, Element, coding, compact, concept, day_or_moment, hl7
from docgen.exchange.telling import Telling

PROCEDURE_STATES = {"stopped": "stopped", "not_done": "not-done"}
"""What was not carried through; everything else is completed."""

PRIORITIES = {"not_urgent": "routine", "soon": "urgent", "urgent": "asap"}
"""FHIR has no word between routine and urgent, and one above it: rather a letter read too early than too late."""

SIGNERS = {"patient": "patient", "guardian": "guardian", "decision_maker": "decision_maker"}
"""Who may have agreed, and the resource that names the person."""


def tell_treatment(telling: Telling) -> None:
    """Add what the document is about; a letter's request and a consent only for the kinds that are one."""
    group = telling.kind.moment.split(".")[0]
    if group == "referral":
        _request(telling)
    if group == "consent":
        _consent(telling)
    for number, one in telling.rows("operation.procedures"):
        if one.performed:
            _procedure(telling, number, one)


def _procedure(telling: Telling, number: int, one: Any) -> None:
    what = telling.phrases.of("operation.procedures[].performed", one.performed)
    tooth = telling.tooth(one.tooth)
    state = PROCEDURE_STATES.get(one.performed, "completed")
    why = one.difference if isinstance(one.difference, str) else None
    ended = day_or_moment(telling.value("operation.ended_at"), telling.zone)
    started = day_or_moment(telling.value("operation.started_at"), telling.zone)
    diagnosis = telling.entries.find(f"teeth/{one.tooth}")
    telling.entries.add(
        f"operation.procedures/{number}",
        "Procedure",
        text=telling.told(what, tooth and tooth["text"], one.findings),
        status=state,
        statusReason=concept(why) if why and state != "completed" else None,
        code=telling.coded("procedure", one.performed, what),
        subject=telling.subject,
        performedPeriod=compact(start=started, end=ended) if state != "not-done" else None,
        performer=_performers(telling) if state != "not-done" else None,
        reasonReference=[diagnosis] if diagnosis else None,
        bodySite=[tooth] if tooth else None,
        complication=_complications(telling, one),
        note=[{"text": said} for said in (one.findings, None if state != "completed" else why) if _is_text(said)],
    )


def _performers(telling: Telling) -> list[Element]:
    """Name who operated, assisted and sedated, each with the function in words."""
    people = [
        ("operator", telling.value("operation.operator")),
        ("sedationist", telling.value("operation.sedationist")),
    ]
    people[1:1] = [("assistant", one) for one in telling.value("operation.assistants") or ()]
    found = []
    for role, person in people:
        if actor := telling.entries.find(f"practitioner/{person}"):
            found.append({"function": concept(telling.phrases.of("practitioners[].roles", role)), "actor": actor})
    return found


def _is_text(value: object) -> bool:
    return isinstance(value, str) and bool(value)


def _complications(telling: Telling, one: Any) -> list[Element]:
    rows = one.complications if isinstance(one.complications, tuple) else ()
    found = []
    for row in rows:
        name = telling.phrases.of("operation.procedures[].complications[].code", row.code) if row.code else ""
        if text := ": ".join(part for part in (name, row.words) if part):
            found.append(concept(text))
    return found


def _request(telling: Telling) -> None:
    value, entries = telling.value, telling.entries
    what = value("referral.request") and telling.phrases.of("referral.request", value("referral.request"))
    teeth = [tooth for written in value("referral.teeth") or () if (tooth := telling.tooth(written))]
    to_name = value("referral.to_name")
    performers = [entries.find("receiver") or entries.find("clinic")]
    if to_name:
        entries.add("receiver/person", "Practitioner", text=telling.told(to_name), name=[{"text": to_name}])
        performers.insert(0, entries.reference("receiver/person"))
    asker = entries.find("referrer/role") or entries.find("referrer")
    diagnoses = [one for written in value("referral.teeth") or () if (one := entries.find(f"teeth/{written}"))]
    entries.add(
        "referral.request",
        "ServiceRequest",
        text=telling.told(what, *(tooth["text"] for tooth in teeth), value("referral.problem")),
        status="entered-in-error" if telling.registered.is_error else "active",
        intent="order",
        priority=PRIORITIES.get(str(value("referral.urgency"))),
        code=concept(what) if what else None,
        subject=telling.subject,
        authoredOn=day_or_moment(value("referral.on"), None),
        requester=telling.subject if value("referrer.kind") == "self" else asker,
        performer=[one for one in performers if one],
        reasonCode=[concept(value("referral.problem"))] if value("referral.problem") else None,
        reasonReference=diagnoses,
        bodySite=teeth,
        note=[{"text": said} for said in (value("referral.urgency_why"), value("referral.tried")) if said],
    )


def _consent(telling: Telling) -> None:
    """Add the consent as it stands: what was agreed, what was refused, who signed, and whether it was withdrawn."""
    value, entries, rule = telling.value, telling.entries, telling.kind.exchange
    signed = {who: value(f"consent.signed_at.{who}") for who in SIGNERS}
    signed = {who: moment for who, moment in signed.items() if moment is not None}
    title = telling.title
    files = entries.named("file/")
    kind = coding(LOINC, rule.loinc, rule.display) if rule and rule.loinc else None
    entries.add(
        "consent",
        "Consent",
        text=telling.told(title, *_agreed_words(telling)),
        identifier=[{"system": telling.registered.system, "value": telling.registered.printed}],
        status=_consent_state(telling, signed),
        scope=hl7("consentscope", "treatment"),
        category=[concept(title, kind)],
        patient=telling.subject,
        dateTime=day_or_moment(max(signed.values(), default=value("consent.first_talk_on")), telling.zone),
        performer=[one for who in signed if (one := entries.find(SIGNERS[who]))],
        organization=[one] if (one := entries.find("clinic")) else None,
        sourceReference=files[0] if files else None,
        policyRule=concept(title),
        verification=_verification(telling),
        provision=_provision(telling),
    )


def _consent_state(telling: Telling, signed: dict[str, Any]) -> str:
    if telling.registered.is_error:
        return "entered-in-error"
    if telling.value("consent.withdrawn_at") or telling.registered.state == "withdrawn":
        return "inactive"
    return "active" if signed else "proposed"


def _agreed_words(telling: Telling) -> list[str]:
    return [tooth["text"] for written in telling.value("consent.teeth") or () if (tooth := telling.tooth(written))]


def _provision(telling: Telling) -> Element:
    agreed = set(telling.value("consent.teeth") or ())
    codes = []
    for _, one in telling.rows("plan.procedures"):
        if one.tooth in agreed and one.procedure and (tooth := telling.tooth(one.tooth)):
            what = telling.phrases.of("plan.procedures[].procedure", one.procedure)
            codes.append(telling.coded("procedure", one.procedure, f"{what}: {tooth['text']}"))
    refused = [telling.value(f"consent.{name}") for name in ("not_agreed",)]
    denied = [{"type": "deny", "code": [concept(words)]} for words in refused if words]
    return compact(type="permit", code=codes, provision=denied) if codes else {}


def _verification(telling: Telling) -> list[Element]:
    """Say whether the consent was confirmed on the day; nothing, while nobody has recorded it."""
    moment = telling.case.value("consent.confirmed_at")
    if moment is None or isinstance(moment, Answer):
        return []
    return [{"verified": True, "verificationDate": day_or_moment(moment, telling.zone)}]
