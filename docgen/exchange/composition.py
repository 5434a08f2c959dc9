"""A composed document and what the register says of it > Composition and DocumentReference."""

from __future__ import annotations

from collections.abc import Iterator

from docgen.blocks import Section, plain, printed_number
from docgen.exchange.elements import (
    LOINC,
    URIS,
    Element,
    coding,
    compact,
    concept,
    day_or_moment,
    escaped,
    instant,
    narrative,
)
from docgen.exchange.health import Absence, absences
from docgen.exchange.narrative import spans_of, xhtml
from docgen.exchange.registered import Registered
from docgen.exchange.telling import Telling

DRAFT = "draft"
"""Code of the mark of a text that nobody has approved, or a translation that nobody has reviewed."""

ENTERED_IN_ERROR = "entered-in-error"

AUTHORS = {
    "referral": ("referrer",),
    "consent": ("consent.explained_by",),
    "operation": ("operation.signed_by", "operation.operator"),
    "reply": ("reply.signed_by",),
    "query": ("query.signed_by",),
    "addendum": ("addendum.signed_by",),
}
"""Who wrote a document, by the group of the record that starts its kind: a field with an id, or a resource."""

HOMES = (
    *("medical.allergies", "medical.conditions", "medical.medications", "medical.antithrombotics"),
    *("medical.antiresorptives", "operation.procedures", "operation.injections", "operation.antibiotic"),
    *("operation.drugs_given", "prescriptions", "referral.request", "teeth", "consent"),
)
"""Groups of the record; their resources hang on the first section of the document that prints one of their fields."""


def is_final(telling: Telling) -> bool:
    """Tell whether nothing is awaited any more: read and approved, and signed, if the kind is signed."""
    if any(mark.code == DRAFT for mark in telling.document.furniture.marks):
        return False
    moments = telling.kind.signed_at
    return not moments or telling.registered.state == "signed" or any(telling.value(path) for path in moments)


def status(telling: Telling) -> str:
    """Give the state of the text: preliminary until it is signed."""
    if telling.registered.is_error:
        return ENTERED_IN_ERROR
    return "final" if is_final(telling) else "preliminary"


def tell_composition(telling: Telling, carried: frozenset[str]) -> None:
    """Add the Composition; `carried` are the lists of the history that the document may speak of."""
    registered, entries = telling.registered, telling.entries
    title = telling.title
    marks = "".join(f"<p><b>{escaped(mark.words)}</b></p>" for mark in telling.document.furniture.marks)
    event = compact(
        start=day_or_moment(telling.value("operation.started_at"), telling.zone),
        end=day_or_moment(telling.value("operation.ended_at"), telling.zone),
    )
    done = entries.named("operation.procedures/")
    entries.add(
        "composition",
        "Composition",
        text=narrative(f"<h1>{escaped(title)}</h1>{marks}", telling.document.language, telling.document.direction),
        language=telling.document.language,
        identifier={"system": registered.system, "value": registered.printed},
        status=status(telling),
        type=document_type(telling),
        subject=telling.subject,
        date=instant(registered.at),
        author=authors(telling),
        title=title,
        attester=list(_attesters(telling)),
        custodian=entries.find("clinic"),
        relatesTo=[{"code": code, "targetIdentifier": number} for code, number in _earlier(telling)],
        event=[compact(period=event, detail=done)] if done and event else None,
        section=_sections(telling, carried),
    )


def document_type(telling: Telling) -> Element:
    """Say what type of document it is: its title, and LOINC's code where the kind declares one."""
    rule = telling.kind.exchange
    code = coding(LOINC, rule.loinc, rule.display) if rule and rule.loinc else None
    return concept(telling.title, code)


def authors(telling: Telling) -> list[Element]:
    """Find who wrote it; the clinic, if nobody is named."""
    entries = telling.entries
    for path in AUTHORS.get(telling.kind.moment.split(".")[0], ()):
        if path == "referrer":
            found = entries.find("referrer/role") or entries.find("referrer")
            found = telling.subject if telling.value("referrer.kind") == "self" else found
        else:
            found = entries.find(f"practitioner/{telling.value(path)}")
        if found:
            return [found]
    clinic = entries.find("clinic")
    return [clinic] if clinic else [telling.subject]


