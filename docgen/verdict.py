"""
What a check found > one of three words, as ETSI EN 319 102-1 has them: passed, failed or indeterminate.

Failed is sure; indeterminate means that something is missing that could still prove it right or wrong. Apart from
signatures and register, because both are judged by it, and neither needs the other.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from docgen.problem import Message

PASSED, INDETERMINATE, FAILED = "passed", "indeterminate", "failed"
_ORDER = (PASSED, INDETERMINATE, FAILED)


@dataclass(frozen=True)
class Finding:
    """One thing that was looked at."""

    code: str
    """Stable name, such as signature-intact."""
    verdict: str
    message: Message


def worst(findings: Iterable[Finding]) -> str:
    """Give the worst verdict of all that was looked at, which is at least one thing."""
    return max((one.verdict for one in findings), key=_ORDER.index)
