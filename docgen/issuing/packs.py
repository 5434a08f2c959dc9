"""
Numbers > their documents as one PDF to print or hand out, each with its own number, code and page numbers.

Apart from copies, because a pack is nobody's file: it is not kept, and is set anew from the documents that are.
"""

from __future__ import annotations

from collections.abc import Sequence

from docgen.blocks import printed_number
from docgen.examine import World
from docgen.generate import house_style, pack_rendered
from docgen.issue.entry import Action, Life
from docgen.issuing.copies import life_with_content, marked
from docgen.issuing.issue import DOCUMENT, kept_files
from docgen.issuing.office import Office
from docgen.kept import from_bytes
from docgen.problem import Problem, Problems, say


def pack_of(numbers: Sequence[int], world: World, office: Office, by: str) -> tuple[str, bytes]:
    """
    Bind issued documents in the order they are named; gives the name of the file and the file. Who saw them is kept.

    Errors: Refused with number-unknown, content-erased or pack-signed; FileDamaged or FileGone.
    """
    lives = [life_with_content(number, office) for number in dict.fromkeys(numbers)]
    problems = Problems()
    for life in lives:
        if life.state is Action.SIGNED:
            problems.add(_signed(life))
    problems.refuse()
    for life in lives:
        office.register.saw(life.number, by, "files")
    return bound(lives, world, office)


def bound(lives: Sequence[Life], world: World, office: Office) -> tuple[str, bytes]:
    """
    Set the kept documents of some numbers as one PDF; those in force no more are marked so on every page.

    Errors: Refused with language-missing; FileDamaged or FileGone.
    """
    documents = []
    for life in lives:
        kept = {file.name: content for file, content in kept_files(life, office) if file.name == DOCUMENT}
        documents.append(marked(from_bytes(kept[DOCUMENT]), life, world))
    shown = [printed_number(life.number) for life in lives]
    name = "-".join(dict.fromkeys((shown[0], shown[-1])))
    return f"{name}-pack.pdf", pack_rendered(documents, ", ".join(shown), documents[0].language, house_style(world))


def _signed(life: Life) -> Problem:
    what = say(
        "number %(number)s is signed, and a signature does not survive being bound with others",
        number=printed_number(life.number),
    )
    return Problem("pack-signed", "", what, say("leave it out, and hand out its own file beside the pack"))
