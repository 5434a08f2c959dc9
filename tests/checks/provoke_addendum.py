"""Edits of case 1, with something added to its signed note, that make the addendum contradict the record."""

from __future__ import annotations

from provocation import Provocation, refuse

BOTH = ("addendum", "operative-note")
SIGNED = "{note_number: 42, on: 2026-03-17, signed_by: mh, signed_at: '2026-03-17T12:10'}"
ADDED = {
    "operation.addenda": "[{text: The patient telephoned., by: jt, at: '2026-03-17T12:00'}]",
    "addendum": SIGNED,
}
"""Case 1 with an addendum, without a fault: the note was signed at 10:55."""

ADDENDUM = {
    "addendum-empty": Provocation({"addendum": SIGNED}, {refuse("addendum-empty", "operation.addenda")}, BOTH),
    "dates-order: added before the note was signed": Provocation(
        {**ADDED, "operation.addenda[0].at": "'2026-03-17T10:54'"},
        {refuse("dates-order", "operation.addenda[0].at")},
        BOTH,
    ),
    "dates-order: added after the day of the addendum": Provocation(
        {**ADDED, "addendum.on": "2026-03-16"}, {refuse("dates-order", "operation.addenda[0].at")}, BOTH
    ),
    "dates-order: added after the addendum was signed": Provocation(
        {**ADDED, "addendum.signed_at": "'2026-03-17T11:59'"}, {refuse("dates-order", "operation.addenda[0].at")}, BOTH
    ),
    "dates-order: addendum signed before its day": Provocation(
        {**ADDED, "addendum.on": "2026-03-18"},
        {refuse("dates-order", "addendum.signed_at"), refuse("dates-order", "addendum.on")},
        BOTH,
    ),
    "dates-order: addendum after the issue": Provocation(
        {**ADDED, "addendum.on": "2026-03-18", "addendum.signed_at": "'2026-03-18T09:00'"},
        {refuse("dates-order", "addendum.on"), refuse("dates-order", "addendum.signed_at")},
        BOTH,
    ),
    "bad-value: nobody signs the addendum": Provocation(
        {**ADDED, "addendum.signed_by": "xy"}, {refuse("bad-value", "addendum.signed_by")}, BOTH
    ),
    "bad-value: nobody added it": Provocation(
        {**ADDED, "operation.addenda[0].by": "xy"}, {refuse("bad-value", "operation.addenda[0].by")}, BOTH
    ),
    "bad-value: nobody signed the note": Provocation(
        {**ADDED, "operation.signed_by": "xy"}, {refuse("bad-value", "operation.signed_by")}, BOTH
    ),
}
