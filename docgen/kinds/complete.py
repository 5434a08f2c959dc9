"""
Gate 2: a kind, a case and its facts > a problem for each thing the kind needs and nobody has recorded.

A condition on an unknown fact refuses the document and names what would settle it: unknown is never no.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping

from docgen.answer import Answer
from docgen.case import Case, field_specs
from docgen.clinical.teeth import possible_teeth, tooth_class
from docgen.facts import Known, Result, Unknown
from docgen.kinds.kind import Condition, DocumentKind, Requirement
from docgen.kinds.mend import mend_missing, whom_to_ask
from docgen.problem import Problem, Problems, say
from docgen.values import dataclass

TOOTH_LISTS = ("teeth", "plan.procedures", "operation.procedures")
"""Lists whose items count only if their tooth is in question."""

MOMENT = say("says that the moment of this document has come")
"""Why the field that starts a kind is needed."""

CLASS_CONDITIONS = {
    "lower_third_planned": ("lower_third",),
    "third_molar_planned": ("lower_third", "upper_third"),
    "upper_posterior_planned": ("upper_posterior", "upper_third"),
    "upper_posterior_operated": ("upper_posterior", "upper_third"),
}
"""Conditions that name a class of teeth, and so speak of the teeth of that class only."""

TIME_CONDITIONS = ("operation_entered", "operation_recorded", "leaflet_is_dated")
"""Conditions that say when a field is asked, and so prove of no single field that it applies."""

CODES_OF_ABSENCE = {
    "record.tooth_notation": "notation-missing",
    "settings.jurisdiction.age_of_majority": "no-jurisdiction",
    "settings.jurisdiction.endocarditis": "no-jurisdiction",
    "settings.jurisdiction.name": "no-jurisdiction",
    "operation.procedures[].difference": "performed-unexplained",
    "operation.specimens[].result_owner": "result-ownerless",
    "reply.actions[].owner": "action-ownerless",
}
"""Fields whose absence the specification gives a code of its own."""


NO_NOTATION = say(
    "record.tooth_notation is missing: 18 is an upper right third molar in one system and a lower left second molar "
    "in another"
)


@dataclass(frozen=True)
class _Gate:
    kind: DocumentKind
    label: str
    """How the document is named to the reader: "consent (en)"."""
    case: Case
    stated: Mapping[str, Result]
    problems: Problems
    silent: frozenset[str]
    """Paths an earlier gate has reported."""


def is_applicable(kind: DocumentKind, case: Case, *, dated: bool = True) -> bool:
    """True if the moment of a kind has come: the field that triggers it is recorded."""
    return case.value(kind.moment_for(dated=dated)) is not None


def check_complete(
    kind: DocumentKind,
    label: str,
    case: Case,
    stated: Mapping[str, Result],
    problems: Problems,
    *,
    dated: bool = True,
    silent: frozenset[str] = frozenset(),
) -> None:
    """
    Report each required field that is missing, with who needs it, why, and how to mend it.

    `silent` holds the paths of which an earlier gate has spoken.
    """
    gate = _Gate(kind, label, case, stated, problems, silent | case.faulty)
    moment = kind.moment_for(dated=dated)
    because = MOMENT.msgid
    for path in _unrecorded(Requirement((moment,), because), gate):
        _report(path, because, gate)
    for requirement in kind.requires:
        holds = _holds(requirement.when, gate)
        if isinstance(holds, Unknown):
            for path in (*holds.needs, *_perhaps_missing(requirement, holds, gate)):
                _report(path, requirement.because, gate)
        elif holds:
            for path in _unrecorded(requirement, gate):
                _report(path, requirement.because, gate, contradicted=_is_contradicted(path, requirement, gate))


def _holds(condition: Condition | None, gate: _Gate) -> bool | Unknown:
    return condition_holds(condition, gate.case, gate.stated)


def condition_holds(condition: Condition | None, case: Case, stated: Mapping[str, Result]) -> bool | Unknown:
    """Tell whether the condition of a requirement holds; Unknown if the fact it looks at is not known or assumed."""
    if condition is None:
        return True
    if condition.is_field:
        return _word(case.value(condition.name)) == condition.value
    result = stated[condition.name]
    if isinstance(result, Unknown):
        if result.assumed is None:
            return result
        return _word(result.assumed) == condition.value
    return _word(result.value) == condition.value


def _is_proved(condition: Condition | None, gate: _Gate) -> bool:
    """True if a condition rests on what is known; what is only assumed contradicts nobody's answer."""
    if condition is None or condition.name in TIME_CONDITIONS:
        return False
    return condition.is_field or isinstance(gate.stated[condition.name], Known)


def _word(value: object) -> str:
    """Say a value as a condition spells it; not applicable counts as no."""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if value is Answer.NOT_APPLICABLE:
        return "no"
    return value.value if isinstance(value, Answer) else str(value)


def _unrecorded(requirement: Requirement, gate: _Gate) -> Iterator[str]:
    """Give the concrete paths that are missing; of a one_of, the first, if all are."""
    missing: list[str] = []
    for pattern in requirement.fields:
        lacking = list(dict.fromkeys(_lacking(pattern, requirement, gate)))
        if requirement.any_of and not lacking:
            return
        missing += lacking[:1] if requirement.any_of else lacking
    yield from missing[:1] if requirement.any_of else missing


def _perhaps_missing(requirement: Requirement, holds: Unknown, gate: _Gate) -> Iterator[str]:
    """Give what is missing if a tooth is of the class asked for: without a notation, that is said at once too."""
    if requirement.when is None or requirement.when.name not in CLASS_CONDITIONS:
        return
    if holds.needs == ("record.tooth_notation",):
        yield from _unrecorded(requirement, gate)


