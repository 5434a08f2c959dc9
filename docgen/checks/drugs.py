"""The names of drugs: each is known, stands in the list the rules look at, and is the same in every document."""

from __future__ import annotations

from collections.abc import Iterator

from docgen.checks.free_text import drugs_named, free_texts
from docgen.checks.look import Check, Finding, Lift, Look
from docgen.clinical.medicine import drug_classes, is_known_drug, known_inns, plain_inn
from docgen.problem import Severity, say

SPECIAL_LISTS = {"vka": "antithrombotics", "doac": "antithrombotics", "antiplatelet": "antithrombotics",
                 "antiresorptive": "antiresorptives", "antiangiogenic": "antiresorptives"}  # fmt: skip
"""Class of a drug > the list of medical.* that rules look for it in."""

TAKEN = ("medical.medications[].inn", "medical.antithrombotics[].inn", "medical.antiresorptives[].inn")
PLANNED = ("plan.antibiotic.inn", "plan.sedation.inn", "plan.injections[].inn")
GIVEN = ("operation.antibiotic.inn", "operation.drugs_given[].inn", "operation.injections[].inn", "prescriptions[].inn")
ADDED = ("plan.injections[].vasoconstrictor", "operation.injections[].vasoconstrictor")

MISSPELLED_UP_TO = 2
"""Letters by which a name may differ from a known one and still be taken for it."""


def _misplaced(look: Look) -> Iterator[Finding]:
    for path, drug in look.items("medical.medications"):
        if not isinstance(drug.inn, str):
            continue
        lists = sorted({SPECIAL_LISTS[c] for c in drug_classes(drug.inn, look.tables) if c in SPECIAL_LISTS})
        if lists:
            yield Finding(
                f"{path}.inn",
                say("%(path)s belongs under medical.%(list)s", path=f"{path}.inn", list=lists[0]),
                say("move it to medical.%(list)s: the rules look there", list=lists[0]),
            )


def _unknown(look: Look) -> Iterator[Finding]:
    also = look.words("clinic.drugs") or ()
    for path, name in _named(look, (*TAKEN, *_ordered(look))):
        if is_known_drug(name, look.tables, also):
            continue
        only_taken = path.startswith("medical.medications")
        if only_taken and not _is_nearly_known(name, look, also):
            yield Finding(
                path,
                say("%(path)s is in no list of drugs: no interaction was checked for it", path=path),
                say("check the spelling; if it is right, look up its interactions yourself"),
                Severity.NOTE,
            )
        else:
            yield Finding(
                path,
                say("%(path)s is in no list of drugs, so no rule can look at it", path=path),
                say("correct the spelling (INN), or add the drug to clinic.drugs"),
            )


def _is_nearly_known(name: str, look: Look, also: tuple[str, ...]) -> bool:
    known = {*known_inns(look.tables), *(part for other in also for part in plain_inn(other, look.tables))}
    unknown = [part for part in plain_inn(name, look.tables) if not is_known_drug(part, look.tables, also)]
    return any(_letters_apart(part, one) <= MISSPELLED_UP_TO for part in unknown for one in known)


def _letters_apart(one: str, other: str) -> int:
    """Count the letters to add, drop or change that make one name of the other."""
    above = list(range(len(other) + 1))
    for down, letter in enumerate(one, 1):
        row = [down]
        for across, against in enumerate(other, 1):
            row.append(min(above[across] + 1, row[-1] + 1, above[across - 1] + (letter != against)))
        above = row
    return above[-1]


def _in_words(look: Look) -> Iterator[Finding]:
    if any(look.case.value(pattern.partition("[]")[0]) is None for pattern in TAKEN):
        return
    listed = {part for _, name in _named(look, (*TAKEN, *PLANNED, *GIVEN, *ADDED, "medical.allergies[].substance"))
              for part in plain_inn(name, look.tables)}  # fmt: skip
    for path, text in free_texts(look):
        missing = [one for one in drugs_named(text, look.tables) if not set(plain_inn(one, look.tables)) <= listed]
        if not missing:
            continue
        special = any(c in SPECIAL_LISTS for one in missing for c in drug_classes(one, look.tables))
        yield Finding(
            path,
            say("%(path)s names a drug that no list of drugs holds", path=path),
            say("enter it in its list under medical, where every rule looks, or correct the words"),
            None if special else Severity.NOTE,
        )


def _not_prescribed(look: Look) -> Iterator[Finding]:
    if look.words("prescriptions") is None:
        return
    listed = {part for _, name in _named(look, ("prescriptions[].inn", *TAKEN))
              for part in plain_inn(name, look.tables)}  # fmt: skip
    for path, item in look.items("reply.medicine_changes"):
        if (
            item.change == "started"
            and isinstance(item.inn, str)
            and not set(plain_inn(item.inn, look.tables)) <= listed
        ):
            yield Finding(
                f"{path}.inn",
                say(
                    "%(path)s is started, but prescriptions, which note and leaflet print, lacks it", path=f"{path}.inn"
                ),
                say("keep one list: enter it under prescriptions, or correct the change"),
            )


def _ordered(look: Look) -> tuple[str, ...]:
    if look.kind == "referral":
        return ()
    return (*PLANNED, *GIVEN) if look.operation_is_over else PLANNED


def _named(look: Look, patterns: tuple[str, ...]) -> Iterator[tuple[str, str]]:
    for pattern in patterns:
        for path in look.case.expand(pattern):
            value = look.case.value(path)
            if isinstance(value, str):
                yield path, value


DRUGS = (
    Check("drug-misplaced", _misplaced),
    Check("drug-unknown", _unknown),
    Check("drug-in-words", _in_words, departure=Lift.NAMED),
    Check("prescription-leaflet", _not_prescribed, kinds=("reply",)),
)
