"""
The square code of an issued document > its place at the end of the foot, drawn as rectangles that nobody reads.

Its words stand beside it. The square itself is never mirrored, only its place.
"""

from __future__ import annotations

from docgen.render.pdf.numbers import color, numbers
from docgen.render.pdf.setting import CAPITAL, MM, Setting
from docgen.render.pdf.sheet import Sheet
from docgen.render.square import GAP_MM, MARGIN, MODULES, dark
from docgen.render.style import Role


class Square:
    """The square of one document, of no size if it is not issued; lengths in points."""

    def __init__(self, setting: Setting) -> None:
        issue = setting.document.furniture.issue
        self._setting, self._rows = setting, issue.square if issue else ()
        self._module = MODULES[setting.large]
        self.side = len(self._rows) * self._module
        self.room = self.side + GAP_MM * MM if issue else 0.0
        """What it takes of the width of the foot."""

    def depth(self, role: Role) -> float:
        """How far below the rule it begins: beside the capitals of the first line, with white above."""
        return max(MM + role.line / 2 - CAPITAL / 2 * role.size, MARGIN * self._module)

    def paint(self, sheet: Sheet, role: Role, rule: float) -> None:
        """Draw it below the rule of the foot."""
        if not self._rows:
            return
        left, top = sheet.left(self._setting.content - self.side, self.side), rule - self.depth(role)
        made = [color(self._setting.color("ink"))]
        for down, row in enumerate(self._rows, 1):
            for at, width in dark(row):
                x, y = left + at * self._module, top - down * self._module
                made.append(f"{numbers(x, y, width * self._module, self._module)} re")
        sheet.below(" ".join([*made, "f\n"]).encode())
