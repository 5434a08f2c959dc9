"""Cases and the patients' kinds > how hard each finished text is to read, for `docgen lint`; the worst of each kind."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from pathlib import Path
from typing import Any

from docgen.cli.inputs import files_of
from docgen.drafts import desk_of, draft, say_measured
from docgen.examine import CaseFiles, Wish, World, examine, today_in
from docgen.kinds import DocumentKind
from docgen.language import language_names
from docgen.problem import Message, Place, Problem, Problems, Refused, say
from docgen.readability import Measured
from docgen.shipped import shipped_folder
from docgen.values import dataclass


@dataclass(frozen=True)
class Ease:
    """The hardest text of one kind in one language."""

    kind: str
    language: str
    case: str
    """The case that gives it."""
    measured: Measured
    texts: int
    """How many were measured."""

    @property
    def in_words(self) -> Message:
        """Say the value and the target."""
        return say_measured(f"{self.kind} ({self.language}), {self.case}", self.measured)

    def as_json(self) -> dict[str, Any]:
        """Give the same as plain values."""
        index = self.measured.index
        return {
            "kind": self.kind,
            "language": self.language,
            "case": self.case,
            "index": index.name,
            "value": str(index.printed(self.measured.value)),
            "target": str(index.printed(self.measured.target)),
            "is_met": self.measured.is_met,
            "counter": index.counter,
            "texts": self.texts,
            "hardest": [sentence.text for sentence in self.measured.hardest],
        }

    def problem(self) -> Problem:
        """Make a missed target a fault of the text."""
        sentences = " | ".join(sentence.text for sentence in self.measured.hardest)
        place = Place(f"templates/{self.kind}/body.md.j2", 1, 1)
        fix = say("shorten these sentences: %(sentences)s", sentences=sentences)
        return Problem("readability-low", f"{self.kind} ({self.language})", self.in_words, fix, place)


def shipped_cases() -> tuple[str, ...]:
    """Name the invented cases beside the program; an installed program has none."""
    try:
        folder = shipped_folder("examples")
    except FileNotFoundError:
        return ()
    return tuple(str(file) for file in sorted(folder.glob("*/case.yaml")))


def eases(kinds: Sequence[DocumentKind], cases: Iterable[str], world: World, problems: Problems) -> tuple[Ease, ...]:
    """Measure every text of some kinds that the cases give; a case that is refused gives none."""
    found: dict[tuple[str, str], list[tuple[str, Measured]]] = {}
    for case in cases:
        files = files_of(case, None)
        for kind in [one for one in kinds if one.audience == "patient"]:
            for language in language_names(world.locales):
                texts = _texts(kind, language, files, world, problems)
                found.setdefault((kind.name, language), []).extend((Path(case).parent.name, one) for one in texts)
    return tuple(_worst(*key, all_of) for key, all_of in found.items() if all_of)


def _worst(kind: str, language: str, texts: list[tuple[str, Measured]]) -> Ease:
    def excess(one: tuple[str, Measured]) -> Any:
        over = one[1].value - one[1].target
        return over if one[1].index.is_met(one[1].target - 1, one[1].target) else -over

    case, measured = max(texts, key=excess)
    return Ease(kind, language, case, measured, len(texts))


def _texts(kind: DocumentKind, language: str, files: CaseFiles, world: World, problems: Problems) -> Iterator[Measured]:
    """Compose the patient's text of one case, dated and not."""
    for undated in (False, True) if kind.undated else (False,):
        seen = examine(files, Wish((kind.name,), kind.copies[:1], undated, language), world, today_in)
        if seen.problems.refusing:
            continue
        desk = desk_of(seen, world)
        for one in seen.asked:
            try:
                measured = draft(one, desk).measured
            except Refused as refused:
                problems.extend(refused.problems)
                continue
            if measured:
                yield measured
