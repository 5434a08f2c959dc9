"""The box to tick, drawn, read out and, where a person fills it on a screen, a form field."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from docgen.blocks import Span
from docgen.render.pdf.file import Choices, drawn_box
from docgen.render.pdf.setting import Setting
from docgen.render.pdf.sheet import Node, Sheet
from docgen.render.words import EMPTY_BOX, TICKED_BOX

HIDDEN = 0.6
"""Size of the words behind a box, against its side: they are not seen, and stay inside it."""


class Group:
    """The boxes of one question, of which one at most is ticked; its field is made with the first of them."""

    __slots__ = ("_made", "_number", "name", "tooltip")

    def __init__(self, name: str, tooltip: str) -> None:
        self.name, self.tooltip = name, tooltip
        self._made: Choices | None = None
        self._number = 0

    def field(self, begin: Callable[[str, str], Choices]) -> tuple[Choices, str]:
        """Give the group in its file, and the name of the next box in it."""
        self._made = self._made or begin(self.name, self.tooltip)
        self._number += 1
        return self._made, str(self._number)


def paint_box(
    setting: Setting,
    sheet: Sheet,
    node: Node,
    x: float,
    y: float,
    field: tuple[str | Group, str] | None,
    ticked: bool = False,
) -> None:
    """
    Draw a box with its lower start corner at x, y.

    "[ ]" or "[x]" lies behind it unseen, for whoever copies or listens. `field`: its name, or the group whose other
    boxes it excludes, and its tooltip; None for a box that is no question.
    """
    side, page = setting.length("box"), sheet.page
    left = sheet.left(x, side)
    fills = field is not None and setting.style.forms == "fill"
    asked, tooltip = field or ("", "")
    holder = node if fills else node.child("Form", control="cb", ticked=ticked, alt=tooltip)
    role = replace(setting.role("body"), size=side * HIDDEN, line=side * HIDDEN)
    line = setting.text((Span(TICKED_BOX if ticked else EMPTY_BOX),), role, holder, 2 * side).lines[0]
    sheet.write(holder, b"3 Tr\n" + line.paint(left + 1, y + side * 0.3, sheet.fonts) + b"0 Tr\n")
    if not fills:
        sheet.below(drawn_box(left, y, side, ticked=ticked) + b"\n")
        return

    def act() -> None:
        choices, name = asked.field(sheet.choices) if isinstance(asked, Group) else (None, asked)
        page.check_box(node.child("Form").element, left, y, side, name=name, tooltip=tooltip, choices=choices)

    sheet.then(act)
