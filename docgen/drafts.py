"""
A document that was asked for > the composed Document, with the notes that only its finished text can give.

Apart from making files, so that lint and a check can count a text without a typesetter.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from babel import Locale

from docgen.blocks import Document, Image
from docgen.case import Case
from docgen.compose import Composed, Composing, Edition, Opened, choose_yardstick, compose, pair, unread_texts
from docgen.compose.late import PACE, setting_names
from docgen.compose.show import show
from docgen.examine import Asked, Examined, World
from docgen.kinds import HouseWords, read_words
from docgen.language import SOURCE_LANGUAGE, name_of
from docgen.problem import Message, Problem, Problems, Refused, Severity, say
from docgen.readability import AT_MOST, Measured
from docgen.values import dataclass

INDEX_NAMES: Mapping[str, Message] = {
    "flesch_kincaid": say("Flesch-Kincaid grade"),
    "szigriszt_pazos": say("Szigriszt-Pazos index"),
    "gulpease": say("Gulpease index"),
    "amstad": say("Amstad index"),
    "fog_pl": say("FOG-PL index"),
    "kandel_moles": say("Kandel-Moles index"),
    "martins": say("Martins index"),
    "oborneva": say("Oborneva index"),
}
"""How messages name the rows of the table of indices."""


@dataclass(frozen=True)
class Desk:
    """What all documents of one case are composed with."""

    seen: Examined
    world: World
    words: HouseWords
    logo: Image | None = None


@dataclass(frozen=True)
class Draft:
    """One composed document."""

    document: Document
    measured: Measured | None
    """Of the reader's text; None where its language has no validated index, or staff is the reader."""
    notes: tuple[Problem, ...]


def desk_of(seen: Examined, world: World, logo: Image | None = None) -> Desk:
    """Set out what all documents of a case share."""
    return Desk(seen, world, read_words(world.templates.folders), logo)


def draft(one: Asked, desk: Desk) -> Draft:
    """
    Compose one document; in two languages, if its reader's is not the record's and the kind wants pairs.

    Errors: Refused with template faults, language-missing, figures-differ or catalog-shape.
    """
    composed = _composed(one, desk)
    document = composed.document
    if one.below:
        below = _composed(_in_second_language(one, desk), desk)
        mine, theirs = desk.seen.languages[one.request.language], desk.seen.languages[one.below]
        locales = (mine.locale, theirs.locale)
        document = pair(document, below.document, locales, one.kind.staff_sections, one.label, below.translation)
        composed = below
    note = readability_problem(one, composed.measured, desk.seen.case)
    unread = _unread(one, composed.document, desk.seen.case)
    return Draft(document, composed.measured, (*((note,) if note else ()), *unread))


def text_problems(seen: Examined, world: World) -> tuple[Problem, ...]:
    """Compose the patients' texts of a case and give what only they can show."""
    desk, problems = desk_of(seen, world), Problems()
    for one in seen.asked:
        if one.kind.audience == "patient":
            try:
                problems.extend(draft(one, desk).notes)
            except Refused as refused:
                problems.extend(refused.problems)
    return tuple(problems)


def _in_second_language(one: Asked, desk: Desk) -> Asked:
    """Ask for the text as its reader gets it: in the reader's language, without what is for staff."""
    copy = "patient" if "patient" in one.kind.copies else one.request.copy
    request = replace(one.request, language=one.below, copy=copy)
    return replace(one, request=request, stated=desk.seen.facts.state(request), below="")


def _composed(one: Asked, desk: Desk) -> Composed:
    seen, world = desk.seen, desk.world
    language = seen.languages[one.request.language]
    editions = tuple(f"{name} {edition}" for name, edition in sorted(world.tables.editions.items()))
    edition = Edition(world.program, editions, settings_used(one, seen.case), desk.logo)
    opened = Opened(seen.case, one.stated.results, one.request, language, desk.words, one.kind.audience, show)
    opened.clinics_language = seen.languages.get(str(seen.case.value("record.language")))
    yardstick = choose_yardstick(one.kind, language, seen.case, world.tables)
    spoken = [one for one in (language, opened.clinics_language) if one is not None]
    for one_language in spoken:
        one_language.missing.clear()
    composed = compose(Composing(one.kind, world.templates.folders, edition, yardstick, one.aside), opened)
    if missing := tuple(dict.fromkeys(msgid for one_language in spoken for msgid in one_language.missing)):
        raise Refused([_untranslated(one, missing)])
    return composed