def _lacking(pattern: str, requirement: Requirement, gate: _Gate) -> Iterator[str]:
    for part in _parts(pattern):
        yield from _lacking_under("", part, requirement, gate)


def _parts(pattern: str) -> Iterable[str]:
    """Take a whole group apart into its fields."""
    if not pattern.endswith(".*"):
        return (pattern,)
    group = pattern.removesuffix(".*")
    starts = (f"{group}.", f"{group}[].")
    return tuple(p for p, spec in field_specs().items() if p.startswith(starts) and spec.type not in ("group", "list"))


def _lacking_under(prefix: str, pattern: str, requirement: Requirement, gate: _Gate) -> Iterator[str]:
    """Walk down to one field; a list or group that is not recorded at all is what is missing."""
    head, mark, rest = pattern.partition("[].")
    path = f"{prefix}{head}"
    if mark:
        items = gate.case.value(path)
        if items is None:
            yield path
        elif isinstance(items, tuple):
            for index in range(len(items)):
                item = f"{path}[{index}]"
                if _counts(head if not prefix else "", item, rest, requirement, gate):
                    yield from _lacking_under(f"{item}.", rest, requirement, gate)
        return
    answered = _answered_group(prefix, head, gate)
    if answered is not None:
        if answered is Answer.NOT_APPLICABLE and _is_proved(requirement.when, gate):
            yield answered_path(prefix, head, gate)
        return
    value = gate.case.value(path)
    if value is None or _is_contradicted(path, requirement, gate):
        yield path


def _answered_group(prefix: str, head: str, gate: _Gate) -> Answer | None:
    """Give the word that answers a whole group above the field, if one does."""
    path = answered_path(prefix, head, gate)
    value = gate.case.value(path) if path else None
    return value if isinstance(value, Answer) else None


def answered_path(prefix: str, head: str, gate: _Gate) -> str:
    """Find the nearest group above a field that is answered by one word; empty if there is none."""
    parts = f"{prefix}{head}".split(".")
    if parts[0] in ("settings", "own"):
        return ""
    for end in range(1, len(parts)):
        path = ".".join(parts[:end])
        if isinstance(gate.case.value(path), Answer):
            return path
    return ""


def _counts(list_name: str, item: str, rest: str, requirement: Requirement, gate: _Gate) -> bool:
    """True if an item is asked: a trainee for a supervisor; a tooth in question, of the class the condition names."""
    if list_name == "practitioners" and rest == "supervisor":
        return gate.case.value(f"{item}.trainee") is True  # the others of the house have none
    if list_name not in TOOTH_LISTS:
        return True
    if list_name == "operation.procedures" and gate.case.value(f"{item}.performed") == "not_done":
        return rest in ("tooth", "side", "jaw", "performed", "difference")
    if requirement.fields and rest == "difference" and requirement.when is not None:
        differs = gate.stated.get("performed_differences")
        fdi = _fdi(item, gate)
        return not isinstance(differs, Known) or differs.value.get(fdi, "same") != "same"
    in_question = gate.stated.get("teeth_in_question")
    fdi = _fdi(item, gate)
    classes = CLASS_CONDITIONS.get(requirement.when.name) if requirement.when else None
    if classes and gate.case.value("record.tooth_notation") is None:
        written = str(gate.case.value(f"{item}.tooth"))
        return any(tooth_class(fdi) in classes for fdi in possible_teeth(written))
    if fdi is None or not isinstance(in_question, Known):
        return True
    of_class = gate.stated.get("tooth_class")
    if classes and isinstance(of_class, Known) and of_class.value.get(fdi) not in classes:
        return False
    return fdi in in_question.value


def _fdi(item: str, gate: _Gate) -> str | None:
    known = gate.stated.get("tooth_fdi")
    tooth = gate.case.value(f"{item}.tooth")
    return known.value.get(tooth) if isinstance(known, Known) and isinstance(tooth, str) else None


def _is_contradicted(path: str, requirement: Requirement, gate: _Gate) -> bool:
    """True if the answer is not applicable although the condition shows that the question arises."""
    if gate.case.value(path) is not Answer.NOT_APPLICABLE or not _is_proved(requirement.when, gate):
        return False
    if not path.startswith("operation.procedures["):
        return True
    item = path.partition("].")[0]
    return gate.case.value(f"{item}].performed") != "stopped"


def _report(path: str, because: str, gate: _Gate, *, contradicted: bool = False) -> None:
    """Add the problem of one missing field, unless an earlier gate has spoken of it."""
    parts = path.split(".")
    above = {".".join(parts[:end]) for end in range(1, len(parts))}
    if path in gate.silent or gate.case.is_faulty(path) or above & gate.silent:
        return
    missed = above & gate.problems.paths
    if missed:  # the group itself is missing, and this document needs it too
        gate.problems.join(max(missed, key=len), gate.label, say(because))
        return
    pattern = _pattern(path)
    code = "na-contradicted" if contradicted else CODES_OF_ABSENCE.get(pattern, "missing-field")
    what = (
        say("%(path)s is answered not_applicable, but here it applies", path=path)
        if contradicted
        else NO_NOTATION
        if code == "notation-missing"
        else say("%(path)s is missing", path=path)
    )
    gate.problems.add(
        Problem(
            code,
            path,
            what,
            mend_missing(path, pattern, gate.case),
            gate.case.place(path),
            (gate.label,),
            (say(because),),
            whom_to_ask(pattern),
        )
    )


def _pattern(path: str) -> str:
    """Turn a concrete path into its pattern: items lose their number."""
    out, inside = [], False
    for character in path:
        inside = character == "[" or (inside and character != "]")
        if not inside or character == "[":
            out.append(character)
    return "".join(out)
