"""
A number > its files out of the store; of a document that is in force no more, a copy that says so on every page.

The kept file itself is never changed: the marked copy is set again from the composed document.
"""

from __future__ import annotations

from zoneinfo import ZoneInfo

from docgen.blocks import Document, printed_number
from docgen.compose.issued import spoken, superseded, withdrawn
from docgen.examine import World
from docgen.exchange import BUNDLE_NAME, CASE_NAME, Registered
from docgen.exchange.bundle import restated
from docgen.generate import ENDINGS, house_style, rendered
from docgen.issue.entry import Action, Life
from docgen.issue.refusals import unknown_number
from docgen.issuing.issue import DOCUMENT, ZONE, kept_files, shown_files
from docgen.issuing.office import Issued, Office
from docgen.kept import from_bytes
from docgen.language import Language, read_language
from docgen.problem import Problem, Problems, Refused, say

MARKED = (Action.SUPERSEDED, Action.WITHDRAWN)


def copy_of(number: int, world: World, office: Office, by: str, *, exchange: bool = False) -> Issued:
    """
    Give the files of a number, as they left the clinic or with the mark of what became of them; who saw them is kept.

    `exchange`: its data too, the case it used and its FHIR bundle as it is to be told today.

    Errors: Refused with number-unknown or content-erased; FileDamaged or FileGone, if the store lost them.
    """
    life = life_with_content(number, office)
    office.register.saw(number, by, "files")
    kept = {file.name: content for file, content in kept_files(life, office)}
    if life.state in MARKED:
        document, style = marked(from_bytes(kept[DOCUMENT]), life, world), house_style(world)
        kept |= {form: rendered(document, form, style) for form in ENDINGS if form in kept}
    shown = shown_files(life, kept)
    if BUNDLE_NAME in kept and life.state in MARKED:
        kept[BUNDLE_NAME] = _bundle(kept[BUNDLE_NAME], life, office)
    for name in (CASE_NAME, BUNDLE_NAME) if exchange else ():
        if name in kept:
            shown[f"{printed_number(number)}-{name}"] = kept[name]
    return Issued(life, shown, again=True)


def life_with_content(number: int, office: Office) -> Life:
    """Find a document that was made and is still kept. Errors: Refused with number-unknown or content-erased."""
    life = office.register.life(number)
    if life is None or not life.files:
        raise unknown_number(number)
    if life.erased:
        raise Refused([_erased(number)])
    return life


def marked(document: Document, life: Life, world: World) -> Document:
    """
    Add the mark of the last entry that took a document out of force, if any did.

    Errors: Refused with language-missing.
    """
    if life.state not in MARKED:
        return document
    languages = languages_of(document, world)
    last = next(entry for entry in reversed(life.entries) if entry.action in MARKED)
    if last.action is Action.SUPERSEDED and last.successor is not None:
        return superseded(document, last.successor, languages)
    return withdrawn(document, last.at.astimezone(_zone(life)).date(), languages)


def _zone(life: Life) -> ZoneInfo:
    """Find the clinic's time zone, which the entry that issued the document names."""
    named = next((dict(entry.note)[ZONE] for entry in life.entries if ZONE in dict(entry.note)), "UTC")
    return ZoneInfo(named)


def _bundle(content: bytes, life: Life, office: Office) -> bytes:
    """State the kept bundle again, with what became of the document since."""
    last = life.entries[-1]
    register = office.register.identity.register
    return restated(content, Registered(register, life.number, last.at, state=life.state.value, reason=last.reason))


def languages_of(document: Document, world: World) -> list[Language]:
    """
    Read the languages a document is written in.

    Errors: Refused with language-missing.
    """
    problems = Problems()
    found = [read_language(name, world.locales, problems) for name in spoken(document)]
    problems.refuse()
    return [language for language in found if language is not None]


def _erased(number: int) -> Problem:
    what = say(
        "the content of number %(number)s was erased; its number and digests are all there is",
        number=printed_number(number),
    )
    return Problem("content-erased", "", what, say("see docgen register show %(number)s", number=number))
