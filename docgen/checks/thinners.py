"""Blood thinners: the INR is known and fit, a clinician has decided, and not against the guidance without a reason."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from docgen.answer import Answer
from docgen.checks.look import Check, Finding, Lift, Look
from docgen.clinical.medicine import drug_classes, plain_inn
from docgen.problem import Severity, say

LEFT_OUT = ("miss_dose", "delay_dose")
NEVER_LEFT_OUT = {"vka", "antiplatelet"}
TAKEN_AS_ALWAYS = {"continue", "no_change"}


def _inr_missing(look: Look) -> Iterator[Finding]:
    if look.known("takes_vka") is not True or not (_is_on_the_day(look) or look.kind == "referral"):
        return
    inr = look.case.fields.medical.inr
    if inr is Answer.NOT_APPLICABLE or look.case.value("medical.inr.value") not in (None, Answer.NOT_KNOWN):
        return
    path = "medical.inr" if isinstance(inr, Answer) else "medical.inr.value"
    yield Finding(
        path,
        say("a drug of medical.antithrombotics needs an INR, and %(path)s does not give it", path=path),
        say("test the INR and enter value and time"),
        Severity.NOTE if look.kind == "referral" else None,
    )


def _inr_verdict(look: Look) -> Iterator[Finding]:
    verdict = look.known("inr_verdict")
    if verdict not in ("delay", "repeat_test") or not _is_on_the_day(look):
        return
    path = "medical.inr.value" if verdict == "delay" else "medical.inr.taken_at"
    yield Finding(
        path,
        say("%(path)s: inr_verdict does not let the operation go ahead", path=path),
        say("delay it and tell the prescriber")
        if verdict == "delay"
        else say("repeat the test and enter value and time"),
    )


def _undecided(look: Look) -> Iterator[Finding]:
    if not _is_on_the_day(look):
        return
    decisions = _decisions(look)
    for path, drug in look.items("medical.antithrombotics"):
        for name in plain_inn(drug.inn, look.tables) if isinstance(drug.inn, str) else ():
            undecided = _undecided_path(decisions.get(name))
            if undecided:
                yield Finding(
                    undecided,
                    say("no clinician has decided about the drug of %(path)s", path=f"{path}.inn"),
                    say(
                        "the clinician enters the decision, with by and on, under plan.antithrombotic_decisions; "
                        "the program never does"
                    ),
                )


def _decisions(look: Look) -> dict[str, tuple[str, Any]]:
    """Give the decision about each drug, by its plain name, with its path."""
    return {name: (path, item) for path, item in look.items("plan.antithrombotic_decisions")
            if isinstance(item.inn, str) for name in plain_inn(item.inn, look.tables)}  # fmt: skip


def _against_guidance(look: Look) -> Iterator[Finding]:
    decisions = _decisions(look)
    for guidance in look.known("antithrombotic_rule") or ():
        path, item = decisions.get(guidance.inn, ("", None))
        if item is None or item.decision in (None, "ask_physician") or _same(item.decision, guidance.decision):
            continue
        left_out = item.decision in LEFT_OUT and not drug_classes(guidance.inn, look.tables).isdisjoint(NEVER_LEFT_OUT)
        yield Finding(
            f"{path}.decision",
            say("%(path)s is not what antithrombotic_rule gives", path=f"{path}.decision"),
            say("look at the rule and its source (docgen facts); a stopped blood thinner can cost a life"),
            None if left_out or guidance.decision == "ask_physician" else Severity.NOTE,
        )


def _same(decision: str, rule: str) -> bool:
    return decision == rule or {decision, rule} == TAKEN_AS_ALWAYS


def _undecided_path(decision: tuple[str, Any] | None) -> str:
    if decision is None:
        return "plan.antithrombotic_decisions"
    path, item = decision
    if item.decision in (None, "ask_physician"):
        return f"{path}.decision"
    return f"{path}.by" if item.by is None else ""


def _is_on_the_day(look: Look) -> bool:
    """Tell whether this is a document of the operation, or a consent issued on its day."""
    if look.kind in ("consent", "safety-sheet"):
        return look.known("issued_on_operation_day") is True
    return look.operation_is_over


THINNERS = (
    Check("inr-missing", _inr_missing, kinds=("consent", "operative-note", "referral"), departure=Lift.NAMED),
    Check("inr-verdict", _inr_verdict, kinds=("consent", "operative-note"), departure=Lift.NAMED),
    Check(
        "antithrombotic-undecided", _undecided, kinds=("consent", "operative-note", "aftercare"), departure=Lift.NOTE
    ),
    Check(
        "antithrombotic-differs",
        _against_guidance,
        kinds=("consent", "safety-sheet", "operative-note", "aftercare"),
        departure=Lift.NAMED,
    ),
)