def _attesters(telling: Telling) -> Iterator[Element]:
    """Say who signed and when, as far as it is recorded."""
    for path in telling.kind.signed_at:
        moment = telling.value(path)
        if moment is None:
            continue
        who = path.rpartition(".")[2]
        party = authors(telling)[0] if who == "signed_at" else telling.entries.find(who)
        mode = "professional" if who == "signed_at" else "personal" if who == "patient" else "legal"
        yield compact(mode=mode, time=day_or_moment(moment, telling.zone), party=party)


def _earlier(telling: Telling) -> Iterator[tuple[str, Element]]:
    """Name the documents this one stands in for or adds to, by their numbers; they are not in this bundle."""
    registered, note = telling.registered, telling.value("addendum.note_number")
    for code, number in (("replaces", registered.replaces), ("appends", note)):
        if number is not None:
            yield code, {"system": registered.system, "value": printed_number(int(number))}


def _sections(telling: Telling, carried: frozenset[str]) -> list[Element]:
    """Give the sections of the document in order, each with its words and what hangs on it; then what found no home."""
    document, homes = telling.document, _homes(telling)
    nothing = list(absences(telling, carried))
    found = []
    for place, section in enumerate(document.sections):
        own = [path for path, home in homes.items() if home == place]
        inside = xhtml(section.headed_blocks)
        written = compact(
            title=" ".join(plain(section.heading).split()),
            text=narrative(inside, document.language, document.direction) if inside else None,
            entry=[one for path in own for one in _entries(telling, path)],
            section=[_empty(telling, one) for one in nothing if one.path in own],
        )
        if len(written) > 1:
            found.append(written)
    left = [path for path in HOMES if path not in homes]
    rest = [one for path in left for one in _entries(telling, path)] + telling.entries.named("file/")
    found += [compact(entry=rest)] if rest else []
    return found + [_empty(telling, one) for one in nothing if one.path in left]


def _entries(telling: Telling, path: str) -> list[Element]:
    one = telling.entries.find(path)
    return [one] if one else telling.entries.named(f"{path}/")


def _empty(telling: Telling, absence: Absence) -> Element:
    words = narrative(f"<p>{escaped(absence.words)}</p>", telling.document.language, telling.document.direction)
    return {"title": absence.title, "text": words, "emptyReason": absence.reason}


def _homes(telling: Telling) -> dict[str, int]:
    """Find for each group of the record the first section that prints one of its fields."""
    found: dict[str, int] = {}
    for place, section in enumerate(telling.document.sections):
        for path in _paths(section):
            for group in HOMES:
                if path == group or path.startswith((f"{group}.", f"{group}[")):
                    found.setdefault(group, place)
    return found


def _paths(section: Section) -> Iterator[str]:
    return (span.path for span in spans_of((section.heading, section.blocks)) if span.path)


def file_state(registered: Registered) -> str:
    """Say whether a file still counts."""
    if registered.is_error:
        return ENTERED_IN_ERROR
    return "superseded" if registered.state == "superseded" else "current"


def tell_files(telling: Telling) -> None:
    """Add a DocumentReference for each file, with its SHA-256; FHIR's own hash field is SHA-1 by definition."""
    registered = telling.registered
    for file in registered.files:
        telling.entries.add(
            f"file/{file.name}",
            "DocumentReference",
            text=telling.told(telling.title, registered.printed, file.digest),
            masterIdentifier={"system": URIS, "value": f"urn:uuid:{registered.uuid(f'file/{file.name}')}"},
            identifier=[
                {"system": registered.system, "value": registered.printed},
                {"system": URIS, "value": f"nih:sha-256;{file.digest}"},
            ],
            status=file_state(registered),
            docStatus=status(telling),
            type=document_type(telling),
            subject=telling.subject,
            date=instant(registered.at),
            author=authors(telling),
            custodian=telling.entries.find("clinic"),
            relatesTo=[
                {"code": code, "target": {"type": "DocumentReference", "identifier": number}}
                for code, number in _earlier(telling)
            ],
            content=[
                {
                    "attachment": {
                        "contentType": file.mime,
                        "language": telling.document.language,
                        "size": file.size,
                        "title": f"{registered.printed} {file.name}",
                        "creation": instant(registered.at),
                    }
                }
            ],
        )
