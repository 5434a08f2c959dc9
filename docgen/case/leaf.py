"""
The text of a leaf > its typed value or a named fault: what all types of field have in common.

Every leaf is text until its field says what it is: a library that guesses types would take no for false.
"""

from __future__ import annotations

import unicodedata
from decimal import Decimal
from typing import Any

from docgen.answer import Answer
from docgen.case import leaf_forms
from docgen.case.characters import bad_character, code_point, is_blank
from docgen.case.faults import fault, listed
from docgen.case.leaf_schema import leaf_schema
from docgen.case.tree import Scalar, TakenOut
from docgen.problem import Message, say
from docgen.values import dataclass

UNCLEAR = frozenset({"~", "null", "n/a", "-", "?"})
PROSE = frozenset({"line", "text"})
LONGEST = {"text": 10_000}
LONGEST_LINE = 200
_WORDS = {answer.value: answer for answer in Answer}


@dataclass(frozen=True)
class Leaf:
    """The type of one field; stands in `Annotated` and reads the raw text."""

    type: str
    """yn, line, text, code, date, time, moment, decimal, int, tooth, id or language."""
    answers: frozenset[Answer] = frozenset()
    """Words admitted in place of a value."""
    codes: tuple[str, ...] = ()
    """The closed list; for other types than code, words admitted beside the value."""
    low: Decimal | None = None
    high: Decimal | None = None
    above_low: bool = False
    """True if `low` itself is refused."""
    pattern: str = ""
    """Form of a code without a closed list."""
    form: str = ""
    """A narrower form than the type's, by its name in FORMS."""

    @property
    def type_name(self) -> str:
        """The type as the specification writes it."""
        if self.type != "yn":
            return self.type
        more = self.answers - {Answer.NONE}
        known, applicable = Answer.NOT_KNOWN in more, Answer.NOT_APPLICABLE in more
        return "yn" + ("ak" if known and applicable else "k" if known else "a" if applicable else "")

    @property
    def answer_words(self) -> tuple[str, ...]:
        """The admitted answer words, in the order of the specification."""
        return tuple(answer.value for answer in Answer if answer in self.answers)

    @property
    def choices(self) -> tuple[str, ...]:
        """Every word admitted literally."""
        own = ("yes", "no") if self.type == "yn" else self.codes
        return (*own, *self.answer_words)

    def read(self, raw: object, notation: str | None = None) -> object:
        """
        Turn the raw text into the value.

        Errors: Fault with a stable code.
        """
        if isinstance(raw, TakenOut):
            return raw
        scalar = Scalar(raw) if isinstance(raw, str) else raw
        if not isinstance(scalar, Scalar):
            raise fault("bad-value", say("%(path)s is a list or a group; it takes one value"), self.mend())
        text = self._clean(scalar.text)
        self._refuse_unclear(text, scalar.quoted)
        if text in _WORDS:
            return self._answer(_WORDS[text])
        if self.type not in PROSE:
            self._refuse_other_case(text)
        return leaf_forms.FORMS[self.form or self.type](self, text, notation)

    def mend(self) -> Message:
        """Say how the field is written, and which words may stand in place of a value."""
        if self.type != "yn" and not (self.type == "code" and self.codes):
            form = leaf_forms.form_in_words(self)
            if not self.choices:
                return say("write %(form)s", form=form)
            return say("write %(form)s, or one of: %(words)s", form=form, words=listed(self.choices))
        return say("write one of: %(choices)s", choices=listed(self.choices))

    def mend_absence(self) -> Message:
        """Say how an absence is written in this field."""
        return say("%(mend)s; if nobody has answered yet, take the line out", mend=self.mend())

    def _clean(self, text: str) -> str:
        longest = LONGEST.get(self.type, LONGEST_LINE)
        if len(text) > 4 * longest:
            raise _too_long(longest)
        text = unicodedata.normalize("NFC", text).strip(" \n")
        character = bad_character(text, many_lines=self.type == "text")
        if character is not None:
            raise fault(
                "bad-character",
                say(
                    "%(path)s holds the character %(character)s, which is not allowed", character=code_point(character)
                ),
                say("type the text again without it"),
            )
        if is_blank(text):
            raise fault("empty-field", say("%(path)s is empty"), self.mend_absence())
        if len(text) > longest:
            raise _too_long(longest)
        return text

    def _refuse_unclear(self, text: str, quoted: bool) -> None:
        if text.casefold() not in UNCLEAR:
            return
        if self.type in PROSE and not self.answers:
            if quoted:
                return
            mend = say("%(mend)s; if this sign is the text itself, put it in quotes", mend=self.mend_absence())
        else:
            mend = self.mend_absence()
        raise fault("unclear-answer", say("%(path)s has an answer that can mean several things"), mend)

    def _answer(self, answer: Answer) -> Answer:
        if answer in self.answers:
            return answer
        raise fault(
            "bad-value", say("%(path)s does not take the answer %(word)s", word=answer.value), self.mend_absence()
        )

    def _refuse_other_case(self, text: str) -> None:
        word = text.casefold().replace(" ", "_").replace("-", "_")
        if text in self.choices or word not in {*_WORDS, *(("yes", "no") if self.type == "yn" else ())}:
            return
        mend = say("did you mean %(word)s? Answer words are lower case", word=word)
        raise fault(
            "unclear-answer",
            say("%(path)s has an answer word in another spelling"),
            mend if word in self.choices else self.mend_absence(),
        )

    def describe(self) -> dict[str, Any]:
        """Give the JSON Schema of the field."""
        return leaf_schema(
            self.type, self.choices, low=self.low, high=self.high, pattern=self.pattern, codes=self.codes
        )


def _too_long(longest: int) -> Exception:
    return fault(
        "too-long",
        say("%(path)s is longer than %(longest)s characters", longest=longest),
        say("shorten it, or move a part to a field for longer text"),
    )
