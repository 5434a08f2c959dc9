"""`docgen translate`: languages and today's sentences > catalogs begun, merged, counted, sent out and taken back."""

from __future__ import annotations

import argparse
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Any

from docgen.cli.files import write_files
from docgen.cli.inputs import add_folders, exit_code, print_json, print_problems, say_error, world_of
from docgen.examine import World
from docgen.kinds import DocumentKind, kind_names, read_kind
from docgen.language import (
    SOURCE_LANGUAGE,
    Language,
    catalog_of,
    key_of,
    language_names,
    read_catalog,
    read_description,
    read_language,
)
from docgen.problem import Message, OutputError, Problem, Problems, Refused, Severity, say
from docgen.readability import index_names
from docgen.shipped import shipped_folder
from docgen.translation.begin import begin_language, refuse_tag
from docgen.translation.catalog_file import Entries, entries_of, merged, write_catalog
from docgen.translation.exchange import groups_of, write_exchange
from docgen.translation.exchange_file import LARGEST, unreadable
from docgen.translation.exchange_reading import read_exchange, take
from docgen.translation.progress import Progress, progress_of
from docgen.translation.pseudo import PSEUDO, pseudo_entries
from docgen.translation.sentences import Sentence, all_sentences
from docgen.values import dataclass


@dataclass(frozen=True)
class Done:
    """What an action did, for people and for programs."""

    words: Message | str
    """A line for standard error, or a table for standard output."""
    values: Mapping[str, Any]
    problems: tuple[Problem, ...] = ()


