"""`docgen review`: languages, kinds and approvals.yaml > what is reviewed, sheets for reviewers, reviews recorded."""

from __future__ import annotations

import argparse
import os
from collections.abc import Callable, Iterable, Mapping
from importlib import import_module
from pathlib import Path
from zoneinfo import ZoneInfo

from docgen.blocks import Document
from docgen.case import Approval, Source, read_approvals
from docgen.cli.approve import add_signer, keep_approval
from docgen.cli.files import write_files
from docgen.cli.inputs import a_day, add_folders, exit_code, print_json, print_problems, say_error, world_of
from docgen.examine import World, today_in
from docgen.generate import ENDINGS, RENDERERS, house_style
from docgen.kinds import DocumentKind, kind_names, read_kind, translation_entry
from docgen.language import SOURCE_LANGUAGE, Language, catalog_of, language_names, read_language
from docgen.problem import OutputError, Problem, Problems, Refused, say
from docgen.render.fonts import missing_characters
from docgen.translation.catalog_file import entries_of
from docgen.translation.review_lines import groups
from docgen.translation.review_sheet import SheetOrder, review_sheet
from docgen.translation.review_state import gaps, review_states
from docgen.translation.sentences import all_sentences

HEAD = ("language", "kind", "digest", "state", "by", "qualification", "on")


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Describe the words of the command."""
    actions = parser.add_subparsers(dest="action", metavar="ACTION", required=True)
    for name, (help_line, _, words) in ACTIONS.items():
        below = actions.add_parser(name, help=help_line, description=help_line)
        below.add_argument("--json", action="store_true", default=argparse.SUPPRESS, help="print one JSON object")
        words(below)
        add_folders(below)


def run(arguments: argparse.Namespace) -> int:
    """Do one thing; exit 1 if a review cannot be recorded, or its sheet not be made."""
    try:
        return ACTIONS[arguments.action][1](arguments, world_of(arguments))
    except Refused as refused:
        print_problems(refused.problems)
        return 1
    except OutputError as error:
        say_error(say("the files cannot be written: %(why)s", why=str(error)))
        return exit_code(error)


def listing(arguments: argparse.Namespace, world: World) -> int:
    """List for each language and kind whether its words are reviewed, lapsed or never reviewed."""
    problems = Problems()
    kinds = [kind for name in kind_names(world.templates) if (kind := read_kind(name, world.templates, problems))]
    approvals = _approvals(arguments, problems)
    names = [name for name in language_names(world.locales) if name != SOURCE_LANGUAGE]
    languages = [one for name in names if (one := read_language(name, world.locales, problems))]
    problems.refuse()
    states = [state for language in languages for state in review_states(language, kinds, approvals)]
    if arguments.json:
        print_json({"reviews": [state.as_json() for state in states]})
    elif states:
        print(_table([HEAD, *(state.row for state in states)]))
    else:
        say_error(say("there is no language but that of the sentences, which needs no review"))
    return 0


def sheet(arguments: argparse.Namespace, world: World) -> int:
    """Write the sheet of one kind in one language."""
    forms = [name for name in arguments.format.split(",") if name]
    if not forms or any(name not in ENDINGS for name in forms):
        say_error(say("choose --format among %(names)s", names=", ".join(ENDINGS)))
        return 2
    language, kind, english = _asked(arguments, world)
    found = groups(kind, world.templates, all_sentences(world.templates), language)
    on = arguments.on or today_in(ZoneInfo("UTC"))
    document = review_sheet(SheetOrder(kind, language, english, found, world.program, on))
    _refuse_unprintable(document)
    style, name = house_style(world), f"review-{language.name}-{kind.name}"
    files: dict[str, bytes] = {}
    for form in forms:
        files[f"{name}.{ENDINGS[form]}"] = import_module(RENDERERS[form]).render(document, style)
    write_files(files, arguments.out, replace=arguments.replace)
    if arguments.json:
        print_json({"files": sorted(files)})
    for file in () if arguments.json else sorted(files):
        print(arguments.out / file)
    return 0


def record(arguments: argparse.Namespace, world: World) -> int:
    """Append a review of the words as they are now; a catalog that is not whole for the kind is refused."""
    language, kind, _ = _asked(arguments, world)
    problems = Problems()
    file = str(catalog_of(language.home))
    problems.extend(gaps(language, kind, all_sentences(world.templates), entries_of(language.home), file))
    problems.refuse()
    done = say("reviewed: %(kind)s in the language %(name)s", kind=kind.name, name=language.name)
    return keep_approval(arguments, *translation_entry(language, kind.name), done)


def _asked(arguments: argparse.Namespace, world: World) -> tuple[Language, DocumentKind, Language]:
    """
    Read the language, the kind and the language of the sentences.

    Errors: Refused with kind-unknown or language-missing.
    """
    problems = Problems()
    kind = read_kind(arguments.kind, world.templates, problems)
    if arguments.tag == SOURCE_LANGUAGE:
        what = say("%(name)s is the language the sentences are written in; it is no translation", name=arguments.tag)
        problems.add(Problem("language-missing", "", what, say("approve its text with docgen approve")))
    language = read_language(arguments.tag, world.locales, problems)
    english = read_language(SOURCE_LANGUAGE, world.locales, problems)
    if language and kind and not language.description.offers(kind.name):
        what = say("%(language)s does not offer %(kind)s", language=language.name, kind=kind.name)
        fix = say("name the kind under kinds in its language.yaml, and merge")
        problems.add(Problem("language-missing", "", what, fix))
    problems.refuse()
    if not (language and kind and english):
        raise Refused(problems)
    return language, kind, english


def _approvals(arguments: argparse.Namespace, problems: Problems) -> tuple[Approval, ...]:
    """Read the approvals named, those beside the clinic's file, here, or configured; a file not named may be absent."""
    configured = Path(os.environ.get("XDG_CONFIG_HOME") or Path.home() / ".config") / "docgen"
    places = [arguments.clinic.parent] if arguments.clinic else [Path(), configured]
    found = next((file for place in places if (file := place / "approvals.yaml").is_file()), None)
    file = arguments.approvals or found
    if file is None:
        return ()
    try:
        return read_approvals(Source(str(file), file.read_bytes()), problems)
    except OSError as error:
        what = say("%(file)s cannot be read: %(why)s", file=str(file), why=error.strerror or "no such file")
        fix = say("check the name and the rights of the file")
        raise Refused([Problem("file-unreadable", "", what, fix)]) from error


