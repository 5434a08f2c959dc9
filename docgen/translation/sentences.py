"""
Templates, words and the composer's own lines > every sentence a document may print, with what a translator must know.

Read from the templates as they are now, a clinic's own included, so that a catalog is compared with what would print.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import replace
from pathlib import Path
from typing import Any

from babel.messages.extract import extract_from_file
from jinja2 import nodes

from docgen import __file__ as package_file
from docgen.kinds import DocumentKind, TemplateFolders, kind_names, read_kind
from docgen.kinds.template import BodyEnvironment, bare_environment
from docgen.kinds.texts import read_texts
from docgen.language import Key, kinds_of
from docgen.problem import Problems
from docgen.translation.template_words import expression
from docgen.values import dataclass

PACKAGE = Path(package_file).parent
SPOKEN_BY_PROGRAM = ("compose", "language")
"""Rooms whose `text("…")` prints on a page; messages to users (`say`) are another catalog's matter."""

PATIENT, STAFF = "patient", "staff"
BOTH = frozenset({PATIENT, STAFF})


@dataclass(frozen=True)
class Sentence:
    """One entry of a catalog, before it is translated."""

    context: str | None
    forms: tuple[str, ...]
    """The sentence; of a plural the form for one and the form for more."""
    notes: tuple[str, ...]
    places: tuple[str, ...]
    """Files it stands in, from `templates` or `docgen` on."""
    voices: frozenset[str] = BOTH
    """Who hears it: patient, staff or both."""
    element: str = ""
    """Element (block) of the template it first stands in, or the template's name; empty outside the templates."""

    @property
    def key(self) -> Key:
        """Give the key of its entry."""
        return self.context, self.forms[0]

    @property
    def kinds(self) -> frozenset[str]:
        """Kinds it belongs to; none means all."""
        return kinds_of(self.places)

    def is_needed(self, kinds: Iterable[DocumentKind]) -> bool:
        """True if a language that is whole for some kinds must have it."""
        return any((not self.kinds or one.name in self.kinds) and one.audience in self.voices for one in kinds)


def all_sentences(folders: TemplateFolders) -> tuple[Sentence, ...]:
    """Gather every sentence, each once, in the order of the pages: kinds, then words of codes, then the program's."""
    found: dict[Key, Sentence] = {}
    for sentence in (*_of_kinds(folders), *_of_words(folders), *_of_program()):
        known = found.get(sentence.key)
        found[sentence.key] = _joined(known, sentence) if known else sentence
    return tuple(found.values())


def _joined(one: Sentence, other: Sentence) -> Sentence:
    return replace(
        one,
        forms=max(one.forms, other.forms, key=len),
        notes=tuple(dict.fromkeys((*one.notes, *other.notes))),
        places=tuple(dict.fromkeys((*one.places, *other.places))),
        voices=one.voices | other.voices,
    )


def _of_kinds(folders: TemplateFolders) -> Iterator[Sentence]:
    for name in kind_names(folders):
        if (kind := read_kind(name, folders, Problems())) is not None:
            yield from sentences_of(kind, folders)


def sentences_of(kind: DocumentKind, folders: TemplateFolders) -> Iterator[Sentence]:
    """Give the sentences of a kind's own files in the order of the page; one that stands twice is given twice."""
    environment = bare_environment(folders.folders, {})
    yield from _of_declaration(kind, folders)
    for file in _bodies(kind.name, folders):
        yield from _of_body(kind, file, environment)


def _bodies(name: str, folders: TemplateFolders) -> Iterator[Path]:
    """Give the templates of a kind, the body first; those of the shipped kind too, as a clinic's may build on them."""
    for folder in folders.folders:
        yield from sorted((folder / name).glob("*.j2"), key=lambda file: (not file.name.startswith("body"), file.name))


def _of_declaration(kind: DocumentKind, folders: TemplateFolders) -> Iterator[Sentence]:
    place = (f"templates/{kind.name}/kind.yaml",)
    yield Sentence(None, (kind.title,), ("title of a kind of document",), place)
    if kind.foot_caution:
        yield Sentence(None, (kind.foot_caution,), ("stands at the foot of each page",), place)
    file = folders.find(kind.name, "kind.yaml")
    described: Any = read_texts(file.read_bytes()) if file else {}
    for own in (described.get("fields") or {}).values():
        yield Sentence(None, (own["label"],), ("label of a field",), place)


def _of_body(kind: DocumentKind, file: Path, environment: BodyEnvironment) -> Iterator[Sentence]:
    place = f"templates/{kind.name}/{file.name}"
    tree = environment.parse(file.read_text("utf-8"))
    for element, call in _calls(tree, ""):
        said = [node.value for node in call.args if isinstance(node, nodes.Const)]
        values = [f"{one.key} = {expression(one.value)}" for one in call.kwargs]
        part = element or file.name.partition(".")[0]
        where = f"{kind.name}, {part}; {_voice(kind, part)}"
        context = said.pop(0) if _name(call) == "pgettext" else None
        forms = tuple(said[:2] if _name(call) == "ngettext" else said[:1])
        yield Sentence(context, forms, (where, *values), (place,), element=part)


def _voice(kind: DocumentKind, element: str) -> str:
    staff = kind.audience == STAFF or element in kind.staff_sections
    return "staff: terms of the profession" if staff else "patient: short plain words"


def _calls(node: nodes.Node, element: str) -> Iterator[tuple[str, nodes.Call]]:
    """Give each call of a sentence with the element (block) around it."""
    for child in node.iter_child_nodes():
        inside = child.name if isinstance(child, nodes.Block) else element
        if isinstance(child, nodes.Call) and _name(child) in ("_", "ngettext", "pgettext"):
            yield element, child
        yield from _calls(child, inside)


def _name(call: nodes.Call) -> str:
    return call.node.name if isinstance(call.node, nodes.Name) else ""


def _of_words(folders: TemplateFolders) -> Iterator[Sentence]:
    """Give the words of the codes, the shipped ones and the clinic's."""
    for folder in folders.folders:
        file = folder / "_house" / "words.yaml"
        groups: dict[str, Any] = read_texts(file.read_bytes()) if file.is_file() else {}
        for group, codes in groups.items():
            for code, said in codes.items():
                for voice, words in {"": said}.items() if isinstance(said, str) else said.items():
                    if words:
                        yield _word(group, code, voice, words)


def _word(group: str, code: str, voice: str, words: str) -> Sentence:
    note = f"{group}: {code}{f', for {voice}' if voice else ''}; part of a sentence, small letters"
    return Sentence(group, (words,), (note,), ("templates/_house/words.yaml",), frozenset({voice}) if voice else BOTH)


def _of_program() -> Iterator[Sentence]:
    for room in SPOKEN_BY_PROGRAM:
        for file in sorted((PACKAGE / room).glob("*.py")):
            found = extract_from_file("python", file, keywords={"text": None}, comment_tags=("NOTE:",))
            for _line, said, comments, _context in found:
                if isinstance(said, str) and said:
                    place = f"docgen/{room}/{file.name}"
                    notes = tuple(comment.removeprefix("NOTE: ") for comment in comments)
                    yield Sentence(None, (said,), notes or (f"written by the program ({file.stem})",), (place,))
