"""
What was found of two signatures of a file > what is said of the second one, and of how they stand to each other.

Apart from `check`, which looks at one signature as at the other.
"""

from __future__ import annotations

from collections.abc import Iterator

from docgen.problem import say
from docgen.signing.findings import Checked
from docgen.signing.times import DRIFT
from docgen.verdict import FAILED, Finding

SECOND = "second-"
"""Begins the code of what is found of a second signature."""


def second_findings(first: Checked, second: Checked) -> Iterator[Finding]:
    """Say what was found of the second signature, as such; and whether it is another person's, and later."""
    for one in second.findings:
        words = say("the supervisor's signature: %(what)s", what=one.message)
        yield Finding(f"{SECOND}{one.code}", one.verdict, words)
    if second.signer_key == first.signer_key:
        words = say("both signatures are made with the same key")
        yield Finding("second-same-signer", FAILED, words)
    if first.signed_at and second.signed_at and second.signed_at + DRIFT < first.signed_at:
        words = say("the supervisor's signature says it was made before the first one")
        yield Finding("second-earlier", FAILED, words)
