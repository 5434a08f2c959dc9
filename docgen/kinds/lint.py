"""
A kind and its body > every way in which what the template reads is not what the kind declares, both ways.

Also: paths and facts that do not exist, letters no translator would see, and codes without words.
"""

from __future__ import annotations

from collections.abc import Iterable

from docgen.case import field_specs
from docgen.facts import FACTS
from docgen.kinds.kind import LATE_FACTS, DocumentKind
from docgen.kinds.template import BodyEnvironment, Reads, read_body
from docgen.kinds.words import VOICES, HouseWords
from docgen.problem import Message, Place, Problem, Problems, say

OWN = "own"
"""Group of a case under which the fields of clinics' own kinds lie."""


PAGE_READS = (
    "record.id",
    "record.sample",
    "record.language",
    "record.tooth_notation",
    "clinic.name",
    "clinic.address",
    "clinic.phone",
    "clinic.time_zone",
    "patient.given_names",
    "patient.family_name",
    "patient.birth_date",
    "patient.identifier",
    "patient.preferred_language",
    "patient.communication_needs",
)
"""Fields that every page's head and foot, its language and its clock read."""

FILTER_FACTS = ("teeth_in_question",)
"""Facts that the filter in_question reads."""

WITNESSES = (".side", ".jaw")
"""Ends of fields that gate 3 holds against the tooth's number: asked for although no text prints them."""


def roots() -> frozenset[str]:
    """Name the groups of a case that a template may read."""
    return frozenset(p.partition(".")[0].removesuffix("[]") for p in field_specs()) | {OWN, "settings"}


def lint_kind(kind: DocumentKind, environment: BodyEnvironment, problems: Problems) -> Reads:
    """Compare a kind with its body; every fault becomes a problem with the file and line."""
    reads = read_body(environment, kind.body, roots())
    if reads.broken:
        template, line, message = reads.broken
        problems.add(
            _fault(
                template,
                line,
                "template-broken",
                say("the template cannot be read: %(why)s", why=message),
                say("mend the line"),
            )
        )
        return reads
    for template, line, what in reads.loose:
        problems.add(
            _fault(
                template,
                line,
                "template-loose",
                say("not allowed here: %(what)s", what=what),
                say('put words into _("..."), logic into a fact'),
            )
        )
    _lint_paths(kind, reads, problems)
    _lint_facts(kind, reads, problems)
    return reads


def _fault(template: str, line: int, code: str, what: Message, fix: Message, path: str = "") -> Problem:
    return Problem(code, path, what, fix, Place(f"templates/{template}", line, 1))


def _declared(kind: DocumentKind) -> dict[str, str]:
    """Give each declared pattern and where it is declared."""
    found = {pattern: "requires" for r in kind.requires for pattern in r.fields}
    found |= {r.when.name: "when" for r in kind.requires if r.when and r.when.is_field}
    return found | dict.fromkeys(kind.optional, "optional")


def _covers(declared: str, read: str) -> bool:
    """True if a declaration covers a path the template reads: itself, what lies above it, or its whole group."""
    group = declared.removesuffix(".*")
    if declared == read or declared.startswith((f"{read}.", f"{read}[]")):
        return True
    return declared.endswith(".*") and (read == group or read.startswith((f"{group}.", f"{group}[]")))


def _exists(pattern: str, kind: DocumentKind) -> bool:
    group = pattern.removesuffix(".*")
    if pattern.startswith(f"{OWN}."):
        return pattern in {f"{OWN}.{kind.name}.{f.name}" for f in kind.own_fields}
    if pattern.startswith("settings."):
        return True
    return group in field_specs() or any(p.startswith((f"{group}.", f"{group}[]")) for p in field_specs())


