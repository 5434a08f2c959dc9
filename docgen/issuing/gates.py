"""
A case that is to be issued > what forbids it: unread texts, a document that stands already, a note that was edited.

Apart from the checks of a case, because these look at the register or only matter once a document leaves the clinic.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace

from docgen.blocks import Document, printed_number
from docgen.case import Case
from docgen.checks.signed import edited_after_signature, signed_digest
from docgen.examine import Asked, Examined, unreviewed
from docgen.issue.entry import REASONS, Action, Life
from docgen.issue.life import STANDING
from docgen.issue.refusals import not_allowed, unknown_number
from docgen.issuing.office import Office, Order, key_of, record_digest
from docgen.kinds import needs_review, text_approval
from docgen.problem import Problem, Problems, say

ALLOW = "allow_marked"
SIGNED_FIELDS = "signed fields"
"""Name of the note in a SIGNED entry: keyed digest of the fields that were signed."""


def refuse_unread(seen: Examined) -> None:
    """Add a problem for each text nobody approved and each translation nobody reviewed, unless the clinic allows it."""
    for one in seen.asked:
        if text_approval(one.kind, seen.case) is None and seen.case.setting("issue.unapproved") != ALLOW:
            seen.problems.add(_unapproved(one, seen))
        if seen.case.setting("issue.unreviewed") == ALLOW:
            continue
        for name in one.languages:
            if name in seen.languages and needs_review(seen.languages[name], one.kind.name, seen.case):
                place = seen.case.place("settings.issue.unreviewed")
                fix = say("have it reviewed (docgen review), or set issue.unreviewed: allow_marked to issue it marked")
                found = unreviewed(name, one.kind.name)
                seen.problems.add(replace(found, fix=fix, place=place, needed_by=(one.label,)))


def _unapproved(one: Asked, seen: Examined) -> Problem:
    return Problem(
        "text-unapproved",
        f"settings.issue.unapproved.{one.kind.name}",
        say("nobody of the clinic has approved the text of %(kind)s as it is now", kind=one.kind.name),
        say(
            "have it read and record that with docgen approve %(kind)s, or set issue.unapproved: allow_marked to issue"
            " it marked DRAFT",
            kind=one.kind.name,
        ),
        seen.case.place("settings.issue.unapproved"),
        (one.label,),
    )


def refuse_standing(
    documents: Mapping[str, tuple[Asked, Document]], seen: Examined, office: Office, order: Order
) -> None:
    """
    Refuse what would silently stand beside or replace an issued document, and a signed note whose fields were changed.

    Errors: Refused with reason-missing, number-unknown, note-unknown, already-issued, signed-stands or
    edited-after-signature.
    """
    problems = Problems()
    problems.extend(_about_superseded(documents, seen, office, order))
    for one, document in documents.values():
        problems.extend(_about_named(one, seen, office))
        if office.register.standing(key_of(one, document, seen, office.register, order)):
            continue
        for life in _standing(one, seen, office):
            problems.extend(_about(life, one, seen, office, order))
    problems.refuse()


def _about_superseded(
    documents: Mapping[str, tuple[Asked, Document]], seen: Examined, office: Office, order: Order
) -> Iterator[Problem]:
    """Judge the document that is to be replaced: one, by one of its kind and copy."""
    if order.supersedes is None:
        if order.reason:
            what = say("a reason is given, and no number that is superseded for it")
            yield Problem("reason-unused", "", what, say("name it with --supersedes, or leave out --reason"))
        return
    if len(documents) > 1:
        what = say("one number is superseded, and %(number)s documents are asked for", number=len(documents))
        yield Problem("supersedes-one", "", what, say("ask for one of them with --kind and --copy"))
        return
    if order.reason not in REASONS:
        yield reason_missing()
    life = office.register.life(order.supersedes)
    one = next(one for one, _ in documents.values())
    if life is None:
        yield from unknown_number(order.supersedes).problems
    elif life.paper.record_digest != record_digest(office.register, str(seen.case.value("record.id"))):
        what = say("number %(number)s is not a document of this record", number=printed_number(life.number))
        yield Problem("number-unknown", "", what, say("look the number up with docgen register list"))
    elif life.state not in STANDING:
        yield from not_allowed(Action.SUPERSEDED, life).problems
    elif (life.paper.kind, life.paper.copy) != (one.kind.name, one.request.copy):
        what = say("number %(number)s is of another kind or copy", number=printed_number(life.number))
        yield Problem("successor-unfit", "", what, say("look the number up with docgen register list"))


NAMED = "addendum.note_number"
"""The field in which a document names the signed note it belongs to."""


def _about_named(one: Asked, seen: Examined, office: Office) -> Iterator[Problem]:
    """Judge the note an addendum names: signed, in this register, of this record."""
    number = seen.case.value(NAMED)
    if not isinstance(number, int) or not any(NAMED in asked.fields for asked in one.kind.requires):
        return
    life = office.register.life(number)
    mine = record_digest(office.register, str(seen.case.value("record.id")))
    if life is None or life.state is not Action.SIGNED or life.paper.record_digest != mine:
        what = say("number %(number)s is no signed document of this record", number=printed_number(number))
        fix = say("write the number of the note as docgen sign printed it")
        yield Problem("note-unknown", NAMED, what, fix, seen.case.place(NAMED), (one.label,))


def _standing(one: Asked, seen: Examined, office: Office) -> list[Life]:
    """Find the documents in force of the same record, kind, copy and languages."""
    record = record_digest(office.register, str(seen.case.value("record.id")))
    languages = ", ".join(one.languages)
    return [
        life
        for life in office.register.lives(kind=one.kind.name, record_digest=record)
        if life.paper and life.state in STANDING
        if (life.paper.copy, life.paper.language) == (one.request.copy, languages)
    ]


def _about(life: Life, one: Asked, seen: Examined, office: Office, order: Order) -> Iterator[Problem]:
    shown = printed_number(life.number)
    if life.state is Action.SIGNED:
        signed = fields_at_signature(life)
        if not order.signs and signed and signed != signed_fields(seen.case, office):
            if problem := edited_after_signature(seen.case, ""):
                yield problem
        elif not order.beside:
            what = say("%(label)s is signed already, as number %(number)s", label=one.label, number=shown)
            fix = say("a signed document is never changed: write an addendum, or withdraw it with the reason")
            yield Problem("signed-stands", "", what, fix, needed_by=(one.label,))
        return
    if order.beside or life.number == order.supersedes:
        return
    what = say("%(label)s is issued already, as number %(number)s", label=one.label, number=shown)
    fix = say(
        "say what becomes of it: --supersedes %(number)s --reason REASON, or --beside if both are to stand",
        number=life.number,
    )
    yield Problem("already-issued", "", what, fix, needed_by=(one.label,))


def signed_fields(case: Case, office: Office) -> str:
    """Give the keyed digest of the fields a signature of the operation stands for."""
    return office.register.keyed(SIGNED_FIELDS, signed_digest(case))


def fields_at_signature(life: Life) -> str:
    """Give that digest as it was when the document was signed; "" if it was not."""
    return next((dict(e.note).get(SIGNED_FIELDS, "") for e in life.entries if e.action is Action.SIGNED), "")


def reason_missing() -> Problem:
    """Say that a reason is wanted."""
    what = say("no reason is given")
    return Problem(
        "reason-missing", "", what, say("give --reason with one of: %(reasons)s", reasons=", ".join(REASONS))
    )
