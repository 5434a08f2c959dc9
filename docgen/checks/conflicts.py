"""What the table of conflicts (3.5) finds: a document that orders such a drug is refused, one already given is told."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from functools import partial
from typing import Any

from docgen.checks.look import Check, Finding, Lift, Look
from docgen.problem import Message, Severity, say

CONFLICT_DEPARTURES = frozenset({"macrolide-statin", "nsaid-avoid"})
"""Rows of the table whose drug may be ordered if a clinician writes down why; a test holds them against the table."""

WHERE = {
    "planned": ("consent", "safety-sheet"),
    "given": ("operative-note",),
    "prescribed": ("operative-note", "reply", "aftercare"),
}
"""Documents that order the drug, or tell that it was given."""


def _stops(moment: str, look: Look) -> Iterator[Finding]:
    for path, hits in _by_path(look, moment, ("stop", "stop_unless_departure")):
        left = [hit for hit in hits if hit.severity == "stop" or not look.has_departure(hit.code)]
        yield Finding(
            path,
            _what(path, left or hits),
            say("treat, tell and record") if moment == "given" else _change(left or hits),
            None if left else Severity.NOTE,
        )


def _cautions(moment: str, look: Look) -> Iterator[Finding]:
    for path, hits in _by_path(look, moment, ("caution",)):
        yield Finding(path, _what(path, hits), say("the clinician confirms it"))


def _by_path(look: Look, moment: str, severities: tuple[str, ...]) -> Iterator[tuple[str, list[Any]]]:
    """Gather the hits of one ordered drug: a path is spoken of once, with all its reasons."""
    conflicts = look.known("drug_conflicts")
    found: dict[str, list[Any]] = {}
    for hit in conflicts.hits if conflicts else ():
        if hit.moment == moment and hit.severity in severities:
            found.setdefault(hit.ordered_path, []).append(hit)
    yield from found.items()


def _what(path: str, hits: Iterable[Any]) -> Message:
    others = ", ".join(dict.fromkeys(hit.other_path for hit in hits if hit.other_path))
    return say("%(path)s conflicts with %(others)s (%(rows)s)", path=path, others=others, rows=_rows(hits))


def _change(hits: Iterable[Any]) -> Message:
    if all(hit.severity == "stop_unless_departure" for hit in hits):
        return say("change the drug, or add %(rows)s with the reason to departures", rows=_rows(hits))
    return say("change the drug")


def _rows(hits: Iterable[Any]) -> str:
    return ", ".join(dict.fromkeys(hit.code for hit in hits))


CONFLICTS = (
    *(
        Check(
            "allergy-drug",
            partial(_stops, moment),
            kinds=kinds,
            of_operation=moment != "planned",
            departure=Lift.NOTE if moment == "given" else Lift.NOTHING,
        )
        for moment, kinds in WHERE.items()
    ),
    *(
        Check("drug-caution", partial(_cautions, moment), Severity.NOTE, kinds, of_operation=moment != "planned")
        for moment, kinds in WHERE.items()
    ),
)
