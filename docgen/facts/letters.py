"""What a letter encloses, and whom it may name (specification 5.1, 5.4)."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from docgen.facts.fact import Fact, NeedMissing, Reading


@dataclass(frozen=True)
class Solution:
    """One solution of the injections that are planned, however often it is planned."""

    inn: str
    vasoconstrictor: Any
    """A code, or the answer that there is none."""
    dilution: Any
    """80000 means 1:80,000; not applicable without a vasoconstrictor."""


def _image_enclosed(reading: Reading) -> bool:
    images = reading.value("imaging")
    if images is None:
        raise NeedMissing(("imaging",))
    return isinstance(images, tuple) and bool(images)


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
    Fact("image_enclosed", ("imaging",), _image_enclosed, ("REF-KERN",)),
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