def settings_used(one: Asked, case: Case) -> tuple[tuple[str, str], ...]:
    """Give the settings that the facts looked at and those the text itself prints, with their values."""
    named = {p.removeprefix("settings.") for r in one.kind.requires for p in r.fields if p.startswith("settings.")}
    if "reading_minutes" in one.kind.facts:
        named.add(PACE)
    if "readability" in one.kind.facts:
        named |= set(setting_names(one.kind.name, one.below or one.request.language).values()) & set(case.settings)
    printed = {(name, str(case.setting(name))) for name in named}
    return tuple(sorted({*one.stated.used_settings, *printed}))


def readability_problem(one: Asked, measured: Measured | None, case: Case) -> Problem | None:
    """Say that a text is harder to read than its target, and which sentences make it so; values are blanked."""
    if measured is None or measured.is_met:
        return None
    names = setting_names(one.kind.name, one.below or one.request.language)
    refuses = case.setting(names["severity"]) == Severity.REFUSE.value
    shown = [sentence.masked if any(c.isalpha() for c in sentence.masked) else ", ".join(sentence.paths)
             for sentence in measured.hardest]  # fmt: skip
    return Problem(
        "readability-low",
        f"settings.{names['target']}",
        say_measured(one.label, measured),
        say("shorten these sentences: %(sentences)s", sentences=" | ".join(shown)),
        needed_by=(one.label,),
        severity=Severity.REFUSE if refuses else Severity.NOTE,
    )


def say_measured(label: str, measured: Measured) -> Message:
    """Say how hard a text is to read, and what was wanted."""
    index = measured.index
    shown = {
        "document": label,
        "index": INDEX_NAMES[index.name],
        "value": index.printed(measured.value),
        "target": index.printed(measured.target),
    }
    if index.wanted == AT_MOST:
        return say("%(document)s: %(index)s %(value)s, wanted is %(target)s at most", **shown)
    return say("%(document)s: %(index)s %(value)s, wanted is %(target)s at least", **shown)


def _unread(one: Asked, document: Document, case: Case) -> tuple[Problem, ...]:
    """Say once which free texts stand in the clinic's language where the reader reads another."""
    paths = unread_texts(document, one.kind.staff_sections) if one.kind.audience == "patient" else ()
    if not paths:
        return ()
    named = [f"{path} ({place.line})" if (place := case.place(path)) else path for path in paths]
    what = say(
        "%(number)s free texts of %(document)s are typed in the clinic's language, and its reader reads %(language)s:"
        " %(paths)s (with their lines)",
        number=len(paths),
        document=one.label,
        language=name_of(document.language, Locale(SOURCE_LANGUAGE)),
        paths=", ".join(named),
    )
    fix = say("go through them with the reader and the interpreter, or say it by the fields that docgen translates")
    place = case.place(paths[0])
    return (Problem("text-unread", paths[0], what, fix, place, needed_by=(one.label,), severity=Severity.NOTE),)


def _untranslated(one: Asked, sentences: tuple[str, ...]) -> Problem:
    """Name the sentences that have no translation, the first ones in full; they are the template's, never a value."""
    named = " | ".join(sentences[:NAMED]) + (" | …" if len(sentences) > NAMED else "")
    return Problem(
        "language-missing",
        "",
        say("%(number)s sentences of %(document)s have no translation", number=len(sentences), document=one.label),
        say(
            "complete the catalog, or choose another language with --language; to translate: %(sentences)s",
            sentences=named,
        ),
        needed_by=(one.label,),
    )


NAMED = 20
"""Sentences named in one message."""
