"""A text > spans that print in one way each: what every block and every line of the page is made of."""

from __future__ import annotations

from dataclasses import field

from docgen.values import dataclass


@dataclass(frozen=True)
class Span:
    """A run of text that prints in one way."""

    text: str
    bold: bool = False
    italic: bool = False
    language: str | None = None
    """BCP 47 tag if the run is in another language than the document."""
    isolated: bool = False
    """True if the run keeps its own direction inside text of the other one (names, numbers, codes)."""
    path: str = field(default="", compare=False)
    """The field it came from, for problems that show only on the page; renderers do not print it."""
    link: str = ""
    """Address the run leads to (tel:, mailto: or https:); empty for most."""
    look: str = ""
    """tag or unrecorded: framed, or plain, behind a diamond; second or small: a smaller line below a name or words."""

    def __eq__(self, other: object) -> bool:  # in a third of the time of the general one
        if not isinstance(other, Span) or other.__class__ is not self.__class__:
            return NotImplemented
        return (
            self.text == other.text
            and self.bold == other.bold
            and self.italic == other.italic
            and self.language == other.language
            and self.isolated == other.isolated
            and self.link == other.link
            and self.look == other.look
        )

    def __hash__(self) -> int:  # words are keys of what is kept of them, and few differ in all but their text
        return hash(self.text)


Words = tuple[Span, ...]
BELOW = Span("\n", look="below")  # parts words from the same words in another language, which stand below them


def plain(words: Words) -> str:
    """Join the text of some words."""
    return "".join([span.text for span in words])