@dataclass(frozen=True)
class Desk:
    """A language on the translator's desk."""

    language: Language
    home: Path
    entries: Entries
    sentences: tuple[Sentence, ...]
    kinds: tuple[DocumentKind, ...]
    """Those the language is to be whole for."""

    @property
    def catalog(self) -> Path:
        """Give the place of its catalog."""
        return catalog_of(self.home)

    def write(self, content: bytes) -> None:
        """Write its catalog, whole or not at all; one that is the same already is not touched."""
        write_files({self.catalog.name: content}, self.catalog.parent, replace=True)


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Describe the words of the command."""
    actions = parser.add_subparsers(dest="action", metavar="ACTION", required=True)
    for name, (help_line, _, words) in ACTIONS.items():
        below = actions.add_parser(name, help=help_line, description=help_line)
        below.add_argument("--json", action="store_true", default=argparse.SUPPRESS, help="print one JSON object")
        for word in words:
            _WORDS[word](below)
        add_folders(below)


def run(arguments: argparse.Namespace) -> int:
    """Do one thing; exit 3 if a file that came back has faults."""
    try:
        done = ACTIONS[arguments.action][1](arguments, world_of(arguments))
    except (Refused, OutputError) as error:
        print_problems(error.problems if isinstance(error, Refused) else ())
        return exit_code(error)
    print_problems(done.problems)
    if arguments.json:
        print_json({**done.values, "problems": [one.as_json() for one in done.problems]})
    elif isinstance(done.words, Message):
        say_error(done.words)
    else:
        print(done.words)
    return 3 if any(one.severity is Severity.REFUSE for one in done.problems) else 0


def start(arguments: argparse.Namespace, world: World) -> Done:
    """Begin a language: a folder with its description and a catalog without a translation."""
    names = tuple(name for part in arguments.kinds for name in part.split(",") if name)
    kinds = _kinds(world, names)
    problems = Problems()
    english = read_language(SOURCE_LANGUAGE, world.locales, problems)
    problems.refuse()
    meanings = english.description.compared if english else ()
    described = begin_language(arguments.tag, names, index_names(world.tables), meanings)
    language = _of_description(arguments.tag, described)
    home = arguments.to / arguments.tag
    for file in (home / "language.yaml", catalog_of(home)):
        _refuse_what_stands(file)
    messages = merged({}, all_sentences(world.templates), kinds, language)
    catalog = catalog_of(home)
    write_files({catalog.name: write_catalog(messages, language)}, catalog.parent, replace=False)
    write_files({"language.yaml": described}, home, replace=False)
    done = say("begun: %(folder)s, with %(number)s sentences to translate", folder=str(home), number=len(messages))
    return Done(done, {"folder": str(home), "sentences": len(messages)})


def merge(arguments: argparse.Namespace, world: World) -> Done:
    """Bring a catalog up to the sentences of today."""
    desk = _desk(arguments.tag, arguments.folder, world)
    messages = merged(desk.entries, desk.sentences, desk.kinds, desk.language)
    desk.write(write_catalog(messages, desk.language))
    now = {key_of(one): one for one in messages}
    changed = [one for key, one in now.items() if one.previous_id and key not in desk.entries]
    values = {
        "sentences": len(now),
        "new": len(now.keys() - desk.entries.keys()) - len(changed),
        "changed": len(changed),
        "dropped": len(desk.entries.keys() - now.keys() - {(one.context, one.previous_id[0]) for one in changed}),
    }
    done = say(
        "%(file)s: %(sentences)s sentences; %(new)s new, %(changed)s changed (fuzzy), %(dropped)s dropped",
        file=str(desk.catalog),
        **values,
    )
    return Done(done, values)


def progress(arguments: argparse.Namespace, world: World) -> Done:
    """Count what is translated of each kind in each language."""
    names = arguments.tags or [name for name in language_names(world.locales) if name != SOURCE_LANGUAGE]
    sentences, kinds = all_sentences(world.templates), _kinds(world, ())
    found: list[Progress] = []
    for name in names:
        folders = [folder for folder in world.locales if (folder / name / "language.yaml").is_file()]
        desk = _desk(name, (folders or list(world.locales))[0], world, sentences)
        found += progress_of(desk.language, desk.entries, sentences, kinds)
    table = _table([("language", "kind", "needed", "translated", "fuzzy", "missing"), *(one.row for one in found)])
    return Done(table, {"progress": [one.as_json() for one in found]})


def export(arguments: argparse.Namespace, world: World) -> Done:
    """Write the exchange file of a language, or of one kind of it."""
    desk = _desk(arguments.tag, arguments.folder, world)
    kinds = desk.kinds
    if arguments.kind:
        kinds = tuple(kind for kind in _kinds(world, (arguments.kind,)) if desk.language.description.offers(kind.name))
        if not kinds:
            what = say("%(language)s does not offer %(kind)s", language=arguments.tag, kind=arguments.kind)
            fix = say("name the kind under kinds in its language.yaml, and merge")
            raise Refused([Problem("language-missing", "", what, fix)])
    wanted = {one.key for one in desk.sentences if not arguments.kind or one.is_needed(kinds)}
    messages = merged(desk.entries, desk.sentences, desk.kinds, desk.language)
    chosen = [one for one in messages if key_of(one) in wanted]
    content = write_exchange(groups_of(chosen, desk.sentences, kinds or desk.kinds), desk.language)
    _refuse_what_stands(arguments.to, content)
    write_files({arguments.to.name: content}, arguments.to.parent, replace=False)
    done = say("%(file)s: %(number)s sentences", file=str(arguments.to), number=len(chosen))
    return Done(done, {"file": str(arguments.to), "sentences": len(chosen)})


def take_back(arguments: argparse.Namespace, world: World) -> Done:
    """Take the translations of an exchange file into the catalog; what is at fault in it is named and left out."""
    name = str(arguments.file)
    try:
        with arguments.file.open("rb") as file:
            content = file.read(LARGEST + 1)
    except OSError as error:
        raise unreadable(name, say("%(why)s", why=error.strerror or "no such file")) from error
    exchange = read_exchange(content, name)
    desk = _desk(exchange.language, arguments.folder, world)
    taken = take(exchange, merged(desk.entries, desk.sentences, desk.kinds, desk.language), desk.language)
    if taken.changed:
        desk.write(write_catalog(taken.messages, desk.language))
    values = {"taken": taken.sentences, "changed": taken.changed, "left_out": len(taken.problems)}
    done = say("%(file)s: %(taken)s sentences taken, %(changed)s of them changed; %(left_out)s left out",
               file=str(desk.catalog), **values)  # fmt: skip
    return Done(done, values, tuple(taken.problems))


def pseudo(arguments: argparse.Namespace, world: World) -> Done:
    """Make the two languages that nobody speaks."""
    kinds, sentences = _kinds(world, ()), all_sentences(world.templates)
    for one in PSEUDO:
        language, home = _of_description(one.tag, one.description()), arguments.to / one.tag
        catalog = write_catalog(pseudo_entries(one, merged({}, sentences, kinds, language), language), language)
        write_files({catalog_of(home).name: catalog}, catalog_of(home).parent, replace=True)
        write_files({"language.yaml": one.description()}, home, replace=True)
    tags = [one.tag for one in PSEUDO]
    done = say("%(folder)s: %(tags)s", folder=str(arguments.to), tags=", ".join(tags))
    return Done(done, {"folder": str(arguments.to), "languages": tags})


def _kinds(world: World, names: tuple[str, ...]) -> tuple[DocumentKind, ...]:
    """Read the kinds named, or all; refuse a name that no kind has."""
    problems = Problems()
    found = [read_kind(name, world.templates, problems) for name in names or kind_names(world.templates)]
    problems.refuse()
    return tuple(kind for kind in found if kind is not None)


def _desk(tag: str, folder: Path, world: World, sentences: tuple[Sentence, ...] = ()) -> Desk:
    """Open a language of a folder; the tag may be a stranger's, so it is looked up and never joined to a path first."""
    if tag == SOURCE_LANGUAGE:
        raise refuse_tag(tag)
    problems = Problems()
    if tag not in language_names((folder,)):
        what = say("%(folder)s has no language %(tag)s", folder=str(folder), tag=tag)
        fix = say("begin it with docgen translate start, or name the folder of languages it lies in")
        raise Refused([Problem("language-missing", "", what, fix)])
    entries = entries_of(folder / tag)
    language = read_language(tag, (folder,), problems)
    if language is None:
        raise Refused(problems)
    kinds = tuple(kind for kind in _kinds(world, ()) if language.description.offers(kind.name))
    return Desk(language, folder / tag, entries, sentences or all_sentences(world.templates), kinds)


