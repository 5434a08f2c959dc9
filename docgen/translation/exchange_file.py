"""
The bytes of an exchange file > its elements, read by a parser that follows nothing out of the file.

A document type is refused before its first entity is read: no entity expands, nothing is fetched. Size and depth have
a limit.
"""

from __future__ import annotations

from dataclasses import field
from xml.parsers.expat import ExpatError, ParserCreate, errors

from docgen.problem import Message, Place, Problem, Refused, say
from docgen.values import dataclass

NAMESPACE = "urn:oasis:names:tc:xliff:document:2.0"
LARGEST = 32 * 2**20
"""Bytes of the largest file that is read."""
DEEPEST = 64
"""Elements inside elements."""


@dataclass
class Element:
    """One element; those of XLIFF have their plain name, others their namespace before it."""

    name: str
    attributes: dict[str, str]
    line: int
    content: list[Element | str] = field(default_factory=list)

    def all(self, *names: str) -> list[Element]:
        """Give the elements directly inside that have one of the names."""
        return [one for one in self.content if isinstance(one, Element) and one.name in names]

    @property
    def text(self) -> str:
        """Give the text directly inside."""
        return "".join(one for one in self.content if isinstance(one, str))


class _Stopped(Exception):
    def __init__(self, why: Message) -> None:
        self.why = why


def read_elements(content: bytes, file: str) -> Element:
    """
    Read the root element.

    Errors: Refused with file-unreadable: no XML, a document type in it, too large or too deep.
    """
    parser = ParserCreate(namespace_separator=" ")
    parser.buffer_text = True
    root = Element("", {}, 1)
    open_elements = [root]

    def start(name: str, attributes: dict[str, str]) -> None:
        if len(open_elements) > DEEPEST:
            raise _Stopped(say("elements lie too deep in one another"))
        one = Element(name.removeprefix(f"{NAMESPACE} "), attributes, parser.CurrentLineNumber)
        open_elements[-1].content.append(one)
        open_elements.append(one)

    def stop(*_: object) -> None:
        raise _Stopped(say("a document type (DTD) is not read, because entities can hide anything"))

    parser.StartElementHandler = start
    parser.EndElementHandler = lambda _: open_elements.pop()
    parser.CharacterDataHandler = lambda text: open_elements[-1].content.append(text)
    parser.StartDoctypeDeclHandler = stop
    parser.EntityDeclHandler = stop
    try:
        if len(content) > LARGEST:
            raise _Stopped(say("it has over %(number)s megabytes", number=LARGEST // 2**20))
        parser.Parse(content, True)
    except _Stopped as stopped:
        raise unreadable(file, stopped.why, parser.CurrentLineNumber) from None
    except ExpatError as error:
        why = say("it is no XML: %(why)s", why=errors.messages.get(error.code, ""))
        raise unreadable(file, why, error.lineno) from None
    return root.all(*(one.name for one in root.content if isinstance(one, Element)))[0]


def unreadable(file: str, why: Message, line: int = 1) -> Refused:
    """Say why the whole file is not read."""
    what = say("%(file)s is no exchange file that can be read: %(why)s", file=file, why=why)
    fix = say("write it again with docgen translate export, or let the tool save it as XLIFF 2.0")
    return Refused([Problem("file-unreadable", "", what, fix, Place(file, line, 1))])
