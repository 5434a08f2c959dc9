"""
Plain dicts, lists and scalars > an instance of a model, and every fault in them with its path.

Apart from the gate, which reports the faults and takes out what they are about.
"""

from __future__ import annotations

from typing import Any, TypeVar

from docgen.case.faults import Fault
from docgen.case.leaf import Leaf
from docgen.case.recorded import Recorded, Typed
from docgen.case.shapes import Items

Model = TypeVar("Model", bound=Recorded)
Step = str | int


class GroupReader:
    """One pass over a tree; it goes on after a fault."""

    def __init__(self, notation: str | None) -> None:
        self._notation = notation
        self.faults: list[tuple[tuple[Step, ...], Fault | None]] = []
        """Where, and what is wrong there; None for a name that no field has."""

    def read(self, model: type[Model], raw: dict[str, Any], path: tuple[Step, ...] = ()) -> Model:
        """Read the fields of a group."""
        recorded = {
            part.attribute: self._value(part.typed, raw[name], (*path, name))
            for name, part in model.parts.items()
            if name in raw
        }
        self.faults.extend(((*path, name), None) for name in raw if name not in model.parts)
        return model(**recorded)

    def _value(self, typed: Typed, raw: Any, path: tuple[Step, ...]) -> Any:
        mark = typed.mark
        try:
            if isinstance(mark, Leaf):
                return mark.read(raw, self._notation)
            if isinstance(mark, Items):
                return mark.read(raw, lambda items: self._items(typed, items, path))
            return mark.read(raw, lambda group: self._group(typed, group, path))
        except Fault as fault:
            self.faults.append((path, fault))
            return None

    def _group(self, typed: Typed, raw: dict[str, Any], path: tuple[Step, ...]) -> Recorded:
        assert typed.model is not None  # noqa: S101 (a group has a model)
        return self.read(typed.model, raw, path)

    def _items(self, typed: Typed, raw: list[Any], path: tuple[Step, ...]) -> list[Any]:
        assert typed.item is not None  # noqa: S101 (a list has items)
        return [self._value(typed.item, one, (*path, number)) for number, one in enumerate(raw)]
