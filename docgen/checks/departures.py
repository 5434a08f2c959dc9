"""Departures that lift nothing: a code no check has, or a person who may not decide it."""

from __future__ import annotations

from collections.abc import Iterator
from difflib import get_close_matches
from functools import partial

from docgen.checks.look import Check, Finding, Look
from docgen.problem import say

DECIDING = frozenset({"surgeon", "operator"})


def departure_checks(codes: frozenset[str]) -> tuple[Check, ...]:
    """Make the rows that look at departures, given every code one may name."""
    return (Check("bad-value", partial(_unknown_code, codes)), Check("bad-value", _undecided))


def _unknown_code(codes: frozenset[str], look: Look) -> Iterator[Finding]:
    for path, item in look.items("departures"):
        if item.code is not None and item.code not in codes:
            near = get_close_matches(str(item.code), sorted(codes), 1)
            fix = say("did you mean %(code)s?", code=near[0]) if near else say("give the code the message named")
            what = say("%(path)s names no check that may be departed from", path=f"{path}.code")
            yield Finding(f"{path}.code", what, fix)


def _undecided(look: Look) -> Iterator[Finding]:
    roles = {person.id: person.roles for _, person in look.items("practitioners")}
    for path, item in look.items("departures"):
        mine = roles.get(item.by)
        if isinstance(mine, tuple) and DECIDING.isdisjoint(mine):
            what = say("%(path)s is neither surgeon nor operator", path=f"{path}.by")
            yield Finding(f"{path}.by", what, say("a surgeon or operator decides it and writes the reason"))
