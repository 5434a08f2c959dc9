"""
The files of a case and a wish > the case, its facts for each document asked for, and every problem of the three gates.

Apart from making the documents, so that a check loads no template engine and no typesetter.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import field, replace
from datetime import date, datetime
from pathlib import Path
from zoneinfo import ZoneInfo

from docgen.case import Case, Source, own_leaf, read_case
from docgen.checks import check_case
from docgen.clinical.table import Tables
from docgen.facts import CaseFacts, Known, Request, Stated, facts_of
from docgen.kinds import (
    APART,
    PAIRS,
    DocumentKind,
    TemplateFolders,
    check_complete,
    is_applicable,
    kind_names,
    needs_review,
    read_kind,
)
from docgen.language import SOURCE_LANGUAGE, Language, read_language
from docgen.problem import Message, Problem, Problems, say
from docgen.values import dataclass


@dataclass(frozen=True)
class World:
    """What lies outside the case: folders, tables, the program's edition."""

    templates: TemplateFolders
    locales: tuple[Path, ...]
    tables: Tables
    program: str


@dataclass(frozen=True)
class CaseFiles:
    """The files one case is read from."""

    case: Source
    clinic: Source | None = None
    approvals: Source | None = None
    beside: Path | None = None
    """Folder of the clinic's file, for its logo."""
    entered: Mapping[str, str] = field(default_factory=dict)
    """Leaves that stand in no file yet, by path: who signs, and when."""


@dataclass(frozen=True)
class Wish:
    """What somebody asks for."""

    kinds: tuple[str, ...] = ()
    """Empty: every kind whose moment has come."""
    copies: tuple[str, ...] = ()
    """Empty: all copies of a kind."""
    undated: bool = False
    language: str = ""
    """Empty: the patient's for patient texts, the record's for staff texts."""
    formats: tuple[str, ...] = ("pdf", "docx")
    on: date | None = None
    """Day of issue; None: today, in the clinic's time zone."""


@dataclass(frozen=True)
class Asked:
    """One document that was asked for."""

    kind: DocumentKind
    request: Request
    stated: Stated
    below: str = ""
    """The reader's language, if the document has it paragraph by paragraph below the request's."""
    aside: str = ""
    """Why the document is not in its reader's language: other-language or staff-copy."""

    @property
    def label(self) -> str:
        """Name the document as messages do: "consent (en)", "consent (en, es)"."""
        return f"{self.kind.name} ({', '.join(self.languages)})"

    @property
    def languages(self) -> tuple[str, ...]:
        """The languages it is written in."""
        return (self.request.language, self.below) if self.below else (self.request.language,)

    @property
    def name(self) -> str:
        """Name its file without record and ending."""
        undated = ["undated"] if not self.request.dated else []
        return "-".join(
            [self.kind.name, *undated, *([self.request.copy] if self.request.copy else []), *self.languages]
        )


@dataclass(frozen=True)
class Examined:
    """A case that was read and checked."""

    case: Case
    asked: tuple[Asked, ...]
    languages: Mapping[str, Language]
    left_out: Mapping[str, Message]
    problems: Problems
    facts: CaseFacts
    """For a request that was not asked for: the text below each paragraph in a second language."""


def examine(files: CaseFiles, wish: Wish, world: World, today: Callable[[ZoneInfo], date]) -> Examined:
    """Read a case and run all three gates over all that is asked for; problems are collected, not raised."""
    problems = Problems()
    names = wish.kinds or kind_names(world.templates)
    kinds = [k for name in names if (k := read_kind(name, world.templates, problems)) is not None]
    own = {f"own.{k.name}.{f.name}": own_leaf(f.type, f.codes) for k in kinds for f in k.own_fields}

    # record -> typed case (gate 1: shape): every leaf is text, typed by its field, with its line
    case = read_case(files.case, files.clinic, files.approvals, problems, own, files.entered)
    on = wish.on or today(_zone(case))

    # what is asked for, with its facts: pure, over sourced tables
    facts = facts_of(case, world.tables)
    chosen, left_out = _chosen(kinds, case, wish)
    asked: list[Asked] = []
    languages: dict[str, Language] = {}
    for kind, dated in chosen:
        for copy in [c for c in kind.copies if not wish.copies or c in wish.copies] or [""]:
            one = _asked(kind, copy, dated, facts, on, wish)
            _read_languages(one, case, wish, world, languages, problems)
            asked.append(one)
    left_out |= _called_for(kinds, left_out, facts, on)

    if case.readable:
        told = problems.paths
        for one in asked:  # gate 2: completeness, all kinds before any is composed
            dated, results = one.request.dated, one.stated.results
            check_complete(one.kind, one.label, case, results, problems, dated=dated, silent=told)
        check_case(case, [(one.request, one.label, one.stated.results) for one in asked], problems)  # gate 3
    return Examined(case, tuple(asked), languages, left_out, problems, facts)


def passing_kinds(seen: Examined) -> tuple[str, ...]:
    """Name the kinds that would pass if they were asked for alone."""
    stopped = {label for p in seen.problems.refusing for label in p.needed_by}
    if any(not p.needed_by for p in seen.problems.refusing):
        return ()
    lost = {one.kind.name for one in seen.asked if one.label in stopped}
    return tuple(dict.fromkeys(one.kind.name for one in seen.asked if one.kind.name not in lost))


