"""The life of a number: what may follow what is written, and everything else is refused and leaves no trace."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from docgen.issue.entry import REASONS, Action
from docgen.issue.life import AFTER, STATES
from docgen.issue.refusals import IN_WORDS
from docgen.problem import Refused
from issue.registers import PAPER, WHO, Desk, kept

Step = Callable[[Desk, int], object]


def _supersede(desk: Desk, number: int) -> object:
    return desk.register.supersede(number, desk.issued(), "corrected", WHO)


DO: dict[Action, Step] = {
    Action.ISSUED: lambda desk, n: desk.register.issue(n, [kept("pdf", f"{n}")], "ABCD2345", WHO),
    Action.SIGNED: lambda desk, n: desk.register.issue(n, [kept("pdf", f"{n}")], "ABCD2345", WHO, action=Action.SIGNED),
    Action.SUPERSEDED: _supersede,
    Action.WITHDRAWN: lambda desk, n: desk.register.withdraw(n, "consent_withdrawn", WHO),
    Action.VOIDED: lambda desk, n: desk.register.void(n, "not_completed", WHO),
    Action.COUNTERSIGNED: lambda desk, n: desk.register.countersign(n, [kept("pdf", f"{n} twice")], WHO, ()),
    Action.HELD: lambda desk, n: desk.register.hold(n, WHO),
    Action.RELEASED: lambda desk, n: desk.register.release(n, WHO),
    Action.ERASED: lambda desk, n: desk.register.erase(n, "other", WHO),
}
"""What is done to a number > the call that does it."""
P, N, S, U, W, V = Action.PREPARED, Action.ISSUED, Action.SIGNED, Action.SUPERSEDED, Action.WITHDRAWN, Action.VOIDED
H, R, E, C = Action.HELD, Action.RELEASED, Action.ERASED, Action.COUNTERSIGNED
ROADS = [
    *([first] for first in (N, S, V)),
    *([first, then] for first in (N, S) for then in (U, W)),
    *([N, *rest] for rest in ([H], [H, R], [H, R, H], [E], [H, R, E], [E, W], [H, W], [H, U])),
    *([N, *rest] for rest in ([H, W, R, E], [W, H], [W, E])),
    *([S, U, *rest] for rest in ([H, R], [E], [H])),
    *([S, *rest] for rest in ([C], [C, U], [C, W], [C, H, R], [C, E], [H, C], [H, R, C])),
]
"""Every way a number may go, but for repetitions of hold and release."""
REFUSED = [
    *(([], action) for action in (U, W, H, R, E, C)),
    *(([first], action) for first in (N, S) for action in (N, S, V, R)),
    *(([N, last], action) for last in (U, W) for action in (N, S, U, W, V, R, C)),
    *((road, C) for road in ([N], [N, H], [S, C], [S, C, H, R], [S, E], [S, U], [S, W])),
    *(([S, C], action) for action in (N, S, V, R)),
    *(([V], action) for action in DO),
    *(([N, H], action) for action in (H, E, N, S, V)),
    *(([N, E], action) for action in (E, H, R, N, V)),
    ([N, H, R], R),
    ([N, W, H], E),
]
"""A way a number went, and what may not follow."""


def test_a_number_goes_every_way_that_is_allowed(desk: Desk) -> None:
    """Each step is written, and the register is in order at the end."""
    for road in ROADS:
        number = desk.prepared()
        for action in road:
            DO[action](desk, number)
        life = desk.register.life(number)

        assert life is not None
        assert [P, *road] == [entry.action for entry in life.entries]
        assert [action for action in [P, *road] if action in STATES][-1] == life.state
        assert (road.count(H) > road.count(R), E in road) == (life.on_hold, life.erased)
    assert desk.codes == []


def test_what_may_not_follow_is_refused(desk: Desk) -> None:
    """The refusal names the number and leaves no entry behind."""
    successor = desk.issued()
    for road, action in REFUSED:
        number = desk.prepared()
        for step in road:
            DO[step](desk, number)
        before = desk.register.head()
        with pytest.raises(Refused) as refused:
            desk.register.supersede(number, successor, "other", WHO) if action is U else DO[action](desk, number)
        problem = refused.value.problems[0]

        assert problem.code in ("number-state", "number-held", "number-erased", "number-countersigned")
        assert f"{number:06d}" in problem.what.in_words()
        assert before == desk.register.head(), (road, action)
    assert desk.codes == []


def test_every_pair_of_steps_is_tried() -> None:
    """No action is missing after any state."""
    tried = {(road[-1] if road else P, action) for road, action in REFUSED}
    tried |= {(before, action) for road in ROADS for before, action in zip([P, *road], road, strict=False)}
    states = {P, *AFTER}

    assert {(V, a) for a in DO} | {(P, a) for a in DO} <= tried
    assert {(N, a) for a in DO} <= tried
    assert states == {before for before, _ in tried}


def test_words_name_every_action_and_state() -> None:
    """A message can say all there is."""
    assert set(Action) == set(IN_WORDS)
    assert set(DO) | {P} == set(Action)


@pytest.mark.parametrize("reason", REASONS)
def test_each_reason_is_written_down(desk: Desk, reason: str) -> None:
    """The code of the reason stands in the entry."""
    number = desk.issued()
    entry = desk.register.withdraw(number, reason, WHO)

    assert reason == entry.reason
    assert entry == [*desk.register.entries()][-1]


def test_a_refusal_inside_an_issue_writes_nothing(desk: Desk) -> None:
    """Where the old number cannot be superseded, the new one is not issued either."""
    old, new = desk.issued(), desk.prepared()
    desk.register.withdraw(old, "other", WHO)
    with pytest.raises(Refused):
        desk.register.issue(new, [kept("pdf")], "ABCD2345", WHO, supersedes=old, reason="corrected")
    life = desk.register.life(new)

    assert life is not None
    assert life.state is Action.PREPARED
    assert PAPER == life.paper
    assert desk.codes == []
