"""
A group of fields as a class declares it > frozen instances that hold only what was recorded.

Apart from the words that type a field, and without a library of models: describing 500 fields to one took longer than
reading the whole case. What is not recorded stands on the class: None, or the group with nothing recorded in it.
"""

from __future__ import annotations

from collections.abc import KeysView, Mapping
from typing import Any, ClassVar, NoReturn

from docgen.case.leaf import Leaf
from docgen.case.shapes import Group, Items, item_type

Mark = Leaf | Group | Items


class Told:
    """What a model says of one field beside its type."""

    __slots__ = ("description", "example", "model", "who", "written")

    def __init__(self, description: str, who: str, example: str, written: str = "", model: Any = None) -> None:
        self.description, self.who, self.example = description, who, example
        self.written, self.model = written, model


class Typed:
    """An annotation of a model, opened: what types the value, and what stands below it."""

    __slots__ = ("item", "mark", "model")

    def __init__(self, annotation: Any) -> None:
        value = annotation.__origin__
        self.mark: Mark = next(one for one in annotation.__metadata__ if isinstance(one, Mark))
        self.model: type[Recorded] | None = None
        """The class of a group."""
        self.item: Typed | None = None
        """What types the items of a list."""
        if isinstance(self.mark, Group):
            members = (value, *getattr(value, "__args__", ()))
            self.model = next(one for one in members if isinstance(one, type) and issubclass(one, Recorded))
        elif isinstance(self.mark, Items):
            self.item = Typed(item_type(value))


class Part:
    """One field of a group: its name in Python, its type, and what is told of it."""

    __slots__ = ("attribute", "told", "typed")

    def __init__(self, attribute: str, annotation: Any, told: Told) -> None:
        self.attribute, self.told, self.typed = attribute, told, Typed(annotation)


class Recorded:
    """A group of fields as it was recorded; nothing in it changes afterwards."""

    parts: ClassVar[Mapping[str, Part]] = {}
    """Each field by its name in the record, in the order of the specification."""

    def __init_subclass__(cls) -> None:
        parts = dict(cls.parts)
        for attribute, annotation in cls.__annotations__.items():
            told: Told = cls.__dict__[attribute]
            parts[told.written or attribute] = Part(attribute, annotation, told)
            setattr(cls, attribute, told.model() if told.model else None)
        cls.parts = parts

    def __init__(self, **recorded: Any) -> None:
        self.__dict__.update(recorded)

    @property
    def recorded_names(self) -> KeysView[str]:
        """Name the fields that are recorded, as Python writes them."""
        return self.__dict__.keys()

    def __setattr__(self, name: str, value: object) -> NoReturn:
        raise AttributeError(f"{type(self).__name__} is frozen")

    def __delattr__(self, name: str) -> NoReturn:
        raise AttributeError(f"{type(self).__name__} is frozen")

    def _values(self) -> tuple[Any, ...]:
        return tuple(getattr(self, part.attribute) for part in self.parts.values())

    def __eq__(self, other: object) -> bool:
        return type(self) is type(other) and isinstance(other, Recorded) and self._values() == other._values()

    def __hash__(self) -> int:
        return hash((type(self), self._values()))

    def __repr__(self) -> str:
        """Print no values: a patient's data must not reach tracebacks and logs."""
        return f"{type(self).__name__}()"


def recorded(description: str, who: str, example: str, written: str = "") -> Any:
    """
    Describe a leaf or a list; left out, it is None: not recorded.

    `who` are the letters of the specification; `written` is its name in the record where Python keeps that word.
    """
    return Told(description, who, example, written)


def part(model: type[Recorded], description: str, who: str) -> Any:
    """Describe a group; left out, it is the group with nothing recorded in it."""
    return Told(description, who, "", model=model)