def _zone(case: Case) -> ZoneInfo:
    name = case.value("clinic.time_zone")
    try:
        return ZoneInfo(str(name)) if name else ZoneInfo("UTC")
    except (KeyError, ValueError, OSError):
        return ZoneInfo("UTC")


def _chosen(
    kinds: Sequence[DocumentKind], case: Case, wish: Wish
) -> tuple[list[tuple[DocumentKind, bool]], dict[str, Message]]:
    """Take the kinds asked for by name, else those whose moment has come; dated where there are dates."""
    chosen: list[tuple[DocumentKind, bool]] = []
    left_out: dict[str, Message] = {}
    for kind in kinds:
        dated = not wish.undated if wish.kinds or wish.undated else kind.undated is None or is_applicable(kind, case)
        dated = dated or kind.undated is None
        if wish.kinds or is_applicable(kind, case, dated=dated):
            chosen.append((kind, dated))
        else:
            left_out[kind.name] = say(
                "its moment has not come: %(path)s is not recorded", path=kind.moment_for(dated=dated)
            )
    return chosen, left_out


def _asked(kind: DocumentKind, copy: str, dated: bool, facts: CaseFacts, on: date, wish: Wish) -> Asked:
    """State the facts of one document and choose its languages by them."""
    record = str(facts.case.value("record.language") or SOURCE_LANGUAGE)
    request = kind.request(copy, wish.language or record, on, dated=dated)
    stated = facts.state(request)
    reader = stated.results["readers_language"]
    if kind.audience != "patient" or not isinstance(reader, Known) or reader.value == request.language:
        return Asked(kind, request, stated)
    if wish.language:
        return Asked(kind, request, stated, aside="other-language")
    if kind.bilingual == APART and copy == "clinic":
        return Asked(kind, request, stated, aside="staff-copy")
    if kind.bilingual == PAIRS:
        return Asked(kind, request, stated, below=str(reader.value))
    request = replace(request, language=str(reader.value))
    return Asked(kind, request, facts.state(request))


def _read_languages(
    one: Asked, case: Case, wish: Wish, world: World, languages: dict[str, Language], problems: Problems
) -> None:
    """Read the catalogs of a document; one that is missing or, by the clinic's setting, unreviewed refuses it alone."""
    for name in one.languages:
        found = Problems()
        language = languages.get(name) or read_language(name, world.locales, found)
        if language is not None:
            languages[name] = language
            if not language.description.offers(one.kind.name):
                found.add(_not_offered(name, one.kind.name))
            elif needs_review(language, one.kind.name, case) and case.setting("language.unreviewed") == "refuse":
                found.add(unreviewed(name, one.kind.name))
        path = "" if wish.language else _names_language(name, case)
        place = case.place(path) if path else None
        problems.extend(replace(p, path=path, place=place, needed_by=(one.label,)) for p in found)
    own = str(case.value("record.language") or SOURCE_LANGUAGE)
    if own not in languages and (language := read_language(own, world.locales, Problems())) is not None:
        languages[own] = language  # what is not reviewed says so in the clinic's language too


def _names_language(name: str, case: Case) -> str:
    """Find the field that names a language."""
    paths = ("patient.preferred_language", "guardian.language", "record.language")
    return next((path for path in paths if case.value(path) == name), "")


def _not_offered(name: str, kind: str) -> Problem:
    return Problem(
        "language-missing",
        "",
        say("the catalog of the language %(name)s does not hold the words of %(kind)s", name=name, kind=kind),
        say("choose another language with --language, or have the catalog completed for this kind"),
    )


def unreviewed(name: str, kind: str) -> Problem:
    """Say that nobody has reviewed a translation; an issue asks the same (issue.unreviewed)."""
    return Problem(
        "translation-unreviewed",
        "",
        say("nobody has reviewed the words of %(kind)s in the language %(name)s as they are now", name=name, kind=kind),
        say("have it reviewed and approved, or take a draft (language.unreviewed: mark)"),
    )


def _called_for(
    kinds: Sequence[DocumentKind], left_out: Mapping[str, Message], facts: CaseFacts, on: date
) -> dict[str, Message]:
    """Say of a kind left out that a fact asks for it, be it only assumed."""
    found: dict[str, Message] = {}
    for kind in kinds:
        if kind.name in left_out and kind.called_for_by and facts.case.readable:
            request = kind.request("", str(facts.case.value("record.language") or SOURCE_LANGUAGE), on)
            result = facts.state(request).results.get(kind.called_for_by)
            if result and (result.value if isinstance(result, Known) else result.assumed) is True:
                found[kind.name] = say(
                    "it is called for (%(fact)s), but %(path)s is not recorded",
                    fact=kind.called_for_by,
                    path=kind.moment,
                )
    return found


def today_in(zone: ZoneInfo) -> date:
    """Ask the clock for the day in a time zone; only the command line calls it."""
    return datetime.now(zone).date()
