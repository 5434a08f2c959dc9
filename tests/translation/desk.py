"""What the tests of the translator's workflow share: a language without Python, its catalog, and msgfmt's opinion."""

from __future__ import annotations

import os
import subprocess
from collections.abc import Mapping
from functools import cache
from pathlib import Path

from babel.messages.catalog import Message
from conftest import need_program, shipped_world

from docgen.kinds import DocumentKind, kind_names, read_kind
from docgen.language import Language, key_of, read_catalog, read_description
from docgen.problem import Problems
from docgen.translation.begin import begin_language
from docgen.translation.catalog_file import Entries, merged, read_entries
from docgen.translation.sentences import Sentence, all_sentences


@cache
def sentences() -> tuple[Sentence, ...]:
    """Give every sentence of the shipped templates."""
    return all_sentences(shipped_world().templates)


@cache
def kinds() -> tuple[DocumentKind, ...]:
    """Give every shipped kind."""
    folders = shipped_world().templates
    found = (read_kind(name, folders, Problems()) for name in kind_names(folders))
    return tuple(kind for kind in found if kind)


def language(tag: str) -> Language:
    """Give a language as CLDR writes it, without a sentence."""
    described, lacking = read_description(tag, begin_language(tag, (), (), ()))
    assert described is not None, lacking
    return Language(tag, described, read_catalog(b""))


def catalog_of(folder: Path, tag: str) -> Path:
    """Give the place of a catalog."""
    return folder / tag / "LC_MESSAGES" / "docgen.po"


def entries_of(folder: Path, tag: str) -> Entries:
    """Read a catalog."""
    file = catalog_of(folder, tag)
    return read_entries(file.read_bytes(), str(file))


def messages(tag: str, said: Mapping[str, str]) -> tuple[Message, ...]:
    """Give all entries of a catalog in which some sentences are translated."""
    found = merged({}, sentences(), kinds(), language(tag))
    for one in found:
        if key_of(one)[1] in said:
            one.string = said[key_of(one)[1]]
    return found


def accepted_by_gettext(file: Path) -> str:
    """Give what msgfmt -c finds wrong with a catalog; nothing if it takes it. Headers with a date are not wanted."""
    call = [need_program("msgfmt"), "-c", "-o", os.devnull, str(file)]
    done = subprocess.run(call, capture_output=True, text=True)
    lines = done.stderr.splitlines()
    return "\n".join(line for line in lines if done.returncode or "missing in header" not in line)
