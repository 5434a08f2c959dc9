"""The calls of a template: sentences, and blocks that Markdown cannot write."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any

from docgen.blocks import (
    Block,
    Caution,
    Choice,
    Danger,
    Note,
    PageBreak,
    Pairs,
    Paragraph,
    Signature,
    Together,
    Words,
    Writing,
)
from docgen.compose.markup import read_blocks
from docgen.compose.tokens import VOICE_START, Placed, Sentence, Slot
from docgen.compose.view import LateValue, Opened, TemplateFault, View

Shown = Sentence | View


def _checked(value: Any) -> str:
    if not isinstance(value, Sentence | View):
        raise TemplateFault('a call or sentence was given a bare text or number; pass a value or _("...")')
    return str(value)


def sentences(opened: Opened) -> dict[str, Callable[..., Sentence]]:
    """Give the three ways to write a sentence: _, ngettext and pgettext."""

    def filled(text: str, values: dict[str, Any]) -> Sentence:
        return Sentence(text % {name: _checked(value) for name, value in values.items()} if values else text)

    def gettext(msgid: str, **values: Any) -> Sentence:
        return filled(opened.language.text(msgid), values)

    def pgettext(context: str, msgid: str, **values: Any) -> Sentence:
        return filled(opened.language.text(msgid, context), values)

    def ngettext(one: str, many: str, number: View, **values: Any) -> Sentence:
        count = number._raw
        if isinstance(count, LateValue):
            return _late_plural(one, many, count, values)
        if not isinstance(count, int):
            raise TemplateFault("a plural needs a whole number")
        return filled(opened.language.plural(one, many, count), values)

    def _late_plural(one: str, many: str, count: LateValue, values: dict[str, Any]) -> Sentence:
        """Keep both forms of a sentence until its number is counted."""
        if any(not isinstance(value, View) or value._raw != count for value in values.values()):
            raise TemplateFault("a sentence that waits for a late number holds no other value")
        slot = Slot("", late=count.name, forms=(one, many), placeholders=tuple(values))
        return Sentence(opened.tokens.keep_span(slot))

    return {"_": gettext, "pgettext": pgettext, "ngettext": ngettext}


class Placing:
    """The calls that place a block; each gives the token that stands for it."""

    def __init__(self, opened: Opened) -> None:
        self._opened, self._tokens = opened, opened.tokens

    def _words(self, value: Any) -> Words:
        if value is None:
            return ()
        blocks = read_blocks(_checked(value), self._tokens)
        if len(blocks) == 1 and isinstance(blocks[0], Paragraph):
            return blocks[0].words
        raise TemplateFault("a label or name must be one line of words")

    def _inside(self, caller: Callable[[], str]) -> tuple[Block, ...]:
        return read_blocks(str(caller()), self._tokens)

    def pairs(self, *rows: Sequence[Any]) -> Placed:
        """Place labels with their values."""
        return self._tokens.keep_block(Pairs(tuple((self._words(label), self._words(value)) for label, value in rows)))

    def signature(self, statement: Any, role: Any, name: Any, details: Any = None, moment: Any = None) -> Placed:
        """Place a line to sign on."""
        text = self._opened.language.text
        labels = (self._words(Sentence(text("Signature"))), self._words(Sentence(text("Date and time"))))
        said, who = self._words(statement), self._words(role)
        filled = Signature(said, who, self._words(name), self._words(details), self._words(moment), labels)
        return self._tokens.keep_block(filled)

    def choice(self, label: Any, *options: Any, chosen: int | None = None) -> Placed:
        """Place boxes to tick."""
        return self._tokens.keep_block(Choice(self._words(label), tuple(self._words(o) for o in options), chosen))

    def ticked(self, label: Any, *rows: Any) -> Placed:
        """Place a list the program has gone through, every box ticked."""
        rows_in_words = tuple(self._words(row) for row in rows)
        return self._tokens.keep_block(Choice(self._words(label), rows_in_words, complete=True))

    def writing(self, label: Any, lines: int = 1, more: int = 0) -> Placed:
        """Place empty lines for the pen; with no lines, one beside the label and more below it."""
        return self._tokens.keep_block(Writing(self._words(label), lines, more))

    def danger(self, title: Any, caller: Callable[[], str]) -> Placed:
        """Place the danger box around what the call encloses."""
        return self._tokens.keep_block(Danger(self._words(title), self._inside(caller)))

    def together(self, caller: Callable[[], str], framed: bool = False) -> Placed:
        """Keep on one page what the call encloses; `framed`, in a frame, what somebody else fills in."""
        return self._tokens.keep_block(Together(self._inside(caller), framed))

    def note(self, text: Any) -> Placed:
        """Place a quiet remark."""
        return self._tokens.keep_block(Note(self._words(text)))

    def caution(self, text: Any, says_so: bool = False) -> Placed:
        """Place a caution to staff; it begins with that word, unless the text says how severe it is."""
        if not says_so:
            text = Sentence(self._opened.language.text("**Caution:** %(text)s") % {"text": _checked(text)})
        return self._tokens.keep_block(Caution(self._words(text)))

    def framed(self, text: Any) -> Placed:
        """Place what is soon to be done, in a frame over the whole width."""
        return self._tokens.keep_block(Caution(self._words(text), "frame"))

    def banded(self, text: Any) -> Placed:
        """Place what is urgent, on a filled band over the whole width."""
        return self._tokens.keep_block(Caution(self._words(text), "band"))

    def lead(self, text: Any) -> Placed:
        """Place the sentence a reader must see first."""
        return self._tokens.keep_block(Paragraph(self._words(text), "lead"))

    def small(self, text: Any) -> Placed:
        """Place small print."""
        return self._tokens.keep_block(Paragraph(self._words(text), "small"))

    def page_break(self) -> Placed:
        """Start a page."""
        return self._tokens.keep_block(PageBreak())

    def speak(self, voice: str) -> Placed:
        """Say codes and answers in another voice from here on, and set the section in it."""
        self._opened.voice = voice
        return Placed(f"\n\n{VOICE_START}{voice}\n\n")


CALLS = (
    "pairs",
    "signature",
    "choice",
    "ticked",
    "writing",
    "danger",
    "together",
    "note",
    "caution",
    "framed",
    "banded",
    "lead",
    "small",
    "page_break",
    "speak",
)
"""Calls of a template, by name."""


def specials(opened: Opened) -> dict[str, Callable[..., Placed]]:
    """Give the calls that place a block."""
    placing = Placing(opened)
    return {name: getattr(placing, name) for name in CALLS}
