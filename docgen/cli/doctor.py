"""`docgen doctor`: an installation > what is wrong with it, and how to mend it."""

from __future__ import annotations

import argparse
from collections.abc import Iterable, Iterator
from datetime import datetime
from pathlib import Path

from docgen.cli.clock import utc_now
from docgen.cli.opened import Opened, add_places, opened, places_of
from docgen.cli.told import print_json, print_problems, say_error
from docgen.issue.folders import Places
from docgen.issue.health import (
    check_clock,
    check_disk,
    check_files,
    check_folder,
    check_key_change,
    check_register,
    check_rests,
    check_waiting,
    clean,
    clean_rests,
)
from docgen.issue.installed import check_bytecode, check_extras, check_python
from docgen.issue.unavailable import Unavailable
from docgen.problem import Problem, Problems, Severity, say
from docgen.render.fonts.whole import damaged_in_cache, unusable_families
from docgen.values import dataclass

PACKAGE = Path(__file__).resolve().parent.parent


@dataclass(frozen=True)
class Count:
    """What was looked at."""

    entries: int = 0
    files: int = 0
    cleaned: int = 0


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Describe the words of the command."""
    parser.add_argument(
        "--clean", action="store_true", help="delete unfinished files, erased ones, and those no number names"
    )
    add_places(parser)


def run(arguments: argparse.Namespace) -> int:
    """Look at everything; exit 4 if register or files are not as they were written, 6 if they cannot be used."""
    problems, damaged, count = Problems(), Problems(), Count()
    problems.extend([*check_python(), *check_extras(), *check_bytecode(PACKAGE), *_fonts()])
    now, places = utc_now(), None
    try:
        places = places_of(arguments)
        problems.extend([*check_folder(places), *check_disk(places.folder), *check_rests(places, now)])
        problems.extend(check_key_change(places))
        with opened(arguments, utc_now, begin=False) as kept:
            count = _look(kept, now, problems, damaged, with_clean=arguments.clean)
    except Unavailable as error:
        problems.extend(_unopened(error, places))
    _tell(arguments, (*problems, *damaged), count)
    return 4 if damaged.refusing else 6 if problems.refusing else 0


def _unopened(error: Unavailable, places: Places | None) -> Iterator[Problem]:
    """Say why nothing could be looked at; that nothing was begun yet is no fault, that only the register is gone is."""
    if error.problem.code != "register-none":
        yield error.problem
    elif places and places.is_begun:
        yield Problem(
            "register-lost",
            "",
            say("there are kept files in %(folder)s, and no register that names them", folder=str(places.folder)),
            say("name the register with --register, or restore a backup into an empty folder: docgen restore"),
        )


def _look(kept: Opened, now: datetime, problems: Problems, damaged: Problems, *, with_clean: bool) -> Count:
    """Look at register and store; clean up only where the register is sound, for otherwise it names too little."""
    damaged.extend(check_register(kept.register))
    sound = not damaged
    problems.extend([*check_clock(kept.register, now), *check_waiting(kept.register, now)])
    found = check_files(kept.register, kept.store, now)
    cleaned = 0
    if with_clean and sound:
        cleaned = clean(found, kept.store, now) + clean_rests(kept.places, now)
        found = check_files(kept.register, kept.store, now)
    for problem in found.problems:
        (damaged if problem.severity is Severity.REFUSE else problems).add(problem)
    return Count(kept.register.head()[0], found.files, cleaned)


def _fonts() -> Iterator[Problem]:
    for family, package in unusable_families():
        yield Problem(
            "font-unusable",
            package,
            say("the font %(family)s is missing or is not the one docgen is tested with", family=family),
            say("pip install --force-reinstall the package %(package)s", package=package),
        )
    for path in damaged_in_cache():
        yield Problem(
            "font-cache-damaged",
            str(path),
            say("%(path)s is damaged; it is made anew at each start, which is slow", path=str(path)),
            say("rm %(path)s", path=str(path)),
            severity=Severity.NOTE,
        )


def _tell(arguments: argparse.Namespace, found: Iterable[Problem], count: Count) -> None:
    problems = tuple(found)
    if arguments.json:
        print_json(
            {
                "problems": [problem.as_json() for problem in problems],
                "entries": count.entries,
                "files": count.files,
                "cleaned": count.cleaned,
            }
        )
        return
    print_problems(problems)
    if count.cleaned:
        say_error(say("%(count)s files were deleted", count=count.cleaned))
    wrong = any(problem.severity is Severity.REFUSE for problem in problems)
    state = say("see above") if wrong else say("nothing is wrong")
    print(say("%(state)s: %(entries)s entries, %(files)s files opened", state=state, entries=count.entries,
              files=count.files).in_words())  # fmt: skip
