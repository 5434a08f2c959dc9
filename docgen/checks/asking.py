"""The letters that ask: the right route, somebody who refers, and the patient's agreement."""

from __future__ import annotations

from collections.abc import Iterator

from docgen.answer import Answer
from docgen.checks.look import Check, Finding, Look
from docgen.problem import say


def _cancer(look: Look) -> Iterator[Finding]:
    if look.case.value("referral.suspected_cancer") is True:
        yield Finding(
            "referral.suspected_cancer",
            say("referral.suspected_cancer is yes: this letter is too slow for it"),
            say("use the separate cancer route; this letter is not made"),
        )


def _nobody_refers(look: Look) -> Iterator[Finding]:
    kind, name = look.case.value("referrer.kind"), look.case.value("referrer.name")
    path = "referrer.kind" if kind == "self" or isinstance(kind, Answer) else "referrer.name"
    if path == "referrer.kind" or isinstance(name, Answer):
        yield Finding(
            path,
            say("%(path)s names nobody, but a referral letter is signed by who refers", path=path),
            say("name the referrer; without one there is no letter: leave out referral"),
        )


def _not_agreed(look: Look) -> Iterator[Finding]:
    if look.case.value("query.consent_to_share") is False:
        yield Finding(
            "query.consent_to_share",
            say("query.consent_to_share is no: medical data leave the clinic only with agreement"),
            say("ask the patient; without agreement no letter goes to the physician"),
        )


ASKING = (
    Check("cancer-route", _cancer, kinds=("referral",)),
    Check("referrer-unnamed", _nobody_refers, kinds=("referral",)),
    Check("query-not-agreed", _not_agreed, kinds=("physician-query",)),
)
