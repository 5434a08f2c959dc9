"""Our data classes against those of the standard library, which they stand for."""

from __future__ import annotations

import copy
import dataclasses
import pickle
from collections.abc import Callable
from typing import Any

import pytest

from docgen.blocks import Span
from docgen.compose.tokens import Drawn, Slot
from docgen.values import quick


def _cases(decorate: Callable[..., Any]) -> dict[str, Any]:
    """Make the same classes with one of the two decorators."""

    @decorate(frozen=True)
    class Point:
        x: int
        y: int = 2
        path: str = dataclasses.field(default="", compare=False)
        hidden: str = dataclasses.field(default="h", repr=False)

    @decorate(frozen=True)
    class Below(Point):
        """Inherits four fields."""

        z: list[int] = dataclasses.field(default_factory=list)

    @decorate
    class Loose:
        names: list[str] = dataclasses.field(default_factory=list)
        kept: dict[str, int] = dataclasses.field(default_factory=dict, init=False, compare=False)

    @decorate(frozen=True, kw_only=True)
    class Named:
        a: int
        b: int = 1

    @decorate(frozen=True, eq=False)
    class Single:
        a: int

    @decorate(frozen=True)
    class Told:
        a: Any

        def __repr__(self) -> str:
            return "told"

        def __hash__(self) -> int:
            return 7

        def __eq__(self, other: object) -> bool:
            return True

    @decorate(frozen=True)
    class Empty:
        """Holds nothing."""

    return {one.__name__: one for one in (Point, Below, Loose, Named, Single, Told, Empty)}


OURS, STANDARD = _cases(quick), _cases(dataclasses.dataclass)

CALLS: tuple[tuple[str, tuple[Any, ...], dict[str, Any]], ...] = (
    ("Point", (1,), {}),
    ("Point", (1, 3, "p", "s"), {}),
    ("Point", (), {"y": 5, "x": 4}),
    ("Point", (), {}),
    ("Point", (1, 2, "", "", 5), {}),
    ("Point", (1,), {"wrong": 2}),
    ("Below", (1,), {"z": [3]}),
    ("Below", (1, 2, "p"), {}),
    ("Loose", (), {}),
    ("Loose", (["a"],), {}),
    ("Loose", (), {"kept": {}}),
    ("Named", (), {"a": 1}),
    ("Named", (1,), {}),
    ("Named", (), {}),
    ("Single", (1,), {}),
    ("Told", ([1],), {}),
    ("Empty", (), {}),
)


def _told(classes: dict[str, Any], name: str, values: tuple[Any, ...], named: dict[str, Any]) -> tuple[Any, ...]:
    """Say all that can be seen of an instance, or the error it was refused with."""
    try:
        made = classes[name](*values, **named)
    except TypeError as error:
        return (str(error),)
    hashed = made.__hash__ is not None
    return (
        repr(made),
        dataclasses.asdict(made),
        [(one.name, one.init, one.compare, one.kw_only) for one in dataclasses.fields(made)],
        type(made).__match_args__,
        type(made).__doc__ if name == "Below" else "",
        hashed,
        hash(made) if hashed and name not in ("Below", "Single") else 0,
        vars(made),
        made == copy.deepcopy(made),
        made == dataclasses.replace(made),
    )


@pytest.mark.parametrize(("name", "values", "named"), CALLS)
def test_instances_are_those_of_the_standard_library(name: str, values: tuple[Any, ...], named: dict[str, Any]) -> None:
    """Arguments, defaults, fields, printed form, equality, hash, copies and refusals are the same."""
    assert _told(STANDARD, name, values, named) == _told(OURS, name, values, named)


@pytest.mark.parametrize("classes", [OURS, STANDARD], ids=["ours", "standard"])
def test_what_does_not_count_is_not_compared(classes: dict[str, Any]) -> None:
    """A field left out of comparison changes neither equality nor hash; another class or value does."""
    point, below = classes["Point"], classes["Below"]
    assert point(1, path="a") == point(1, path="b")
    assert hash(point(1, path="a")) == hash(point(1, path="b"))
    assert point(1) != point(2)
    assert point(1) != below(1)
    assert classes["Single"](1) != classes["Single"](1)


@pytest.mark.parametrize("classes", [OURS, STANDARD], ids=["ours", "standard"])
def test_a_frozen_instance_stays_as_it_is(classes: dict[str, Any]) -> None:
    """Neither a field nor anything else can be set or deleted; a loose one takes both."""
    point = classes["Point"](1)
    with pytest.raises(dataclasses.FrozenInstanceError, match="cannot assign to field 'x'"):
        point.x = 2
    with pytest.raises(dataclasses.FrozenInstanceError, match="cannot delete field 'x'"):
        del point.x
    loose = classes["Loose"]()
    loose.names = ["b"]
    assert ["b"] == loose.names


@quick(frozen=True)
class Kept:
    """Stands in a module, so that it can be pickled."""

    a: int
    b: tuple[str, ...] = ()


def test_an_instance_travels_between_processes() -> None:
    """A pickled instance is equal to the first."""
    assert Kept(1, ("x",)) == pickle.loads(pickle.dumps(Kept(1, ("x",))))  # noqa: S301 # our own bytes


def test_spans_are_equal_in_all_that_is_compared_and_in_nothing_else() -> None:
    """They compare themselves, which is quicker: a field that is added must not be forgotten there."""
    one = Span("38", path="teeth[0].tooth")
    for field in dataclasses.fields(Span):
        other = dataclasses.replace(one, **{field.name: "another"})
        assert (one != other) is field.compare, field.name
        assert hash(one) == hash(dataclasses.replace(one))
    for another in ("38", Slot("38"), Drawn("38")):  # of classes of their own, which say more
        assert one != another
        assert another != one
