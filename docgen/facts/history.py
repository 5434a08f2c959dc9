"""The case > the parts of the history some rules look at, with the paths nobody answered."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import field, replace
from fractions import Fraction
from typing import Any

from docgen.answer import Answer
from docgen.clinical.history import Allergy, Condition, History, TakenDrug
from docgen.facts.fact import NeedMissing, Reading
from docgen.values import dataclass

TAKEN = ("medications", "antithrombotics", "antiresorptives")
"""The three lists of drugs a patient takes, under medical."""


@dataclass
class Answers:
    """What was read, and what is open."""

    reading: Reading
    history: History = field(default_factory=History)
    open_questions: dict[str, tuple[str, ...]] = field(default_factory=dict)
    """Question > paths that would settle it."""
    asked: bool = True
    """True while whatever is open was asked, and nobody could say."""

    def list(self, question: str, path: str, needed: str) -> list[tuple[str, Any]]:
        """Give the items of a list with their paths; what lacks the field that rules go by is open."""
        value = self.value(question, path)
        items = [(f"{path}[{index}]", item) for index, item in enumerate(value if isinstance(value, tuple) else ())]
        for item_path, item in items:
            if not isinstance(getattr(item, needed), str):
                self.leave_open(question, f"{item_path}.{needed}")
        return items

    def value(self, question: str, path: str) -> Any:
        """Give a field's value; one not recorded or not known is open."""
        value = self.reading.value(path)
        if value is None or value is Answer.NOT_KNOWN:
            self.leave_open(question, path, asked=value is Answer.NOT_KNOWN)
        return value

    def fact(self, question: str, name: str) -> Any:
        """Give a fact above, or None; what it needs is open then."""
        try:
            return self.reading.fact(name)
        except NeedMissing as missing:
            self.leave_open(question, *missing.needs, asked=missing.asked)
            return None

    def leave_open(self, question: str, *paths: str, asked: bool = False) -> None:
        """Note what nobody answered."""
        self.open_questions[question] = (*self.open_questions.get(question, ()), *paths)
        self.asked = self.asked and asked


def read_history(reading: Reading, questions: Sequence[str]) -> Answers:
    """Read the answers to some questions of QUESTIONS, and nothing else."""
    answers = Answers(reading)
    for question in questions:
        answers.history = replace(answers.history, **QUESTIONS[question](answers))
    unanswered = dict.fromkeys(path for paths in answers.open_questions.values() for path in paths)
    answers.history = replace(answers.history, unanswered=tuple(unanswered))
    answers.asked = answers.asked and bool(unanswered)
    return answers


def _conditions(answers: Answers) -> dict[str, Any]:
    rows = answers.list("conditions", "medical.conditions", "code")
    return {"conditions": tuple(Condition(row.code, path) for path, row in rows if isinstance(row.code, str))}


def _taken(name: str) -> Callable[[Answers], dict[str, Any]]:
    def read(answers: Answers) -> dict[str, Any]:
        rows = answers.list(name, f"medical.{name}", "inn")
        thins = name == "antithrombotics"
        drugs = (TakenDrug(row.inn or "", f"{path}.inn", thins) for path, row in rows if row.inn or thins)
        return {"taken": (*answers.history.taken, *drugs)}

    return read


def _allergies(answers: Answers) -> dict[str, Any]:
    rows = answers.list("allergies", "medical.allergies", "group")
    return {
        "allergies": tuple(
            Allergy(
                path,
                row.substance or "",
                row.group if isinstance(row.group, str) else "other",
                row.severity if isinstance(row.severity, str) else "not_known",
            )
            for path, row in rows
        )
    }


def _alcohol(answers: Answers) -> dict[str, Any]:
    return {"alcohol": _word(answers.value("alcohol", "medical.alcohol"))}


def _pregnancy(answers: Answers) -> dict[str, Any]:
    state = answers.value("pregnancy", "medical.pregnancy.state")
    weeks = answers.reading.value("medical.pregnancy.weeks") if state == "yes" else None
    word = "no" if state is Answer.NOT_APPLICABLE else _word(state)
    return {"pregnancy": word, "pregnancy_weeks": weeks if isinstance(weeks, int) else None}


def _breast_feeding(answers: Answers) -> dict[str, Any]:
    return {"is_breast_feeding": answers.value("breast_feeding", "medical.breast_feeding") is True}


def _inr(answers: Answers) -> dict[str, Any]:
    stable = answers.value("inr", "medical.inr.stable")
    words = {True: "yes", False: "no"}
    return {"inr_is_stable": words[stable] if isinstance(stable, bool) else _word(stable)}


def _weight(answers: Answers) -> dict[str, Any]:
    weight = answers.value("weight", "patient.weight_kg")
    return {"weight_kg": None if weight is None or isinstance(weight, Answer) else Fraction(weight)}


def _word(value: Any) -> str:
    if isinstance(value, str):
        return value
    return value.value if isinstance(value, Answer) else "not_recorded"


QUESTIONS: dict[str, Callable[[Answers], dict[str, Any]]] = {
    "conditions": _conditions,
    **{name: _taken(name) for name in TAKEN},
    "allergies": _allergies,
    "alcohol": _alcohol,
    "pregnancy": _pregnancy,
    "breast_feeding": _breast_feeding,
    "inr": _inr,
    "age": lambda answers: {"age_years": answers.fact("age", "patient_age_years")},
    "minor": lambda answers: {"patient_is_minor": answers.fact("minor", "patient_is_minor")},
    "weight": _weight,
}
"""Question > what its answer adds to the history."""
