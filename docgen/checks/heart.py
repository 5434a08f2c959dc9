"""The heart that must not be infected: the guidance is chosen, and the antibiotic is the one it gives."""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal
from fractions import Fraction

from docgen.answer import Answer
from docgen.checks.look import Check, Finding, Lift, Look
from docgen.clinical.medicine import plain_inn
from docgen.problem import Message, say

SETTING = "jurisdiction.endocarditis"
ASKED_BY = ("consent", "safety-sheet", "operative-note", "physician-query")


def _no_guidance(look: Look) -> Iterator[Finding]:
    if look.words("medical.endocarditis_heart") and look.case.setting(SETTING) is None:
        yield Finding(
            f"settings.{SETTING}",
            say("medical.endocarditis_heart asks for guidance, and the clinic has not said which it follows"),
            say("set jurisdiction.endocarditis in clinic.yaml, with by and on"),
        )


def _differs(look: Look) -> Iterator[Finding]:
    rule = look.known("endocarditis_rule")
    if rule is None or rule.verdict == "none" or not _is_on_the_day(look):
        return
    group = "operation.antibiotic" if look.operation_is_over else "plan.antibiotic"
    given = getattr(look.case.fields, group.partition(".")[0]).antibiotic
    inn, dose = look.case.value(f"{group}.inn"), look.case.value(f"{group}.dose_mg")
    if given is Answer.NONE:
        yield Finding(group, _what(rule.verdict, group), _MEND)
    elif rule.verdict == "dose" and isinstance(inn, str) and isinstance(dose, Decimal):
        held = {(one.inn, one.dose_mg) for one in rule.doses}
        if not {(name, Fraction(dose)) for name in plain_inn(inn, look.tables)} <= held:
            yield Finding(
                f"{group}.inn", say("%(path)s and its dose are not what endocarditis_rule gives", path=group), _MEND
            )


def _what(verdict: str, group: str) -> Message:
    if verdict == "dose":
        return say("%(path)s is none, but endocarditis_rule gives a dose", path=group)
    return say("%(path)s is none, but endocarditis_rule asks the clinician to decide", path=group)


_MEND = say("the clinician decides; docgen facts shows the rule and its source")


def _is_on_the_day(look: Look) -> bool:
    return look.kind != "consent" or look.known("issued_on_operation_day") is True


HEART = (
    Check("no-jurisdiction", _no_guidance, kinds=ASKED_BY),
    Check("endocarditis-differs", _differs, kinds=("consent", "safety-sheet", "operative-note"), departure=Lift.NAMED),
)
