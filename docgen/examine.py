"""
The files of a case and a wish > the case, its facts for each document asked for, and every problem of the three gates.

Apart from making the documents, so that a check loads no template engine and no typesetter.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from pathlib import Path
from zoneinfo import ZoneInfo

from docgen.case import Case, Source, own_leaf, read_case
from docgen.checks import check_case
from docgen.clinical.table import Tables
from docgen.facts import Request, Stated, state_facts
from docgen.kinds import DocumentKind, TemplateFolders, check_complete, is_applicable, kind_names, read_kind
from docgen.language import Language, read_language
from docgen.problem import Message, Problems, say


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

    @property
    def label(self) -> str:
        """Name the document as messages do: "consent (en)"."""
        return f"{self.kind.name} ({self.request.language})"

    @property
    def name(self) -> str:
        """Name its file without record and ending."""
        undated = ["undated"] if not self.request.dated else []
        return "-".join(
            [self.kind.name, *undated, *([self.request.copy] if self.request.copy else []), self.request.language]
        )


@dataclass(frozen=True)
class Examined:
    """A case that was read and checked."""

    case: Case
    asked: tuple[Asked, ...]
    languages: Mapping[str, Language]
    left_out: Mapping[str, Message]
    problems: Problems


def examine(files: CaseFiles, wish: Wish, world: World, today: Callable[[ZoneInfo], date]) -> Examined:
    """Read a case and run all three gates over all that is asked for; problems are collected, not raised."""
    problems = Problems()
    names = wish.kinds or kind_names(world.templates)
    kinds = [k for name in names if (k := read_kind(name, world.templates, problems)) is not None]
    own = {f"own.{k.name}.{f.name}": own_leaf(f.type, f.codes) for k in kinds for f in k.own_fields}

    # record -> typed case (gate 1: shape): every leaf is text, typed by its field, with its line
    case = read_case(files.case, files.clinic, files.approvals, problems, own)
    on = wish.on or today(_zone(case))

    # what is asked for, with its facts: pure, over sourced tables
    chosen, left_out = _chosen(kinds, case, wish)
    asked: list[Asked] = []
    languages: dict[str, Language] = {}
    for kind, dated in chosen:
        language = _language(kind, case, wish, world, languages, problems)
        for copy in [c for c in kind.copies if not wish.copies or c in wish.copies] or [""]:
            request = kind.request(copy, language, on, dated=dated)
            asked.append(Asked(kind, request, state_facts(case, request, world.tables)))

    if case.readable:
        for one in asked:  # gate 2: completeness, all kinds before any is composed
            check_complete(one.kind, one.label, case, one.stated.results, problems, dated=one.request.dated)
        check_case(case, [(one.request, one.label, one.stated.results) for one in asked], problems)  # gate 3
    return Examined(case, tuple(asked), languages, left_out, problems)


def passing_kinds(seen: Examined) -> tuple[str, ...]:
    """Name the kinds that would pass if they were asked for alone."""
    stopped = {label for p in seen.problems.refusing for label in p.needed_by}
    if any(not p.needed_by for p in seen.problems.refusing):
        return ()
    return tuple(dict.fromkeys(one.kind.name for one in seen.asked if one.label not in stopped))


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


def _language(
    kind: DocumentKind, case: Case, wish: Wish, world: World, languages: dict[str, Language], problems: Problems
) -> str:
    """Choose the language of a document and read its catalog."""
    record = case.value("record.language")
    reader = case.value("patient.preferred_language") if kind.audience == "patient" else None
    name = wish.language or str(reader or record or "en")
    if name not in languages:
        language = read_language(name, world.locales, problems)
        if language is not None:
            languages[name] = language
    return name


def today_in(zone: ZoneInfo) -> date:
    """Ask the clock for the day in a time zone; only the command line calls it."""
    return datetime.now(zone).date()
