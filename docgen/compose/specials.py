"""The calls of a template: sentences, and blocks that Markdown cannot write."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any

from docgen.blocks import (
    Block,
    Caution,
    Choice,
    Danger,
    Figure,
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
from docgen.compose.tokens import Placed, Sentence
from docgen.compose.view import Opened, TemplateFault, View

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
        if not isinstance(count, int):
            raise TemplateFault("a plural needs a whole number")
        return filled(opened.language.plural(one, many, count), values)

    return {"_": gettext, "pgettext": pgettext, "ngettext": ngettext}


def specials(opened: Opened) -> dict[str, Callable[..., Placed]]:
    """Give the calls that place a block."""
    tokens = opened.tokens

    def words(value: Any) -> Words:
        blocks = read_blocks(_checked(value), tokens)
        if len(blocks) == 1 and isinstance(blocks[0], Paragraph):
            return blocks[0].words
        raise TemplateFault("a label or name must be one line of words")

    def maybe(value: Any) -> Words:
        return words(value) if value is not None else ()

    def inside(caller: Callable[[], str]) -> tuple[Block, ...]:
        return read_blocks(str(caller()), tokens)

    def pairs(*rows: Sequence[Any]) -> Placed:
        return tokens.keep_block(Pairs(tuple((words(label), words(value)) for label, value in rows)))

    def signature(statement: Any, role: Any, name: Any, details: Any = None, moment: Any = None) -> Placed:
        labels = tuple(words(Sentence(opened.language.text(t))) for t in ("Signature", "Date and time"))
        return tokens.keep_block(
            Signature(words(statement), words(role), maybe(name), maybe(details), maybe(moment), (labels[0], labels[1]))
        )

    def choice(label: Any, *options: Any, chosen: int | None = None) -> Placed:
        return tokens.keep_block(Choice(words(label), tuple(words(o) for o in options), chosen))

    def writing(label: Any, lines: int = 1) -> Placed:
        return tokens.keep_block(Writing(words(label), lines))

    def danger(title: Any, caller: Callable[[], str]) -> Placed:
        return tokens.keep_block(Danger(words(title), inside(caller)))

    def figure(name: str, value: View, alt: Any, *labels: Any) -> Placed:
        return tokens.keep_block(Figure(name, dict(value._raw), words(alt), tuple(words(one) for one in labels)))

    def speak(voice: str) -> Placed:
        opened.voice = voice
        return Placed("")

    return {
        "speak": speak,
        "pairs": pairs,
        "signature": signature,
        "choice": choice,
        "writing": writing,
        "danger": danger,
        "figure": figure,
        "note": lambda text: tokens.keep_block(Note(words(text))),
        "caution": lambda text: tokens.keep_block(Caution(words(text))),
        "lead": lambda text: tokens.keep_block(Paragraph(words(text), "lead")),
        "small": lambda text: tokens.keep_block(Paragraph(words(text), "small")),
        "together": lambda caller: tokens.keep_block(Together(inside(caller))),
        "page_break": lambda: tokens.keep_block(PageBreak()),
    }
