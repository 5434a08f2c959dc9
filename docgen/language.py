"""
A folder of `locales/` > a Language: its catalog, and how it writes dates, times, numbers and lists.

The msgid is the English sentence. Catalogs are read as `.po`, so that a clinic adds a language without a build step.
"""

from __future__ import annotations

import hashlib
import io
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from datetime import date, datetime, time
from decimal import Decimal
from functools import lru_cache
from pathlib import Path
from typing import Any

import yaml
from babel import Locale, UnknownLocaleError
from babel.dates import format_date, format_time
from babel.lists import format_list
from babel.messages.pofile import read_po
from babel.numbers import format_decimal

from docgen.problem import Problem, Problems, say

SOURCE_LANGUAGE = "en"
"""The language the sentences are written in; its catalog is the text itself."""

Entry = str | tuple[str, ...]
Catalog = dict[tuple[str | None, str], Entry]


@dataclass(frozen=True)
class Language:
    """A language in which documents are printed."""

    name: str
    """BCP 47 tag."""
    direction: str
    """ltr or rtl."""
    styles: dict[str, str]
    """CLDR patterns: date, day (with its weekday), time."""
    own_name: str
    catalog: Catalog
    digest: str
    """Of catalog and language.yaml."""
    missing: set[str] = field(default_factory=set, compare=False)
    """Sentences asked for and not in the catalog; whoever asked refuses the document."""

    @property
    def locale(self) -> Locale:
        """The CLDR locale behind the tag."""
        return Locale.parse(self.name.replace("-", "_"))

    def text(self, msgid: str, context: str | None = None) -> str:
        """Look a sentence up; one that is missing comes back in English and is noted in `missing`."""
        found = self._entry(msgid, context)
        return found if isinstance(found, str) else found[0]

    def plural(self, one: str, many: str, number: int) -> str:
        """Look up the form of a sentence that fits a number."""
        if self.name == SOURCE_LANGUAGE:
            return one if number == 1 else many
        found = self._entry(one, None)
        if isinstance(found, str):
            return found
        return found[self.locale_plural(number)]

    def locale_plural(self, number: int) -> int:
        """Give the position of the plural form for a number, in the order of the catalog (that of CLDR)."""
        order = ("zero", "one", "two", "few", "many", "other")
        forms = [f for f in order if f in {*self.locale.plural_form.rules, "other"}]
        return forms.index(self.locale.plural_form(number))

    def _entry(self, msgid: str, context: str | None) -> Entry:
        if self.name == SOURCE_LANGUAGE:
            return msgid
        found = self.catalog.get((context, msgid))
        if found is None:
            self.missing.add(msgid)
            return msgid
        return found

    def date(self, day: date, *, weekday: bool = False) -> str:
        """Write a date; day and month stay on one line."""
        words = format_date(day, self.styles["day" if weekday else "date"], self.locale)
        return words.replace(" ", "\u00a0", words.count(" ") - 1) if not weekday else words

    def time(self, moment: datetime | time) -> str:
        """Write a clock time, always in Latin digits."""
        return format_time(time(moment.hour, moment.minute), self.styles["time"], locale=self.locale)

    def moment(self, moment: datetime) -> str:
        """Write a date with its clock time."""
        return self.text("%(date)s, %(time)s") % {"date": self.date(moment.date()), "time": self.time(moment)}

    def number(self, value: int | Decimal) -> str:
        """Write a number with the digits it has; Latin digits for every language."""
        exponent = Decimal(value).as_tuple().exponent
        places = max(0, -exponent) if isinstance(exponent, int) else 0
        pattern = "#,##0." + "0" * places if places else "#,##0"
        return format_decimal(value, pattern, locale=self.locale, numbering_system="latn")

    def listing(self, parts: Sequence[str]) -> str:
        """Join parts as the language does: "a, b and c"."""
        return format_list(list(parts), style="standard", locale=self.locale) if parts else ""


def language_names(folders: Iterable[Path]) -> tuple[str, ...]:
    """Name the languages that the folders hold."""
    found = {f.parent.name for folder in folders for f in folder.glob("*/language.yaml")}
    return tuple(sorted(found))


def read_language(name: str, folders: Sequence[Path], problems: Problems) -> Language | None:
    """
    Read a language from the first folder that has it.

    Errors: language-missing, if none has it or its `language.yaml` says too little.
    """
    for folder in folders:
        home = folder / name
        if (home / "language.yaml").is_file():
            return _read(name, home, problems)
    problems.add(
        Problem(
            code="language-missing",
            path="",
            what=say("there is no catalog for the language %(name)s", name=name),
            fix=say(
                "choose one of %(names)s with --language, or add locales/<language>",
                names=", ".join(language_names(folders)),
            ),
        )
    )
    return None


def _read(name: str, home: Path, problems: Problems) -> Language | None:
    raw = (home / "language.yaml").read_bytes()
    described: dict[str, Any] = yaml.safe_load(raw) or {}
    po = home / "LC_MESSAGES" / "docgen.po"
    content = po.read_bytes() if po.is_file() else b""
    lacking = [key for key in ("direction", "date", "day", "time", "name") if key not in described]
    try:
        Locale.parse(name.replace("-", "_"))
    except (UnknownLocaleError, ValueError):
        lacking.append("locale")
    if lacking or (not content and name != SOURCE_LANGUAGE):
        problems.add(
            Problem(
                code="language-missing",
                path="",
                what=say("the language %(name)s is not complete", name=name),
                fix=say(
                    "give locales/%(name)s its language.yaml (%(keys)s) and its docgen.po",
                    name=name,
                    keys=", ".join(lacking) or "direction, date, day, time, name",
                ),
            )
        )
        return None
    return Language(
        name=name,
        direction=str(described["direction"]),
        styles={key: str(described[key]) for key in ("date", "day", "time")},
        own_name=str(described["name"]),
        catalog=_catalog(content),
        digest=hashlib.sha256(raw + b"\0" + content).hexdigest(),
    )


def _catalog(content: bytes) -> Catalog:
    return dict(_read_entries(hashlib.sha256(content).hexdigest(), content)) if content else {}


@lru_cache(maxsize=16)
def _read_entries(_digest: str, content: bytes) -> tuple[tuple[tuple[str | None, str], Entry], ...]:
    """Read a catalog once for each digest; fuzzy and empty entries do not count."""
    entries: list[tuple[tuple[str | None, str], Entry]] = []
    for message in read_po(io.BytesIO(content)):
        string = message.string
        if not message.id or message.fuzzy or not string or not (isinstance(string, str) or all(string)):
            continue
        msgid = message.id if isinstance(message.id, str) else message.id[0]
        entries.append(((message.context, msgid), string if isinstance(string, str) else tuple(string)))
    return tuple(entries)
