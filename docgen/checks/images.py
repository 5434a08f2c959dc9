"""Images: one for each surgical tooth, and taken before the operation."""

from __future__ import annotations

from collections.abc import Iterator

from docgen.checks.look import Check, Finding, Look
from docgen.problem import Severity, say


def _dated_after(look: Look) -> Iterator[Finding]:
    operated = look.day("operation.started_at")
    days = [item.taken_on for _, item in look.items("imaging")]
    if operated and days and all(day is not None and day > operated for day in days):
        yield Finding(
            "imaging[0].taken_on",
            say("every image is dated after the operation"),
            say("correct the date of the image"),
        )


def _missing(look: Look) -> Iterator[Finding]:
    if not isinstance(look.case.fields.imaging, tuple):
        return
    shown: set[str | None] = set()
    for path, _ in look.items("imaging"):
        teeth = look.teeth(f"{path}.teeth[]")
        if teeth is None:
            return
        shown |= {tooth for _, tooth in teeth}
    rows = [item for _, item in look.items("plan.procedures") if item.surgical is True]
    if (rows and not look.case.fields.imaging) or {look.fdi(item.tooth) for item in rows} - {None} - shown:
        yield Finding(
            "imaging",
            say("imaging has no image of a tooth that is to be operated on"),
            say("add the image, or say under imaging or in the plan why there is none"),
        )


IMAGES = (
    Check("image-dated-after", _dated_after, of_operation=True),
    Check("image-missing", _missing, Severity.NOTE),
)
