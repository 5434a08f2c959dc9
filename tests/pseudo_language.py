"""A language made of marked English sentences: every catalog entry is there, and nobody mistakes one for the other."""

from __future__ import annotations

import re
from collections.abc import Mapping
from functools import cache
from pathlib import Path

from conftest import shipped_world

from docgen.kinds import DocumentKind, kind_names, read_kind
from docgen.language import Language, read_catalog, read_description
from docgen.problem import Problems
from docgen.translation.catalog_file import merged, write_catalog
from docgen.translation.exchange import source_forms
from docgen.translation.sentences import Sentence, all_sentences

DESCRIBED = """name: Pseudo
direction: ltr
date: d 'de' MMMM 'de' y
day: EEEE d 'de' MMMM 'de' y
time: HH:mm
readability: {index: szigriszt_pazos, source: LEGIBLE-SP}
"""


def marked(text: str) -> str:
    """Mark a sentence as translated, its thousands as Spanish parts them; placeholders and markup stay."""
    return f"«{re.sub(r'(?<=[0-9]),(?=[0-9]{3})', '.', text)}»"


@cache
def _today() -> tuple[tuple[Sentence, ...], tuple[DocumentKind, ...]]:
    folders = shipped_world().templates
    kinds = (read_kind(name, folders, Problems()) for name in kind_names(folders))
    return all_sentences(folders), tuple(kind for kind in kinds if kind)


def write_pseudo_language(folder: Path, tag: str, instead: Mapping[str, str] | None = None) -> Path:
    """Write a whole catalog for a language; `instead` gives single sentences another translation."""
    home = folder / tag / "LC_MESSAGES"
    home.mkdir(parents=True, exist_ok=True)
    (folder / tag / "language.yaml").write_text(DESCRIBED, "utf-8")
    described, _ = read_description(tag, DESCRIBED.encode())
    assert described is not None
    language = Language(tag, described, read_catalog(b""))
    messages = merged({}, *_today(), language)
    for message in messages:
        forms = tuple((instead or {}).get(form, marked(form)) for form in source_forms(message, language))
        message.string = forms[0] if isinstance(message.id, str) else forms
    (home / "docgen.po").write_bytes(write_catalog(messages, language))
    return folder
