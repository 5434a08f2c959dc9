"""What a letter encloses, and whom it may name (specification 5.1, 5.4)."""

from __future__ import annotations

from datetime import date, datetime
from typing import Any

from docgen.facts.fact import Fact, NeedMissing, Reading
from docgen.values import dataclass


@dataclass(frozen=True)
class Solution:
    """One solution of the injections that are planned, however often it is planned."""

    inn: str
    vasoconstrictor: Any
    """A code, or the answer that there is none."""
    dilution: Any
    """80000 means 1:80,000; not applicable without a vasoconstrictor."""


DATED = (
    "imaging[].taken_on",
    "medical.checked_on",
    "medical.medications[].last_taken_at",
    "medical.antithrombotics[].last_dose_at",
    "medical.inr.taken_at",
    "medical.antiresorptives[].last_dose_on",
    "medical.antiresorptives[].stopped_on",
    "plan.antithrombotic_decisions[].on",
)
"""Entries that are made anew as the case goes on, each with its own day."""


def _is_later(entry: Any, letter_on: date) -> bool:
    day = entry.date() if isinstance(entry, datetime) else entry
    return isinstance(day, date) and day > letter_on


def _later_entries(reading: Reading) -> tuple[date, ...]:
    """Gather the days and moments that lie after the letter: it was written without what they date."""
    letter_on: date = reading.fact("reference_date")
    paths = (path for one in DATED for path in (reading.expand(one) if "[]" in one else (one,)))
    found = (reading.value(path) for path in paths)
    return tuple(dict.fromkeys(entry for entry in found if _is_later(entry, letter_on)))


def _image_enclosed(reading: Reading) -> bool:
    """Say whether the referral encloses an image; one taken later cannot be among them."""
    images, letter_on = reading.value("imaging"), reading.value("referral.on")
    if images is None:
        raise NeedMissing(("imaging",))
    rows = images if isinstance(images, tuple) else ()
    return any(letter_on is None or not _is_later(image.taken_on, letter_on) for image in rows)


def _guardian_is_named(reading: Reading) -> bool:
    """
    Say whether a letter names the guardian: for a minor who may not decide alone.

    A letter may go out before anybody has judged capacity; until then it is presumed.
    """
    if not reading.fact("patient_is_minor"):
        return False
    own = reading.setting("jurisdiction.age_of_own_consent")
    old_enough = own != "none" and reading.fact("patient_age_years") >= int(own)
    return not old_enough or reading.value("consent.capacity") == "assessed_lacks"


def _planned_solutions(reading: Reading) -> tuple[Solution, ...]:
    """Name each planned solution once."""
    injections = reading.need("plan.injections")
    rows = injections if isinstance(injections, tuple) else ()
    found: list[Solution] = []
    for index in range(len(rows)):
        path = f"plan.injections[{index}]"
        one = Solution(*(reading.need(f"{path}.{name}") for name in ("inn", "vasoconstrictor", "dilution")))
        if one not in found:
            found.append(one)
    return tuple(found)


LETTERS = (
    Fact("later_entries", (*DATED, "reference_date"), _later_entries, ("design",), ()),
    Fact("image_enclosed", ("imaging", "imaging[].taken_on", "referral.on"), _image_enclosed, ("REF-KERN",)),
    Fact(
        "guardian_is_named",
        (
            "patient_is_minor",
            "patient_age_years",
            "settings.jurisdiction.age_of_own_consent",
            "consent.capacity",
        ),
        _guardian_is_named,
        ("memory",),
    ),
    Fact(
        "planned_solutions",
        (
            "plan.injections",
            "plan.injections[].inn",
            "plan.injections[].vasoconstrictor",
            "plan.injections[].dilution",
        ),
        _planned_solutions,
        ("field",),
    ),
)
