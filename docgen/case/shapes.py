"""A list that a word may answer, and a group that a word may answer: field types of our own."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, get_args, get_origin

from docgen.answer import Answer
from docgen.case.faults import fault, listed, nearest
from docgen.case.leaf import UNCLEAR
from docgen.case.tree import Scalar, TakenOut
from docgen.problem import Message, say
from docgen.values import dataclass

_WORDS = {answer.value: answer for answer in Answer}
Inner = Callable[[Any], Any]


@dataclass(frozen=True)
class _Shape:
    answers: frozenset[Answer] = frozenset()

    @property
    def answer_words(self) -> tuple[str, ...]:
        """The admitted answer words, in the order of the specification."""
        return tuple(answer.value for answer in Answer if answer in self.answers)

    def _answer(self, scalar: Scalar, mend: Message) -> Answer:
        """Read the one word that stands in place of the whole."""
        text = scalar.text.strip()
        absent = say("%(mend)s; if nobody has answered yet, take the line out", mend=mend)
        if not text:
            raise fault("empty-field", say("%(path)s is empty"), absent)
        if text.casefold() in UNCLEAR:
            raise fault("unclear-answer", say("%(path)s has an answer that can mean several things"), absent)
        if text in _WORDS and _WORDS[text] in self.answers:
            return _WORDS[text]
        if text in _WORDS:
            raise fault("bad-value", say("%(path)s does not take the answer %(word)s", word=text), absent)
        meant = nearest(text, _WORDS) if self._form(text) in _WORDS else None
        if meant in self.answer_words:
            right = say("did you mean %(word)s? Answer words are lower case", word=meant)
            raise fault("unclear-answer", say("%(path)s has an answer word in another spelling"), right)
        raise fault("bad-value", self._not_a_word(), mend)

    @staticmethod
    def _form(text: str) -> str:
        return text.casefold().replace(" ", "_").replace("-", "_")

    def _not_a_word(self) -> Message:
        raise NotImplementedError


@dataclass(frozen=True)
class Group(_Shape):
    """A group of fields, or one of the admitted words."""

    def mend(self) -> Message:
        """Say how the group is written."""
        if not self.answers:
            return say("write the fields of the group under it, indented")
        words = listed(self.answer_words)
        return say("write the fields of the group under it, indented, or one of: %(words)s", words=words)

    def read(self, raw: object, inner: Inner) -> object:
        """Turn the raw group into its model, or the word into its answer."""
        if isinstance(raw, TakenOut):
            return inner({})
        if isinstance(raw, Scalar):
            return self._answer(raw, self.mend())
        if not isinstance(raw, dict):
            raise fault("bad-value", self._not_a_word(), self.mend())
        return inner(raw)

    def _not_a_word(self) -> Message:
        return say("%(path)s is a group of fields, but something else stands there")


@dataclass(frozen=True)
class Items(_Shape):
    """A list of at least one item, or one of the admitted words; `none` gives an empty tuple."""

    at_most: int | None = None

    def mend(self) -> Message:
        """Say how the list is written."""
        if not self.answers:
            return say("write one or more items, each on its own line after a hyphen")
        words = listed(self.answer_words)
        return say("write one or more items, each on its own line after a hyphen, or one of: %(words)s", words=words)

    def read(self, raw: object, inner: Inner) -> object:
        """Turn the raw list into a tuple, or the word into its answer."""
        if isinstance(raw, TakenOut):
            return None
        if isinstance(raw, Scalar):
            answer = self._answer(raw, self.mend())
            return () if answer is Answer.NONE else answer
        if not isinstance(raw, list | tuple):
            raise fault("bad-value", self._not_a_word(), self.mend())
        if self.at_most is not None and len(raw) > self.at_most:
            raise fault(
                "out-of-range",
                say("%(path)s has more than %(most)s items", most=self.at_most),
                say("keep the most important ones"),
            )
        kept = tuple(item for item in inner(list(raw)) if not isinstance(item, TakenOut))
        # an empty tuple would say "none"; nobody said that
        return kept or None

    def _not_a_word(self) -> Message:
        return say("%(path)s is a list, but something else stands there")


def item_type(annotation: object) -> Any:
    """Find the item's annotation in that of a list: `tuple[X, ...] | Answer | None` gives X."""
    for member in (annotation, *get_args(annotation)):
        if get_origin(member) is tuple:
            return get_args(member)[0]
    raise TypeError(annotation)
