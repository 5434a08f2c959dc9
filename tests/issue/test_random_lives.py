"""Long lives by chance, from a number: both databases agree with each other and with the rules, step by step."""

from __future__ import annotations

import random
from datetime import timedelta

import pytest

from docgen.issue.checkpoint import check_checkpoint
from docgen.issue.entry import Action
from docgen.issue.life import STANDING, is_allowed, recalled
from docgen.issue.refusals import AlreadyIssued
from docgen.issue.writing import standing_of
from docgen.problem import Refused
from issue.registers import BEGUN, PAPER, WHO, Desk, kept
from tests.seeded import seeded

STEPS = 80


def step(desk: Desk, chance: random.Random) -> str:
    """Do one thing by chance, and say how it ended; the rules are asked before, and must have told it."""
    last = len(desk.rows("documents"))
    number, other = chance.randint(1, last + 1), chance.randint(1, last + 1)
    action, key = chance.choice([*Action, Action.PREPARED, Action.ISSUED]), f"key {chance.randint(1, 6)}"
    if chance.random() < 0.05:
        desk.clock.moment += timedelta(hours=1)
    if action is Action.PREPARED:
        return f"taken {desk.register.prepare(PAPER, key, WHO)}"
    rows = {row[0]: standing_of(row) for row in desk.rows("documents")}
    life = desk.register.life(number)
    allowed = life is not None and is_allowed(action, recalled(rows[number], life.entries))
    if action is Action.SUPERSEDED:
        allowed = allowed and other in rows and number != other and rows[other].state in STANDING
    try:
        _do(desk, action, number, other)
    except Refused as refused:
        assert not allowed, (action, number)
        return refused.problems[0].code
    except AlreadyIssued as already:
        assert allowed, (action, number)
        return f"stands already as {already.life.number}"
    assert allowed, (action, number)
    return f"{action} {number}"


def _do(desk: Desk, action: Action, number: int, other: int) -> None:
    register = desk.register
    if action in STANDING:
        register.issue(number, [kept("pdf", f"{number}"), kept("case.json")], "ABCD2345", WHO, action=action)
    elif action is Action.SUPERSEDED:
        register.supersede(number, other, "corrected", WHO)
    elif action is Action.WITHDRAWN:
        register.withdraw(number, "other", WHO, [kept("reason.txt", f"why {number}")])
    elif action is Action.VOIDED:
        register.void(number, "not_completed", WHO)
    elif action is Action.COUNTERSIGNED:
        register.countersign(number, [kept("pdf", f"{number} twice")], WHO, ())
    elif action is Action.HELD:
        register.hold(number, WHO)
    elif action is Action.RELEASED:
        register.release(number, WHO)
    else:
        register.erase(number, "other", WHO)


@pytest.mark.parametrize("seed", [1, 2, 3])
def test_both_databases_live_the_same_life(both_desks: tuple[Desk, Desk], seed: int) -> None:
    """The same steps end the same way on both, the chains are equal, and both are whole."""
    told = []
    for desk in both_desks:
        chance = seeded(seed)
        desk.clock.moment = BEGUN
        begun = desk.register.checkpoint()
        told.append([step(desk, chance) for _ in range(STEPS)])
        standing = [life.key for state in STANDING for life in desk.register.lives(state=state)]

        assert desk.codes == []
        assert check_checkpoint(desk.register, begun) == ()
        assert len(set(standing)) == len(standing)
        assert desk.register.standing("key 1") in [None, *desk.register.lives()]
    first, second = both_desks

    assert told[0] == told[1]
    assert first.register.head() == second.register.head()
    assert [*first.register.entries()] == [*second.register.entries()]
    assert sorted(first.rows("files")) == sorted(second.rows("files"))
    assert len({words.split()[0] for words in told[0]}) > 6
