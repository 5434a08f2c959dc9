"""`_house/words.yaml` > how codes are said, to patients and among staff; a clinic's own file goes first."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from docgen.kinds.texts import cached_texts
from docgen.values import dataclass

VOICES = ("patient", "staff")


@dataclass(frozen=True)
class HouseWords:
    """The words for codes, by group; a group is a field name, or its longest path end that has words of its own."""

    groups: dict[str, dict[str, dict[str, str]]]
    """Group > code > voice > English sentence part (the msgid, with the group as its context)."""

    def group_of(self, pattern: str) -> str | None:
        """Find the group for a field: the longest end of its path that the file names."""
        parts = pattern.replace("[]", "").split(".")
        for start in range(len(parts)):
            name = ".".join(parts[start:])
            if name in self.groups:
                return name
        return None

    def find(self, group: str, code: str, voice: str) -> str | None:
        """Give the English words of a code, or None if nobody wrote them."""
        return self.groups.get(group, {}).get(code, {}).get(voice)


def read_words(folders: tuple[Path, ...]) -> HouseWords:
    """Read the words; of a code that two folders say, the first folder's voice wins."""
    groups: dict[str, dict[str, dict[str, str]]] = {}
    for folder in reversed(folders):
        file = folder / "_house" / "words.yaml"
        if not file.is_file():
            continue
        content: dict[str, Any] = cached_texts(file.read_text("utf-8")) or {}
        for group, codes in content.items():
            for code, said in codes.items():
                voices = dict.fromkeys(VOICES, said) if isinstance(said, str) else dict(said)
                groups.setdefault(group, {}).setdefault(code, {}).update(voices)
    return HouseWords(groups)
