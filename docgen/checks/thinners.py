"""Blood thinners on the day: the INR is known, and a clinician has decided."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from docgen.answer import Answer
from docgen.checks.look import Check, Finding, Look
from docgen.clinical.medicine import plain_inn
from docgen.problem import Severity, say


def _inr_missing(look: Look) -> Iterator[Finding]:
    if look.known("takes_vka") is not True or not (_is_on_the_day(look) or look.request.kind == "referral"):
        return
    inr = look.case.fields.medical.inr
    if inr is Answer.NOT_APPLICABLE or look.case.value("medical.inr.value") not in (None, Answer.NOT_KNOWN):
        return
    path = "medical.inr" if isinstance(inr, Answer) else "medical.inr.value"
    yield Finding(
        path,
        say("a drug of medical.antithrombotics needs an INR, and %(path)s does not give it", path=path),
        say("test the INR and enter value and time"),
        Severity.NOTE if look.request.kind == "referral" else None,
    )


def _undecided(look: Look) -> Iterator[Finding]:
    if not _is_on_the_day(look):
        return
    decisions = {name: (path, item) for path, item in look.items("plan.antithrombotic_decisions")
                 if isinstance(item.inn, str) for name in plain_inn(item.inn, look.tables)}  # fmt: skip
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


def _undecided_path(decision: tuple[str, Any] | None) -> str:
    if decision is None:
        return "plan.antithrombotic_decisions"
    path, item = decision
    if item.decision in (None, "ask_physician"):
        return f"{path}.decision"
    return f"{path}.by" if item.by is None else ""


def _is_on_the_day(look: Look) -> bool:
    """Tell whether this is a document of the operation, or a consent issued on its day."""
    if look.request.kind in ("consent", "safety-sheet"):
        return look.known("issued_on_operation_day") is True
    return look.operation_is_over


THINNERS = (
    Check("inr-missing", _inr_missing, kinds=("consent", "operative-note", "referral"), departure=True),
    Check("antithrombotic-undecided", _undecided, kinds=("consent", "operative-note", "aftercare"), departure=True),
)
