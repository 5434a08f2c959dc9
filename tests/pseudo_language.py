"""A language made of marked English sentences: every catalog entry is there, and nobody mistakes one for the other."""

from __future__ import annotations

import io
import json
import re
from collections.abc import Mapping
from pathlib import Path

from babel import Locale
from babel.messages.pofile import read_po
from conftest import ROOT

POT = ROOT / "locales/docgen.pot"
DESCRIBED = "name: Pseudo\ndirection: ltr\ndate: d 'de' MMMM 'de' y\nday: EEEE d 'de' MMMM 'de' y\ntime: HH:mm\n"


def marked(text: str) -> str:
    """Mark a sentence as translated, its thousands as Spanish parts them; placeholders and markup stay."""
    return f"«{re.sub(r'(?<=[0-9]),(?=[0-9]{3})', '.', text)}»"


def write_pseudo_language(folder: Path, tag: str, instead: Mapping[str, str] | None = None) -> Path:
    """Write a whole catalog for a language; `instead` gives single sentences another translation."""
    home = folder / tag / "LC_MESSAGES"
    home.mkdir(parents=True, exist_ok=True)
    (folder / tag / "language.yaml").write_text(DESCRIBED, "utf-8")
    plurals = len({*Locale.parse(tag).plural_form.rules, "other"})
    head = r'"Content-Type: text/plain; charset=UTF-8\n"'
    entries = [f'msgid ""\nmsgstr ""\n{head}\n"Plural-Forms: nplurals={plurals}; plural=(n != 1);\\n"\n']
    for message in read_po(io.BytesIO(POT.read_bytes())):
        if message.id:
            context = f"msgctxt {_quoted(message.context)}\n" if message.context else ""
            entries.append(context + _entry(message.id, plurals, instead or {}))
    (home / "docgen.po").write_text("\n".join(entries), "utf-8")
    return folder


def _entry(msgid: str | tuple[str, ...], plurals: int, instead: Mapping[str, str]) -> str:
    if isinstance(msgid, str):
        return f"msgid {_quoted(msgid)}\nmsgstr {_quoted(instead.get(msgid, marked(msgid)))}\n"
    one, many = msgid
    forms = [one, *[many] * (plurals - 1)]
    lines = [f"msgstr[{n}] {_quoted(instead.get(form, marked(form)))}" for n, form in enumerate(forms)]
    return f"msgid {_quoted(one)}\nmsgid_plural {_quoted(many)}\n" + "\n".join(lines) + "\n"


def _quoted(text: str) -> str:
    return json.dumps(text, ensure_ascii=False)
