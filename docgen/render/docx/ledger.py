"""What a Word file has handed out so far: numbers of controls and lists, its languages, links of its parts."""

from __future__ import annotations

import hashlib
from dataclasses import field

from docgen.render.docx.markup import HEAD, PACKAGE, RELATIONS, escaped
from docgen.values import dataclass

_MODES = {False: "", True: ' TargetMode="External"'}


@dataclass
class Relations:
    """What a part refers to; each has an ID within the part."""

    known: dict[tuple[str, str, bool], str] = field(default_factory=dict)

    def add(self, kind: str, target: str, outside: bool = False) -> str:
        """Give the ID of a target, the same one for the same target; `outside` is an address, not a part."""
        return self.known.setdefault((kind, target, outside), f"rId{len(self.known) + 1}")

    def part(self) -> str:
        """Write the part that lists them."""
        return (
            f'{HEAD}<Relationships xmlns="{PACKAGE}/relationships">'
            + "".join(
                f'<Relationship Id="{number}" Type="{RELATIONS}/{kind}" Target="{escaped(target)}"{_MODES[outside]}/>'
                for (kind, target, outside), number in self.known.items()
            )
            + "</Relationships>"
        )


@dataclass
class Ledger:
    """Counts what must be unique in one file."""

    controls: int = 0
    pictures: int = 0
    numberings: int = 0
    languages: dict[str, None] = field(default_factory=dict)
    """Languages of runs beside that of the document, in reading order."""
    media: dict[str, bytes] = field(default_factory=dict)
    """Pictures by the name of their part, each once."""

    def control(self) -> int:
        """Give the number of a new content control."""
        self.controls += 1
        return self.controls

    def picture(self) -> int:
        """Give the number of a new picture."""
        self.pictures += 1
        return self.pictures

    def keep(self, content: bytes, ending: str) -> str:
        """Keep the content of a picture and give the name of its part, seen from the part that shows it."""
        name = f"media/{hashlib.sha256(content).hexdigest()[:16]}.{ending}"
        self.media[name] = content
        return name
