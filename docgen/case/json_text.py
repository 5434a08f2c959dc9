"""
JSON text > tree with places, numbers by their literal text.

The standard decoder gives no places, turns 1.10 into a float and keeps the last of two equal keys.
"""

from __future__ import annotations

import re
from bisect import bisect_right
from json import JSONDecodeError
from json.decoder import scanstring  # type: ignore[attr-defined]  # not in the type stubs
from typing import NoReturn

from docgen.case.tree import Grouping, Listing, Scalar, TreeBuilder, UnreadableError
from docgen.problem import Place, say

_SPACE = re.compile(r"[ \t\n\r]*")
_NUMBER = re.compile(r"-?(?:0|[1-9][0-9]*)(?:\.[0-9]+)?(?:[eE][+-]?[0-9]+)?(?![\w.+-])")
_WORD = re.compile(r"(?:true|false|null)(?!\w)")


def read_json(text: str, name: str, builder: TreeBuilder) -> None:
    """
    Feed a JSON text to the builder.

    Errors: UnreadableError, once the reason is reported.
    """
    _JsonText(text.removeprefix("\ufeff"), name, builder).read()


class _JsonText:
    def __init__(self, text: str, name: str, builder: TreeBuilder) -> None:
        self._text = text
        self._name = name
        self._builder = builder
        self._at = 0
        self._closers: list[str] = []
        self._fresh = False
        self._line_starts = [0, *(found.end() for found in re.finditer("\n", text))]

    def read(self) -> None:
        """Read one value and nothing after it; nesting is kept in a list, so depth cannot break the stack."""
        if self._peek() == "":
            return
        self._value()
        while self._closers:
            self._member()
        if self._peek() != "":
            self._fail()

    def _place(self) -> Place:
        line = bisect_right(self._line_starts, self._at)
        return Place(self._name, line, self._at - self._line_starts[line - 1] + 1)

    def _peek(self) -> str:
        found = _SPACE.match(self._text, self._at)
        self._at = found.end() if found else self._at
        return self._text[self._at : self._at + 1]

    def _fail(self) -> NoReturn:
        self._builder.report(
            "json-broken",
            say("the file is not well-formed JSON from here on"),
            say("look at commas, quotes and brackets on this line and the one before"),
            self._place(),
            "",
        )
        raise UnreadableError

    def _member(self) -> None:
        """Read what may follow inside an open bracket: its end, or a comma and one more member."""
        closer = self._closers[-1]
        if self._peek() == closer:
            self._at += 1
            self._fresh = False
            self._closers.pop()
            self._builder.close()
            return
        if not self._fresh:
            if self._peek() != ",":
                self._fail()
            self._at += 1
        self._fresh = False
        if closer == "}":
            if self._peek() != '"':
                self._fail()
            self._string()
            if self._peek() != ":":
                self._fail()
            self._at += 1
        self._value()

    def _string(self) -> None:
        place = self._place()
        try:
            # not strict: a control character reaches its field, which refuses it by name
            text, self._at = scanstring(self._text, self._at + 1, False)
        except JSONDecodeError as error:
            self._at = min(error.pos, len(self._text))
            self._fail()
        self._builder.scalar(Scalar(text, quoted=True, place=place))

    def _value(self) -> None:
        first = self._peek()
        if first == '"':
            self._string()
        elif first and first in "{[":
            node = Grouping(self._place()) if first == "{" else Listing(self._place())
            self._builder.open(node)
            self._closers.append("}" if first == "{" else "]")
            self._at += 1
            self._fresh = True
        elif number := _NUMBER.match(self._text, self._at):
            self._builder.scalar(Scalar(number.group(), quoted=False, place=self._place()))
            self._at = number.end()
        elif word := _WORD.match(self._text, self._at):
            self._refuse_word(word.group())
            self._at = word.end()
        else:
            self._fail()

    def _refuse_word(self, word: str) -> None:
        path = self._builder.path
        self._builder.report(
            "unclear-answer" if word == "null" else "bad-value",
            say("%(path)s is answered with true, false or null", path=path),
            say("write yes, no or none, in quotes"),
            self._place(),
        )
        self._builder.skip(self._place())