def _lint_paths(kind: DocumentKind, reads: Reads, problems: Problems) -> None:
    declared = _declared(kind)
    here = f"{kind.name}/kind.yaml"
    _lint_existence(kind, declared, problems)
    for path, (template, line) in reads.paths.items():
        if path in (OWN, f"{OWN}.{kind.name}", "settings"):
            continue
        if path != kind.moment and not any(_covers(d, path) for d in declared):
            problems.add(
                _fault(
                    template,
                    line,
                    "template-undeclared",
                    say("the template reads %(path)s, which kind.yaml does not declare", path=path),
                    say("declare it under requires or optional"),
                    path,
                )
            )
    read = {*reads.paths, *PAGE_READS, *_needs_of(reads, kind), kind.moment}
    for pattern, where in declared.items():
        if where != "when" and not pattern.endswith(WITNESSES) and not any(_touches(pattern, path) for path in read):
            problems.add(
                _fault(
                    here,
                    1,
                    "kind-unread",
                    say("%(path)s is declared and the template never reads it", path=pattern),
                    say("print it, or take it out of kind.yaml"),
                    pattern,
                )
            )


def _lint_existence(kind: DocumentKind, declared: dict[str, str], problems: Problems) -> None:
    here = f"{kind.name}/kind.yaml"
    for pattern in declared:
        if not _exists(pattern, kind):
            problems.add(
                _fault(
                    here,
                    1,
                    "kind-faulty",
                    say("%(path)s is not a field of a case", path=pattern),
                    say("correct the path; docgen schema lists them"),
                    pattern,
                )
            )


def _touches(declared: str, read: str) -> bool:
    """True if reading a path uses a declared one: itself, a part of it, or a list or group that holds it."""
    if declared == read or _covers(declared, read) or read.startswith((f"{declared}.", f"{declared}[]")):
        return True
    return "." in read and declared.startswith((f"{read}.", f"{read}[]")) and read not in roots()


def _needs_of(reads: Reads, kind: DocumentKind) -> set[str]:
    """Give every path that the facts of a kind need, directly or through other facts."""
    by_name = {fact.name: fact for fact in FACTS}
    conditions = {r.when.name for r in kind.requires if r.when and not r.when.is_field}
    todo, found = [*reads.facts, *conditions], set()
    seen: set[str] = set()
    while todo:
        name = todo.pop()
        if name in seen:
            continue
        seen.add(name)
        if name in by_name:
            todo += by_name[name].needs
        else:
            found.add(name)
    return found


def _lint_facts(kind: DocumentKind, reads: Reads, problems: Problems) -> None:
    known = {fact.name for fact in FACTS}
    here = f"{kind.name}/kind.yaml"
    conditions = {r.when.name for r in kind.requires if r.when and not r.when.is_field}
    conditions |= {kind.called_for_by} - {""}
    for name in sorted(({*kind.facts} - {*LATE_FACTS} | conditions) - known):
        problems.add(
            _fault(
                here,
                1,
                "kind-faulty",
                say("%(name)s is not a fact", name=name),
                say("correct the name; docgen facts lists them"),
                name,
            )
        )
    for name, (template, line) in reads.facts.items():
        if name not in kind.facts:
            problems.add(
                _fault(
                    template,
                    line,
                    "template-undeclared",
                    say("the template reads the fact %(name)s, not declared in kind.yaml", name=name),
                    say("declare it under facts"),
                    name,
                )
            )
    for name in kind.facts:
        if name not in reads.facts and name not in FILTER_FACTS:
            problems.add(
                _fault(
                    here,
                    1,
                    "kind-unread",
                    say("the fact %(name)s is declared and the template never reads it", name=name),
                    say("print it, or take it out of kind.yaml"),
                    name,
                )
            )


def lint_words(words: HouseWords, problems: Problems, also: Iterable[tuple[str, str]] = ()) -> None:
    """Report each code of the field dictionary, and each further (group, code), that has no words."""
    wanted = [(words.group_of(p) or p, code) for p, spec in field_specs().items() for code in spec.codes]
    for group, code in dict.fromkeys((*wanted, *also)):
        lacking = [voice for voice in VOICES if not words.find(group, code, voice)]
        if lacking:
            problems.add(
                _fault(
                    "_house/words.yaml",
                    1,
                    "words-missing",
                    say("the code %(code)s of %(group)s has no words", code=code, group=group),
                    say("add it, for patient and staff"),
                    f"{group}.{code}",
                )
            )
