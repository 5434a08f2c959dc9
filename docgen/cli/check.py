"""`docgen check`: a case > all that is missing or wrong, and nothing made."""

from __future__ import annotations

import argparse
from importlib import import_module

from docgen.cli.inputs import add_case, exit_code, files_of, print_json, print_problems, say_error, translator, world_of
from docgen.cli.wishes import add_wish, wish_of
from docgen.examine import Examined, examine, passing_kinds, today_in
from docgen.problem import Message, Refused, say


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Describe the words of the command."""
    add_case(parser)
    add_wish(parser)


def run(arguments: argparse.Namespace) -> int:
    """Print every problem of the documents asked for."""
    world = world_of(arguments)
    translate = translator(world)
    try:
        seen = examine(files_of(arguments.case, arguments.clinic), wish_of(arguments), world, today_in)
    except Refused as refused:
        print_problems(refused.problems, translate)
        return exit_code(refused)
    if not seen.problems.refusing and _text_may_refuse(seen):
        # composing loads the template engine, so a check goes through the texts only where they can stop something
        seen.problems.extend(import_module("docgen.drafts").text_problems(seen, world))
    refusing = seen.problems.refusing
    if arguments.json:
        print_json(
            {
                "problems": [p.as_json(translate) for p in seen.problems],
                "documents": [one.label for one in seen.asked],
                "left_out": {kind: why.in_words(translate) for kind, why in seen.left_out.items()},
            }
        )
    else:
        print_problems(seen.problems, translate)
        for kind, why in seen.left_out.items() if seen.case.readable else ():
            say_error(say("left out: %(kind)s, %(why)s", kind=kind, why=why), translate)
        labels = ", ".join(dict.fromkeys(one.label for one in seen.asked)) or "-"
        passing = " ".join(f"--kind {k}" for k in passing_kinds(seen)) if refusing else ""
        if passing:
            say_error(say("these would pass alone: %(kinds)s", kinds=passing), translate)
        print(_verdict(seen, labels).in_words(translate))
    return exit_code(Refused(refusing)) if refusing else 0


def _text_may_refuse(seen: Examined) -> bool:
    """True if the clinic refuses texts that are too hard to read."""
    chosen = seen.case.settings.items()
    return any(n.startswith("readability.") and n.endswith(".severity") and s.value == "refuse" for n, s in chosen)


def _verdict(seen: Examined, labels: str) -> Message:
    """Say in one line what the problems mean for the documents."""
    number = len(seen.problems.refusing)
    if not seen.case.readable:
        return say("the record cannot be read, so nothing can be said of its documents")
    if not number:
        return say("nothing is missing for %(documents)s", documents=labels)
    if number == 1:
        return say("one problem stops %(documents)s", documents=labels)
    return say("%(number)s problems stop %(documents)s", number=number, documents=labels)
