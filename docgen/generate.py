"""
The flow, on one page: the files of one case > facts, checks, documents and files; or Refused with every problem found.

Clock, folders and tables come in as arguments.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import field
from datetime import date
from importlib import import_module
from pathlib import Path
from typing import Any
from zoneinfo import ZoneInfo

from docgen.blocks import Document, Image, plain
from docgen.case import Case
from docgen.drafts import desk_of, draft
from docgen.examine import Asked, CaseFiles, Examined, Wish, World, examine, passing_kinds, today_in
from docgen.kinds import HouseWords
from docgen.problem import Message, Problem, Problems, Refused, say
from docgen.render.fonts import missing_characters
from docgen.render.picture_file import picture_size
from docgen.render.png import UnusablePicture
from docgen.render.style import STYLE_FILE, Style, read_style
from docgen.values import dataclass

RENDERERS = {"pdf": "docgen.render.pdf", "docx": "docgen.render.docx", "text": "docgen.render.text"}
"""Each is loaded when it is asked for."""

LOGO_MM = 32.0

ENDINGS = {"pdf": "pdf", "docx": "docx", "text": "txt"}

PACK = "pack"
"""The form of all documents in one PDF."""


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
class Ready:
    """The documents of one case, composed and found printable."""

    seen: Examined
    style: Style
    words: HouseWords
    documents: Mapping[str, tuple[Asked, Document]]
    """By the name of their file without ending."""

    @property
    def record(self) -> str:
        """The record they are of."""
        return str(self.seen.case.value("record.id"))


def generate(files: CaseFiles, wish: Wish, world: World, today: Callable[[ZoneInfo], date]) -> Made:
    """
    Make all documents of one case in memory.

    Errors: Refused, with every problem found; one refused kind stops them all.
    """
    ready = compose_all(files, wish, world, today)
    made = Made(ready.record, left_out=dict(ready.seen.left_out), notes=ready.seen.problems.notes)
    made.documents.update({name: document for name, (_, document) in ready.documents.items()})
    for form in wish.formats:  # renderers share the model, and nothing else
        if form == PACK:
            made.files[f"{made.record}-{PACK}.pdf"] = _pack(made, ready.seen.case, ready.style)
            continue
        for name, document in made.documents.items():
            made.files[f"{name}.{ENDINGS[form]}"] = rendered(document, form, ready.style)
    return made


def compose_all(
    files: CaseFiles,
    wish: Wish,
    world: World,
    today: Callable[[ZoneInfo], date],
    gate: Callable[[Examined], None] = lambda seen: None,
) -> Ready:
    """
    Compose all documents that are asked for; `gate` may add problems of its own before anything is composed.

    Errors: Refused, with every problem found.
    """
    seen = examine(files, wish, world, today)
    if not seen.asked and not seen.problems.refusing:
        seen.problems.add(_nothing_to_make(seen))
    gate(seen)
    if seen.problems.refusing:
        raise Refused(seen.problems, {"passing": passing_kinds(seen)})
    record = str(seen.case.value("record.id"))
    documents: dict[str, tuple[Asked, Document]] = {}
    desk = desk_of(seen, world, _logo(files, seen.case))
    for one in seen.asked:  # template context -> document model; values never become markup
        drafted = draft(one, desk)
        documents[f"{record}-{one.name}"] = (one, drafted.document)
        seen.problems.extend(drafted.notes)
    seen.problems.refuse()
    _refuse_unprintable([document for _, document in documents.values()], seen)
    return Ready(seen, house_style(world), desk.words, documents)


def rendered(document: Document, form: str, style: Style, **more: Any) -> bytes:
    """Print one document as pdf, docx or text; `more` is what its renderer takes besides."""
    return bytes(import_module(RENDERERS[form]).render(document, style, **more))


def house_style(world: World) -> Style:
    """Read the shipped house style, with what the first of the clinic's own folders changes."""
    *own, shipped = (folder / "_house" for folder in world.templates.folders)
    return read_style(shipped, next((folder for folder in own if (folder / STYLE_FILE).is_file()), None))


def _pack(made: Made, case: Case, style: Style) -> bytes:
    """Print all documents as one PDF; its title names the record and the clinic, no person."""
    documents = [*made.documents.values()]
    own = str(case.value("record.language"))
    languages = [document.language for document in documents]
    return pack_rendered(documents, made.record, own if own in languages else languages[0], style)


def pack_rendered(documents: Sequence[Document], name: str, language: str, style: Style) -> bytes:
    """Print documents as one PDF, whose title is a name and the clinic; `language`: of that title."""
    title = f"{name}, {plain(documents[0].furniture.clinic)}"
    return bytes(import_module(RENDERERS["pdf"]).render_pack(documents, style, title, language))


def _logo(files: CaseFiles, case: Case) -> Image | None:
    """
    Read the clinic's logo, a PNG or JPEG beside the clinic's file.

    Errors: Refused with logo-unreadable; a name with a folder in it is never followed.
    """
    name = case.value("letterhead.logo")
    if not isinstance(name, str):
        return None
    try:
        content = (files.beside / name).read_bytes() if files.beside and Path(name).name == name else b""
    except OSError:
        content = b""
    if not _is_picture(content):
        problem = Problem(
            "logo-unreadable",
            "letterhead.logo",
            say("the logo is no PNG or JPEG beside the clinic's file"),
            say("put the picture there and write its file name alone"),
            case.place("letterhead.logo"),
        )
        raise Refused([problem])
    return Image(content, str(case.value("clinic.name")), LOGO_MM)


def _is_picture(content: bytes) -> bool:
    """Tell whether every format can show a picture: its pixels are read, not its name or its first bytes alone."""
    try:
        picture_size(content)
    except UnusablePicture:
        return False
    return True


def _nothing_to_make(seen: Examined) -> Problem:
    reasons = ", ".join(f"{name}" for name in seen.left_out)
    return Problem(
        "nothing-to-make",
        "",
        say("the moment of no kind has come (%(kinds)s)", kinds=reasons),
        say("record what starts a kind, or ask for one with --kind"),
        seen.case.start,
    )


def _refuse_unprintable(documents: Sequence[Document], seen: Examined) -> None:
    """Refuse a character no font has, in every format, with the field it stands in."""
    problems = Problems()
    for document in documents:
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


__all__ = [
    "ENDINGS",
    "CaseFiles",
    "Examined",
    "Made",
    "Ready",
    "Wish",
    "World",
    "compose_all",
    "examine",
    "generate",
    "house_style",
    "passing_kinds",
    "rendered",
    "today_in",
]
