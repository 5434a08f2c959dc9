"""A missing field > how to write it and whom to ask, from the field dictionary."""

from __future__ import annotations

from docgen.answer import Answer
from docgen.case import Case, FieldSpec, field_specs, setting_specs
from docgen.problem import Message, say

ASKED = {
    "C": say("the clinic's file: whoever keeps clinic.yaml"),
    "R": say("reception, or the patient"),
    "F": say("the referring dentist"),
    "S": say("the surgeon"),
}
"""Who can answer, by the letters of the field dictionary."""

FORMS = {
    "date": say("a date as YYYY-MM-DD"),
    "time": say("a clock time as HH:MM"),
    "moment": say("a date and time as YYYY-MM-DDTHH:MM"),
    "int": say("a whole number"),
    "decimal": say("a number"),
    "tooth": say("a tooth number in the declared notation"),
    "language": say("a language tag such as en or pl"),
    "code": say("a code of letters, digits, dot, underscore or hyphen"),
    "line": say("a line of text"),
    "text": say("a text"),
    "id": say("the id of a practitioner, or another id of this record"),
}
"""How a value of each type is written."""


def mend_missing(path: str, pattern: str, case: Case) -> Message:
    """Say what to add, under which key, and in what form."""
    if path.startswith("settings."):
        return _mend_setting(path)
    spec = field_specs().get(pattern)
    parent, _, leaf = path.rpartition(".")
    place = case.place(parent) if parent else None
    under = (
        say("under %(parent)s (line %(line)s)", parent=parent, line=place.line if place else 1)
        if parent
        else say("at the top")
    )
    return say("add %(leaf)s %(under)s: %(form)s", leaf=leaf, under=under, form=form_of(spec))


def _mend_setting(path: str) -> Message:
    name = path.removeprefix("settings.")
    spec = setting_specs().get(name)
    values = ", ".join(spec.values) if spec else ""
    return say(
        "set %(name)s in clinic.yaml under settings, with value, by and on; it may be %(values)s",
        name=name,
        values=values or say("a text or number of the clinic's own"),
    )


def form_of(spec: FieldSpec | None) -> Message:
    """Say how a field is written: its words, its form, and the answers it admits."""
    if spec is None:
        return say("its fields")
    words = [a.value for a in Answer if a in spec.answers]
    if spec.type in ("yn", "ynk", "yna", "ynak"):
        return say("one of %(words)s", words=", ".join(["yes", "no", *(w for w in words if w != "none")]))
    form = say("one of %(words)s", words=", ".join(spec.codes)) if spec.codes else FORMS.get(spec.type)
    if form is None:
        form = say("one item or more") if spec.type in ("list", "code list") else say("its fields")
    elif spec.type == "code list":
        form = say("a list of %(words)s", words=", ".join(spec.codes))
    return say("%(form)s, or %(words)s", form=form, words=" / ".join(words)) if words else form


def whom_to_ask(pattern: str) -> Message | None:
    """Name the people who can answer."""
    if pattern.startswith("settings."):
        return ASKED["C"]
    spec = field_specs().get(pattern)
    people = [ASKED[letter] for letter in (spec.who if spec else "") if letter in ASKED]
    if not people:
        return None
    return people[0] if len(people) == 1 else say("%(one)s; or %(other)s", one=people[0], other=people[1])