def _of_description(tag: str, content: bytes) -> Language:
    described, lacking = read_description(tag, content)
    if described is None:
        raise ValueError(lacking)
    return Language(tag, described, read_catalog(b""))


def _refuse_what_stands(file: Path, content: bytes | None = None) -> None:
    """Refuse to write over a file that says something else: it may be hours of a translator's work."""
    if file.exists() and (content is None or file.read_bytes() != content):
        what = say("%(file)s is there already", file=str(file))
        fix = say("move it away, or choose another place with --to")
        raise Refused([Problem("file-exists", "", what, fix)])


def _table(rows: list[tuple[object, ...]]) -> str:
    widths = [max(len(str(row[column])) for row in rows) for column in range(len(rows[0]))]
    lines = []
    for row in rows:
        cells = (f"{one:>{w}}" if isinstance(one, int) else f"{one:<{w}}" for one, w in zip(row, widths, strict=True))
        lines.append("  ".join(cells).rstrip())
    return "\n".join(lines)


Word = Callable[[argparse.ArgumentParser], object]

_WORDS: Mapping[str, Word] = {
    "tag": lambda p: p.add_argument("tag", metavar="TAG", help="tag of the language, such as es or zh-Hant"),
    "tags": lambda p: p.add_argument("tags", nargs="*", metavar="TAG", help="languages (default: all)"),
    "file": lambda p: p.add_argument("file", type=Path, metavar="FILE", help="the exchange file, XLIFF 2"),
    "in": lambda p: p.add_argument(
        "--in", dest="folder", type=Path, default=shipped_folder("locales"), metavar="DIR",
        help="folder of languages (default: the shipped one)"
    ),
    "to folder": lambda p: p.add_argument("--to", type=Path, required=True, metavar="DIR", help="folder of languages"),
    "to file": lambda p: p.add_argument("--to", type=Path, required=True, metavar="FILE", help="the file to write"),
    "kind": lambda p: p.add_argument("--kind", help="only what this kind prints"),
    "kinds": lambda p: p.add_argument("--kinds", action="append", default=[], help="kinds it is to be whole for"),
}  # fmt: skip

ACTIONS: Mapping[str, tuple[str, Callable[[argparse.Namespace, World], Done], tuple[str, ...]]] = {
    "start": ("begin a language: language.yaml and an empty catalog", start, ("tag", "to folder", "kinds")),
    "merge": ("bring a catalog up to the sentences of today", merge, ("tag", "in")),
    "progress": ("count what is translated of each kind", progress, ("tags",)),
    "export": ("write an exchange file for a translator's tool", export, ("tag", "in", "to file", "kind")),
    "import": ("take an exchange file back into the catalog", take_back, ("file", "in")),
    "pseudo": ("make two languages that test the pages", pseudo, ("to folder",)),
}
"""Name, one line of help, what it does, and the words it has."""
