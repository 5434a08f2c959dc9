"""The anesthesia that was given against the one that was agreed."""

from __future__ import annotations

from collections.abc import Iterator

from docgen.answer import Answer
from docgen.checks.look import Check, Finding, Lift, Look
from docgen.clinical.medicine import drug_classes, plain_inn
from docgen.problem import Severity, say

NOTE = ("operative-note",)


def _sedated(look: Look) -> Iterator[Finding]:
    if look.case.fields.plan.anesthesia != "local":
        return
    paths = [f"{path}.inn" for path, drug in look.items("operation.drugs_given")
             if isinstance(drug.inn, str) and "sedative" in drug_classes(drug.inn, look.tables)]  # fmt: skip
    sedationist = look.case.fields.operation.sedationist
    if sedationist is not None and not isinstance(sedationist, Answer):
        paths.insert(0, "operation.sedationist")
    for path in paths:
        yield Finding(
            path,
            say("%(path)s tells of sedation, but plan.anesthesia is local", path=path),
            say("sedation is agreed to anew before it is given"),
        )


def _other_drug(look: Look) -> Iterator[Finding]:
    planned = {name for _, item in look.items("plan.injections") if isinstance(item.inn, str)
               for name in plain_inn(item.inn, look.tables)}  # fmt: skip
    if look.words("plan.injections") is None:
        return
    for path, item in look.items("operation.injections"):
        if isinstance(item.inn, str) and not set(plain_inn(item.inn, look.tables)) <= planned:
            yield Finding(
                f"{path}.inn",
                say("%(path)s is not a drug of plan.injections", path=f"{path}.inn"),
                say("explain it in the note"),
            )


GIVEN = (
    Check("anesthesia-differs", _sedated, kinds=NOTE, of_operation=True, departure=Lift.NOTE),
    Check("anesthesia-differs", _other_drug, Severity.NOTE, NOTE, of_operation=True),
)
