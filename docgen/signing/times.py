"""
The time a signature claims, the times that are proved and now > findings on when it was signed.

Apart from `certificates`, which ask who.
"""

from __future__ import annotations

from datetime import datetime, timedelta

from docgen.problem import say
from docgen.signing.evidence import Proved
from docgen.verdict import FAILED, INDETERMINATE, PASSED, Finding

DRIFT = timedelta(minutes=10)
"""How far the clocks of a clinic and of an authority may differ."""


def judge_times(proved: Proved, claimed: datetime | None, now: datetime) -> list[Finding]:
    """Judge whether the times agree with each other and with now."""
    found = []
    if claimed is None:
        found.append(Finding("time-missing", FAILED, say("the signature does not say when it was made")))
    elif claimed > now + DRIFT:
        found.append(Finding("time-future", FAILED, say("the signature says it was made later than now")))
    for stamp in filter(None, (proved.stamp, *proved.archive)):
        if not (stamp.intact and stamp.valid):
            found.append(Finding("stamp-broken", FAILED, say("a time stamp does not belong to this signature")))
        elif stamp.timestamp > now + DRIFT:
            found.append(Finding("time-future", FAILED, say("a time stamp says it was made later than now")))
        elif not stamp.trusted:
            words = say("nobody in the folder of trusted certificates vouches for the time-stamp authority")
            found.append(Finding("stamp-unproved", INDETERMINATE, words))
    own = proved.stamp
    if claimed is not None and own is not None and own.intact and abs(claimed - own.timestamp) > DRIFT:
        words = say("the time of the signature and that of its time stamp are too far apart")
        found.append(Finding("time-differs", FAILED, words))
    elif claimed is not None and proved.proved_at is not None and claimed > proved.proved_at + DRIFT:
        words = say("the signature says it was made later than it is known to have been there")
        found.append(Finding("time-differs", FAILED, words))
    if not found and proved.proved_at is not None:
        found.append(Finding("time-proved", PASSED, say("it is proved when the signature was there")))
    return found
