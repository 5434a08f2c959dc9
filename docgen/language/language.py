"""
A tag and the folders of languages > a Language, which says sentences and writes dates, times, numbers and lists.

The msgid is the English sentence. Catalogs are read as `.po`, so that a clinic adds a language without a build step.
"""

from __future__ import annotations

import hashlib
import re
from collections.abc import Iterable, Sequence
from dataclasses import field
from datetime import date, datetime, time
from decimal import Decimal
from functools import cached_property
from pathlib import Path

from babel import Locale, UnknownLocaleError
from babel.dates import format_date, format_time
from babel.lists import format_list
from babel.numbers import format_decimal

from docgen.language.catalog import NO_CATALOG, Catalog, Forms, catalog_of, read_catalog
from docgen.language.description import NEEDED, Description, read_description
from docgen.problem import Problem, Problems, say
from docgen.values import dataclass

SOURCE_LANGUAGE = "en"
"""The language the sentences are written in; its catalog is the text itself."""

NO_BREAK = "\u00a0"


@dataclass(frozen=True)
class Language:
    """A language in which documents are printed."""

    name: str
    """BCP 47 tag."""
    description: Description
    catalog: Catalog
    home: Path = Path()
    """The folder it was read from."""
    missing: dict[str, None] = field(default_factory=dict, compare=False)
    """Sentences asked for and not in the catalog, in their order; whoever asked refuses the document."""

    @property
    def direction(self) -> str:
        """Direction of its writing: ltr or rtl."""
        return self.description.direction

    @cached_property
    def locale(self) -> Locale:
        """The CLDR locale behind the tag."""
        return Locale.parse(self.description.locale.replace("-", "_"))

    def digest(self, kind: str) -> str:
        """Digest all that decides what a kind says in this language."""
        told = repr((self.name, self.description, self.catalog.digest(kind)))
        return hashlib.sha256(told.encode()).hexdigest()

    def text(self, msgid: str, context: str | None = None) -> str:
        """Look a sentence up; one that is missing comes back in English and is noted in `missing`."""
        return self._forms(msgid, context)[0]

    def knows(self, msgid: str, context: str | None = None) -> bool:
        """Tell whether a sentence can be said in this language, without asking for it."""
        return self.name == SOURCE_LANGUAGE or (context, msgid) in self.catalog.entries

    def plural(self, one: str, many: str, number: int) -> str:
        """Look up the form of a sentence that fits a number."""
        if self.name == SOURCE_LANGUAGE:
            return one if number == 1 else many
        forms = self._forms(one, None)
        return forms[min(self.catalog.plural(number), len(forms) - 1)]

    def _forms(self, msgid: str, context: str | None) -> Forms:
        if self.name == SOURCE_LANGUAGE:
            return (msgid,)
        found = self.catalog.entries.get((context, msgid))
        if found is None:
            self.missing[msgid] = None
            return (msgid,)
        return found

    def date(self, day: date, *, weekday: bool = False) -> str:
        """Write a date; day and month stay on one line."""
        words = format_date(day, self.description.day if weekday else self.description.date, self.locale)
        return words.replace(" ", NO_BREAK, words.count(" ") - 1) if not weekday else words

    def time(self, moment: datetime | time) -> str:
        """Write a clock time, always in Latin digits."""
        return format_time(time(moment.hour, moment.minute), self.description.time, locale=self.locale)

    def moment(self, moment: datetime) -> str:
        """Write a date with its clock time."""
        return self.text("%(date)s, %(time)s") % {"date": self.date(moment.date()), "time": self.time(moment)}

    def number(self, value: int | Decimal) -> str:
        """Write a number with the digits it has; Latin digits for every language."""
        exponent = Decimal(value).as_tuple().exponent
        places = max(0, -exponent) if isinstance(exponent, int) else 0
        whole = "#,##0" if self.description.thousands is None else "0"
        pattern = f"{whole}.{'0' * places}" if places else whole
        return self._grouped(format_decimal(value, pattern, locale=self.locale, numbering_system="latn"))

    def _grouped(self, shown: str) -> str:
        """Put the language's own mark between thousands: a point could be read as the sign of decimals."""
        if self.description.thousands is None:
            return shown
        mark, least = self.description.thousands
        digits = re.match(r"\D*(\d+)", shown)
        if digits is None or len(digits[1]) < least:
            return shown
        return shown.replace(digits[1], re.sub(r"(?<=\d)(?=(?:\d{3})+$)", mark, digits[1]), 1)

    def listing(self, parts: Sequence[str]) -> str:
        """Join parts as the language does: "a, b and c"."""
        joined = format_list(list(parts), style="standard", locale=self.locale) if parts else ""
        for word, before, becomes in self.description.joins:
            joined = re.sub(rf" {word} (?={before})", f" {becomes} ", joined, flags=re.IGNORECASE)
        return joined

    def full_name(self, given: str, family: str) -> str:
        """Write a person's name in the order of the language."""
        order = {"given": given, "family": family}
        return " ".join(part for name in self.description.name_order.split() if (part := order[name]))


def name_of(tag: str, locale: Locale) -> str:
    """Name a language in the words of a locale, by CLDR; one that CLDR has no name for by its tag."""
    try:
        found = Locale.parse(tag, sep="-").get_display_name(locale)
    except UnknownLocaleError:  # CLDR names more languages than it describes
        found = locale.languages.get(tag)
    return str(found or tag)


def language_names(folders: Iterable[Path]) -> tuple[str, ...]:
    """Name the languages that the folders hold."""
    found = {f.parent.name for folder in folders for f in folder.glob("*/language.yaml")}
    return tuple(sorted(found))


def _home_of(name: str, folders: Iterable[Path]) -> Path | None:
    """Find the folder of a language, the clinic's first; None if nobody has it."""
    return next((folder / name for folder in folders if (folder / name / "language.yaml").is_file()), None)


def read_language(name: str, folders: Sequence[Path], problems: Problems) -> Language | None:
    """
    Read a language from the first folder that has it.

    Errors: language-missing, if none has it, its `language.yaml` says too little or its catalog cannot be read.
    """
    home = _home_of(name, folders)
    if home is None:
        names = ", ".join(language_names(folders))
        what = say("there is no catalog for the language %(name)s", name=name)
        fix = say("choose one of %(names)s with --language, or add locales/<language>", names=names)
        problems.add(Problem("language-missing", "", what, fix))
        return None
    described, lacking = read_description(name, (home / "language.yaml").read_bytes())
    try:
        catalog = _catalog(name, home)
    except ValueError as error:
        what = say("the catalog of the language %(name)s cannot be read: %(why)s", name=name, why=str(error))
        fix = say("mend %(file)s, or take the last good one", file=str(catalog_of(home)))
        problems.add(Problem("language-missing", "", what, fix))
        return None
    if described is None or catalog is None:
        keys = ", ".join(lacking or NEEDED)
        what = say("the language %(name)s is not complete", name=name)
        fix = say("give locales/%(name)s its language.yaml (%(keys)s) and its docgen.po", name=name, keys=keys)
        problems.add(Problem("language-missing", "", what, fix))
        return None
    return Language(name, described, catalog, home)


def _catalog(name: str, home: Path) -> Catalog | None:
    """
    Read the catalog; None if there is none.

    Errors: ValueError, if it is broken.
    """
    if name == SOURCE_LANGUAGE:
        return NO_CATALOG
    file = catalog_of(home)
    return read_catalog(file.read_bytes()) if file.is_file() else None
