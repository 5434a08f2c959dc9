"""
The calls of a template that give words a look of their own, inside a sentence or a cell.

Apart from the calls that place a block: these give words, which go on riding through the text as tokens.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import Any

from docgen.blocks import Paragraph, Words, plain
from docgen.compose.markup import read_blocks
from docgen.compose.tokens import Sentence
from docgen.compose.view import Opened, TemplateFault

SENTENCE_ENDS = (".", "\u3002", "\u0964", "\u06d4")
"""Full stops of the scripts there are; a framed word is no sentence."""


class Looks:
    """The calls that give words a look; each gives the token that stands for them."""

    def __init__(self, opened: Opened) -> None:
        self._tokens = opened.tokens

    def tag(self, sentence: Any) -> Sentence:
        """Frame a short sentence behind a diamond: this row touches what matters to the patient."""
        words = self._words(sentence)
        if plain(words).endswith(SENTENCE_ENDS):
            words = (*words[:-1], replace(words[-1], text=words[-1].text[:-1]))
        return self._looking(words, "tag", bold=True)

    def second(self, sentence: Any) -> Sentence:
        """Set a sentence as the smaller line below the name of a row."""
        return self._looking(self._words(sentence), "second", bold=False)

    def _words(self, sentence: Any) -> Words:
        blocks = read_blocks(str(sentence), self._tokens) if isinstance(sentence, Sentence) else ()
        if len(blocks) == 1 and isinstance(blocks[0], Paragraph):
            return blocks[0].words
        raise TemplateFault('only one line of words has a look; pass _("...")')

    def _looking(self, words: Words, look: str, *, bold: bool) -> Sentence:
        made = (replace(span, look=look, bold=bold or span.bold) for span in words)
        return Sentence("".join([self._tokens.keep_span(span) for span in made]))


def looks(opened: Opened) -> dict[str, Callable[..., Sentence]]:
    """Give the calls that give words a look."""
    made = Looks(opened)
    return {"tag": made.tag, "second": made.second}