def _refuse_unprintable(document: Document) -> None:
    """Refuse a character no font has, as every document does."""
    problems = Problems()
    for character, _ in missing_characters(document):
        what = say("the catalog has the character %(code)s, which no font of docgen can print",
                   code=f"U+{ord(character):04X}")  # fmt: skip
        problems.add(Problem("character-unprintable", "", what, say("write it another way")))
    problems.refuse()


def _table(rows: Iterable[tuple[object, ...]]) -> str:
    texts = [tuple(map(str, row)) for row in rows]
    widths = [max(map(len, column)) for column in zip(*texts, strict=True)]
    return "\n".join(
        "  ".join(f"{one:<{width}}" for one, width in zip(row, widths, strict=True)).rstrip() for row in texts
    )


def _add_approvals(parser: argparse.ArgumentParser) -> None:
    where = parser.add_mutually_exclusive_group()
    where.add_argument("--approvals", type=Path, metavar="FILE", help="the clinic's approvals.yaml")
    where.add_argument("--clinic", type=Path, metavar="FILE", help="the clinic's file, with approvals.yaml beside it")


def _add_asked(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("tag", metavar="TAG", help="tag of the language, such as es or ar")
    parser.add_argument("kind", metavar="KIND", help="the kind whose words are reviewed")


def _add_sheet(parser: argparse.ArgumentParser) -> None:
    _add_asked(parser)
    parser.add_argument("--format", default="pdf,docx", help="pdf, docx, text; parted by commas (default pdf,docx)")
    parser.add_argument("--out", type=Path, required=True, metavar="DIR", help="folder of the files")
    parser.add_argument("--on", type=a_day, metavar="DATE", help="day on the sheet (default: today)")
    parser.add_argument("--replace", action="store_true", help="write over files that have other content")


def _add_record(parser: argparse.ArgumentParser) -> None:
    _add_asked(parser)
    add_signer(parser)


Act = Callable[[argparse.Namespace, World], int]

ACTIONS: Mapping[str, tuple[str, Act, Callable[[argparse.ArgumentParser], None]]] = {
    "list": ("list what is reviewed, lapsed or never reviewed", listing, _add_approvals),
    "sheet": ("make the sheet on which a reviewer reads each sentence beside its source", sheet, _add_sheet),
    "record": ("record that the words of a kind in a language have been reviewed", record, _add_record),
}
"""Name, one line of help, what it does, and the words it has."""
