"""`kind.yaml` and `_house/words.yaml` > the sentences a translator must see; Babel calls these while extracting."""

from __future__ import annotations

from collections.abc import Iterator
from typing import IO, Any

from docgen.kinds.texts import read_texts

Found = tuple[int, str, Any, list[str]]
"""Line, keyword, messages, notes."""


def extract_kind(file: IO[bytes], _keywords: Any, _tags: Any, options: Any) -> Iterator[Found]:
    """Give title, foot caution, reasons and labels of own fields."""
    described: dict[str, Any] = read_texts(file.read())
    for key in ("title", "foot_caution"):
        if described.get(key):
            yield 1, "_", described[key], [f"NOTE: {key} of a kind of document"]
    for requirement in described.get("requires", []):
        yield 1, "_", requirement["because"], ["NOTE: why a field is needed; follows the word because"]
    for field in (described.get("fields") or {}).values():
        yield 1, "_", field["label"], ["NOTE: label of a field"]


def extract_words(file: IO[bytes], _keywords: Any, _tags: Any, options: Any) -> Iterator[Found]:
    """Give the words of each code, with the group as their context."""
    groups: dict[str, Any] = read_texts(file.read())
    for group, codes in groups.items():
        for code, said in codes.items():
            for voice, words in {"both": said}.items() if isinstance(said, str) else said.items():
                yield 1, "pgettext", (group, words), [f"NOTE: {code}, for {voice}; part of a sentence"]
