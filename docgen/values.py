"""
A class as `dataclasses` describes it > the same class, made ten times sooner.

The standard decorator compiles six methods for every class, which was a fifth of the time of a check. Here all classes
share them, and what a class needs of its own, its `__init__`, is compiled when there are many instances. `fields`,
`replace`, equality, hash, the order of arguments and errors are those of the standard library (a test compares them).
"""

from __future__ import annotations

import dataclasses
from collections.abc import Callable
from operator import attrgetter
from reprlib import recursive_repr
from typing import TYPE_CHECKING, Any, NoReturn

_ABSENT = object()

FEW = 20
"""Instances that cost together about as much as to compile an `__init__` for them."""


def quick(cls: Any = None, *, frozen: bool = False, eq: bool = True, kw_only: bool = False) -> Any:
    """Make a data class; the words are those of `dataclasses.dataclass`."""
    if cls is None:
        return lambda named: quick(named, frozen=frozen, eq=eq, kw_only=kw_only)
    described = cls.__doc__
    cls.__doc__ = described or cls.__name__  # without one the standard library would inspect the signature for it
    dataclasses.dataclass(init=False, repr=False, eq=False, kw_only=kw_only)(cls)
    cls.__doc__ = described
    cls.__init__ = _compiled_later(cls, frozen)
    own = cls.__dict__
    if "__repr__" not in own:
        cls.__repr__ = _repr
    if eq:
        _compare(cls, frozen)
    if frozen:
        cls.__setattr__, cls.__delattr__ = _refuse_to_set, _refuse_to_delete
    return cls


def _compare(cls: Any, frozen: bool) -> None:
    own = cls.__dict__
    hashes_itself = own.get("__hash__") is not None or ("__hash__" in own and "__eq__" not in own)
    names = [one.name for one in dataclasses.fields(cls) if one.compare]
    values: Callable[[Any], tuple[Any, ...]] = (
        attrgetter(*names) if len(names) > 1 else lambda self: tuple(getattr(self, name) for name in names)
    )

    def equals(self: Any, other: Any) -> Any:
        return values(self) == values(other) if other.__class__ is self.__class__ else NotImplemented

    if "__eq__" not in own:
        cls.__eq__ = equals
    if not hashes_itself:
        cls.__hash__ = (lambda self: hash(values(self))) if frozen else None


@recursive_repr()
def _repr(self: Any) -> str:
    shown = (f"{one.name}={getattr(self, one.name)!r}" for one in dataclasses.fields(self) if one.repr)
    return f"{type(self).__qualname__}({', '.join(shown)})"


def _refuse_to_set(self: Any, name: str, value: Any) -> NoReturn:
    raise dataclasses.FrozenInstanceError(f"cannot assign to field {name!r}")


def _refuse_to_delete(self: Any, name: str) -> NoReturn:
    raise dataclasses.FrozenInstanceError(f"cannot delete field {name!r}")


class _Shape:
    """What an `__init__` takes and sets."""

    def __init__(self, cls: Any) -> None:
        self.fields = dataclasses.fields(cls)
        taken = [one for one in self.fields if one.init]
        self.order = tuple(one.name for one in taken if not one.kw_only)
        self.names = {one.name for one in taken}
        absent = dataclasses.MISSING
        self.needed = {one.name for one in taken if one.default is absent and one.default_factory is absent}

    def fill(self, values: tuple[Any, ...], named: dict[str, Any]) -> dict[str, Any] | None:
        """Give each argument its name; None if they do not fit."""
        given = {**dict(zip(self.order, values, strict=False)), **named}
        fits = len(given) == len(values) + len(named) and self.needed <= given.keys() <= self.names
        return given if fits else None


def _compiled_later(cls: Any, frozen: bool) -> Callable[..., None]:
    """Give an `__init__` that is compiled once it is called often, or wrongly: most classes have few instances."""
    shape: _Shape | None = None
    calls = 0

    def __init__(self: Any, *values: Any, **named: Any) -> None:  # noqa: N807 # it is that method
        nonlocal shape, calls
        shape, calls = shape or _Shape(cls), calls + 1
        given = shape.fill(values, named) if calls <= FEW else None
        if given is None:
            cls.__init__ = _compiled(cls, frozen)
            cls.__init__(self, *values, **named)
            return
        for one in shape.fields:
            if one.name in given:
                object.__setattr__(self, one.name, given[one.name])
            elif one.default_factory is not dataclasses.MISSING:
                object.__setattr__(self, one.name, one.default_factory())
            elif one.init:
                object.__setattr__(self, one.name, one.default)

    return __init__


def _compiled(cls: Any, frozen: bool) -> Callable[..., None]:
    """Write `__init__` of a class as the standard library does."""
    known: dict[str, Any] = {"_absent": _ABSENT, "_set": object.__setattr__, "__builtins__": {}}
    takes: dict[bool, list[str]] = {False: [], True: []}
    sets = []
    for number, one in enumerate(dataclasses.fields(cls)):
        value = one.name
        if one.default_factory is not dataclasses.MISSING:
            known[f"_make{number}"] = one.default_factory
            made = f"_make{number}()"
            value = f"{made} if {one.name} is _absent else {one.name}" if one.init else made
        elif not one.init:
            continue  # its value stands on the class
        if one.init:
            takes[bool(one.kw_only)].append(one.name + _default(one, number, known))
        sets.append(f"_set(self, {one.name!r}, {value})" if frozen else f"self.{one.name} = {value}")
    named = ["*", *takes[True]] if takes[True] else []
    head = f"def __init__({', '.join(('self', *takes[False], *named))}):"
    exec("\n ".join((head, *(sets or ["pass"]))), known)  # noqa: S102 # names of our own fields, and nothing else
    written: Callable[..., None] = known["__init__"]
    written.__qualname__ = f"{cls.__qualname__}.__init__"
    return written


def _default(one: dataclasses.Field[Any], number: int, known: dict[str, Any]) -> str:
    if one.default_factory is not dataclasses.MISSING:
        return "=_absent"
    if one.default is dataclasses.MISSING:
        return ""
    known[f"_default{number}"] = one.default
    return f"=_default{number}"


if TYPE_CHECKING:
    from dataclasses import dataclass as dataclass
else:
    dataclass = quick
