"""A kind and an opened case > the Document, or the fault of a template with its line."""

from __future__ import annotations

import contextlib
import os
import traceback
from collections.abc import Mapping
from functools import lru_cache
from pathlib import Path
from typing import Any

from jinja2.bccache import Bucket, FileSystemBytecodeCache
from jinja2.exceptions import SecurityError, TemplateError, TemplateSyntaxError, UndefinedError

from docgen.blocks import Document, Layout, Span, Words
from docgen.case import setting_specs
from docgen.compose.aside import language_line
from docgen.compose.drawn import drawings
from docgen.compose.filters import FILTERS
from docgen.compose.furniture import Edition, furnish, translation_line
from docgen.compose.late import Yardstick, settle
from docgen.compose.looks import looks
from docgen.compose.markup import MarkupFault, read_sections
from docgen.compose.runs import in_runs
from docgen.compose.specials import sentences, specials
from docgen.compose.tokens import Placed, Sentence
from docgen.compose.view import TESTS, FactsView, NamedValue, Opened, OriginView, TemplateFault, View
from docgen.facts import Known, Result
from docgen.kinds import DocumentKind
from docgen.kinds.lint import OWN, roots
from docgen.kinds.template import MARKING, BodyEnvironment, bare_environment
from docgen.problem import Place, Problem, Refused, say
from docgen.readability import Measured
from docgen.values import dataclass


def finalize(value: Any) -> str:
    """Let only values, sentences and placed blocks through to the page."""
    if isinstance(value, View | Sentence | Placed):
        return str(value)
    raise TemplateFault(f"a template prints a {type(value).__name__}, which is neither a value nor a sentence")


class CompiledBodies(FileSystemBytecodeCache):
    """Keeps compiled bodies by the digest of their text; a full disk or a closed folder only costs time."""

    def dump_bytecode(self, bucket: Bucket) -> None:
        """Keep one body if the disk allows."""
        with contextlib.suppress(OSError):
            super().dump_bytecode(bucket)


def compiled_bodies() -> CompiledBodies | None:
    """Open the cache of compiled bodies; None if its folder cannot be made."""
    home = Path(os.environ.get("XDG_CACHE_HOME") or Path.home() / ".cache")
    folder = home / "docgen" / f"bodies-{MARKING}"
    try:
        folder.mkdir(parents=True, exist_ok=True, mode=0o700)
    except OSError:
        return None
    return CompiledBodies(str(folder))


@lru_cache(maxsize=8)
def body_environment(folders: tuple[Path, ...]) -> BodyEnvironment:
    """Make the environment for bodies, once for each list of folders."""
    environment = bare_environment(folders, FILTERS)
    environment.tests.update(TESTS)
    environment.finalize = finalize
    environment.globals.clear()
    environment.bytecode_cache = compiled_bodies()
    return environment


@dataclass(frozen=True)
class Composing:
    """What compose needs beside the opened case."""

    kind: DocumentKind
    folders: tuple[Path, ...]
    edition: Edition
    yardstick: Yardstick
    aside: str = ""
    """Why the document is not in its reader's language: a name of ASIDES; empty if it is."""


@dataclass(frozen=True)
class Composed:
    """A document with what was counted on it."""

    document: Document
    late: Mapping[str, Result]
    """The late facts, by name."""
    measured: Measured | None
    translation: tuple[Words, ...]
    """Lines of its foot that say whether its translation is reviewed."""


def compose(composing: Composing, opened: Opened) -> Composed:
    """
    Compose one document.

    Errors: Refused with template-broken or template-fault, if a template is at fault.
    """
    kind = composing.kind
    environment = body_environment(composing.folders)
    opened.late = composing.yardstick.promise()
    title = (Span(opened.language.text(kind.title)),)
    try:
        text = environment.get_template(kind.body).render(_context(composing, opened))
        sections = read_sections(text, opened.tokens)
        sections, late, measured = settle(title, sections, kind, opened, composing.yardstick)
    except (TemplateFault, MarkupFault, TemplateError, SecurityError) as error:
        raise Refused([_fault(kind, error)]) from error
    sections = (*language_line(composing.aside, opened), *sections)
    if opened.language.direction == "rtl":
        sections = in_runs(sections)
    large = opened.stated.get("large_print_wanted")
    document = Document(
        title=title,
        language=opened.language.name,
        direction=opened.language.direction,
        sections=sections,
        furniture=furnish(kind, opened, composing.edition),
        origin=composing.edition.origin(kind, opened),
        layout=Layout(
            large_print=kind.audience == "patient" and isinstance(large, Known) and large.value is True,
            voice=kind.audience,
        ),
    )
    return Composed(document, late, measured, translation_line(kind, opened))


def _context(composing: Composing, opened: Opened) -> dict[str, Any]:
    case = {name: View(opened, opened.case.value(name), name, name) for name in sorted(roots() - {"settings", OWN})}
    case[OWN] = View(opened, own_fields(opened), OWN, OWN)
    case["settings"] = View(opened, clinic_settings(opened), "settings", "settings")
    origin = OriginView(composing.edition.numbers, tuple(NamedValue(*one) for one in composing.edition.settings))
    case["origin"] = View(opened, origin, "", "origin")
    calls = {**sentences(opened), **specials(opened), **drawings(opened), **looks(opened)}
    return {**case, "facts": FactsView(opened), **calls}


def own_fields(opened: Opened) -> dict[str, dict[str, object]]:
    """Group the fields clinics added by their kind."""
    found: dict[str, dict[str, object]] = {}
    for path, value in opened.case.own.items():
        _, kind, name = path.split(".", 2)
        found.setdefault(kind, {})[name] = value
    return found


def clinic_settings(opened: Opened) -> dict[str, dict[str, object]]:
    """Group the settings of the clinic, defaults included, by the first part of their name."""
    found: dict[str, dict[str, object]] = {}
    for name in setting_specs():
        group, _, rest = name.partition(".")
        if "." not in rest and "<" not in name:
            found.setdefault(group, {})[rest] = opened.case.setting(name)
    return found


def _fault(kind: DocumentKind, error: Exception) -> Problem:
    """Name the template and line an error came from."""
    file, line = f"templates/{kind.body}", 1
    if isinstance(error, TemplateSyntaxError):
        file, line = f"templates/{error.name or kind.body}", error.lineno
    else:
        for frame in traceback.extract_tb(error.__traceback__):
            if frame.filename.endswith(".j2"):
                file, line = f"templates/{'/'.join(Path(frame.filename).parts[-2:])}", frame.lineno or 1
    why = str(error) if isinstance(error, TemplateFault | TemplateError | MarkupFault | UndefinedError) else ""
    return Problem(
        "template-fault",
        "",
        say("the template cannot be filled: %(why)s", why=why.replace("%", "%%")),
        say("mend the template at this line, or put back the shipped one"),
        Place(file, line, 1),
    )
