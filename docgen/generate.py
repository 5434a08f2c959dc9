"""
The flow, on one page: the files of one case > facts, checks, documents and files; or Refused with every problem found.

The only module that sees every floor. Clock, folders and tables come in as arguments.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date, datetime
from importlib import import_module
from pathlib import Path
from zoneinfo import ZoneInfo

from docgen.blocks import Document
from docgen.case import Case, Source, own_leaf, read_case
from docgen.checks import check_case
from docgen.clinical.table import Tables
from docgen.compose import Composing, Edition, Opened, compose
from docgen.compose.show import show
from docgen.facts import Request, Stated, state_facts
from docgen.kinds import (
    DocumentKind,
    HouseWords,
    TemplateFolders,
    check_complete,
    is_applicable,
    kind_names,
    read_kind,
    read_words,
)
from docgen.language import Language, read_language
from docgen.problem import Message, Problem, Problems, Refused, say
from docgen.render.fonts import missing_characters
from docgen.render.style import read_style

RENDERERS = {"pdf": "docgen.render.pdf", "docx": "docgen.render.docx", "text": "docgen.render.text"}
"""Each is loaded when it is asked for: a check needs no typesetter."""

ENDINGS = {"pdf": "pdf", "docx": "docx", "text": "txt"}


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


@dataclass
class Made:
    """What came of one case."""

    record: str = ""
    files: dict[str, bytes] = field(default_factory=dict)
    documents: dict[str, Document] = field(default_factory=dict)
    notes: tuple[Problem, ...] = ()
    left_out: dict[str, Message] = field(default_factory=dict)
    """Kinds that were not made, and why."""


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


def generate(files: CaseFiles, wish: Wish, world: World, today: Callable[[ZoneInfo], date]) -> Made:
    """
    Make all documents of one case in memory.

    Errors: Refused, with every problem found; one refused kind stops them all.
    """
    seen = examine(files, wish, world, today)
    if not seen.asked and not seen.problems.refusing:
        seen.problems.add(_nothing_to_make(seen))
    if seen.problems.refusing:
        raise Refused(seen.problems, {"passing": passing_kinds(seen)})
    made = Made(str(seen.case.value("record.id")), notes=seen.problems.notes, left_out=dict(seen.left_out))
    words = read_words(world.templates.folders)
    style = read_style(world.templates.folders[-1] / "_house")
    for one in seen.asked:  # template context -> document model; values never become markup
        document = _compose(one, seen, words, world)
        made.documents[f"{made.record}-{one.name}"] = document
    _refuse_unprintable(made.documents, seen)
    for name, document in made.documents.items():  # renderers share the model, and nothing else
        for form in wish.formats:
            made.files[f"{name}.{ENDINGS[form]}"] = import_module(RENDERERS[form]).render(document, style)
    return made


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


def _compose(one: Asked, seen: Examined, words: HouseWords, world: World) -> Document:
    language = seen.languages[one.request.language]
    editions = tuple(f"{name} {edition}" for name, edition in sorted(world.tables.editions.items()))
    edition = Edition(world.program, editions, _settings_used(one, seen.case))
    opened = Opened(seen.case, one.stated.results, one.request, language, words, one.kind.audience, show)
    language.missing.clear()
    document = compose(Composing(one.kind, world.templates.folders, edition), opened)
    if language.missing:
        raise Refused([_untranslated(one, len(language.missing))])
    return document


def _settings_used(one: Asked, case: Case) -> tuple[tuple[str, str], ...]:
    """Give the settings that the facts looked at and those the text itself prints, with their values."""
    named = {p.removeprefix("settings.") for r in one.kind.requires for p in r.fields if p.startswith("settings.")}
    printed = {(name, str(case.setting(name))) for name in named}
    return tuple(sorted({*one.stated.used_settings, *printed}))


def _untranslated(one: Asked, number: int) -> Problem:
    return Problem(
        "language-missing",
        "",
        say("%(number)s sentences of %(document)s have no translation", number=number, document=one.label),
        say("complete the catalog, or choose another language with --language"),
        needed_by=(one.label,),
    )


def _nothing_to_make(seen: Examined) -> Problem:
    reasons = ", ".join(f"{name}" for name in seen.left_out)
    return Problem(
        "nothing-to-make",
        "",
        say("the moment of no kind has come (%(kinds)s)", kinds=reasons),
        say("record what starts a kind, or ask for one with --kind"),
        seen.case.start,
    )


def _refuse_unprintable(documents: Mapping[str, Document], seen: Examined) -> None:
    """Refuse a character no font has, in every format, with the field it stands in."""
    problems = Problems()
    for document in documents.values():
        for character, path in missing_characters(document):
            code = f"U+{ord(character):04X}"
            problems.add(
                Problem(
                    "character-unprintable",
                    path,
                    say(
                        "%(path)s has the character %(code)s, which no font of docgen can print",
                        path=path or document.origin.kind,
                        code=code,
                    ),
                    say("write it another way"),
                    seen.case.place(path),
                    (document.origin.kind,),
                )
            )
    problems.refuse()


def today_in(zone: ZoneInfo) -> date:
    """Ask the clock for the day in a time zone; only the command line calls it."""
    return datetime.now(zone).date()
