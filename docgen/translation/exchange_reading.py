"""
An exchange file that came back > its translations, and what of them a catalog may take.

The file is a stranger's: which sentences there are is asked of today's templates, never of the file.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping

from babel.messages.catalog import Message

from docgen.language import SOURCE_LANGUAGE, Key, Language, forms_of, key_of
from docgen.problem import Message as Said
from docgen.problem import Place, Problem, Problems, Severity, say
from docgen.translation.contract import sentence_faults
from docgen.translation.exchange import INITIAL, source_forms, unit_id
from docgen.translation.exchange_file import Element, read_elements, unreadable
from docgen.translation.inline import BOLD, sentence_of
from docgen.values import dataclass


@dataclass(frozen=True)
class Unit:
    """One sentence, or one form of a plural, as it came back."""

    id: str
    source: str
    target: str
    """Empty if nobody translated it."""
    is_final: bool
    """False if the tool calls it initial: somebody still has to look."""
    line: int
    fault: str = ""
    """What in it cannot be read."""


@dataclass(frozen=True)
class Exchange:
    """What an exchange file says."""

    file: str
    language: str
    units: tuple[Unit, ...]


@dataclass(frozen=True)
class Taken:
    """What a catalog takes of an exchange file."""

    messages: tuple[Message, ...]
    """All entries of the catalog, the changed ones too."""
    sentences: int
    """Translations in the file that are kept or taken."""
    changed: int
    """Those that differ from what the catalog held."""
    problems: Problems


def read_exchange(content: bytes, file: str) -> Exchange:
    """
    Read an exchange file.

    Errors: Refused with file-unreadable, if it is no XLIFF 2 out of English, is too large or has a document type.
    """
    root = read_elements(content, file)
    told = root.attributes
    if root.name != "xliff" or not told.get("version", "").startswith("2."):
        raise unreadable(file, say("it is not XLIFF 2"))
    if told.get("srcLang") != SOURCE_LANGUAGE or not told.get("trgLang"):
        raise unreadable(file, say("it must say that it translates out of en, and into what"), root.line)
    units = (_unit(one) for part in root.all("file") for one in _units(part))
    return Exchange(file, told["trgLang"], tuple(units))


def _units(part: Element) -> Iterator[Element]:
    for one in part.all("unit", "group"):
        if one.name == "unit":
            yield one
        else:
            yield from _units(one)


def _unit(element: Element) -> Unit:
    data = {one.attributes.get("id", ""): one.text for held in element.all("originalData") for one in held.all("data")}
    name, fault = element.attributes.get("id", ""), ""
    source, target, final = "", "", True
    try:
        for part in element.all("segment", "ignorable"):
            mine = "".join(sentence_of(one, data) for one in part.all("source"))
            theirs = "".join(_target(one, data) for one in part.all("target"))
            source += mine
            target += theirs or (mine if part.name == "ignorable" and target else "")
            final = final and (part.name == "ignorable" or part.attributes.get("state", INITIAL) != INITIAL)
    except ValueError as error:
        fault = str(error)
    return Unit(name, source, target, final, element.line, fault)


def _target(element: Element, data: Mapping[str, str]) -> str:
    if "order" in element.attributes:
        raise ValueError("segments in another order")
    return sentence_of(element, data)


def take(exchange: Exchange, messages: Iterable[Message], language: Language) -> Taken:
    """
    Put the translations of a file into entries of a catalog.

    A unit of a sentence that no document prints today, or prints in other words, is named and left out; so is one that
    lost a placeholder, a bold pair or a number. A plural is taken whole or not at all.
    """
    problems = Problems()
    entries = tuple(messages)
    forms = {
        unit_id(key_of(one), None if isinstance(one.id, str) else n): (one, source)
        for one in entries
        for n, source in enumerate(source_forms(one, language))
    }
    good: dict[Key, dict[str, Unit]] = {}
    for unit in exchange.units:
        found = forms.get(unit.id)
        problem = _outdated(unit, exchange) if found is None else _fault(unit, found[1], exchange, language)
        if problem:
            problems.add(problem)
        elif found and unit.target:
            mine = good.setdefault(key_of(found[0]), {})
            if unit.id in mine:
                problems.add(_faulty(unit, exchange, say("it stands in the file twice")))
            mine.setdefault(unit.id, unit)
    put = [_put(one, units, exchange, problems) for one in entries if (units := good.get(key_of(one)))]
    return Taken(entries, len(put) - put.count(None), put.count(True), problems)


def _put(entry: Message, units: Mapping[str, Unit], exchange: Exchange, problems: Problems) -> bool | None:
    """Write the translations into an entry; True if it differs from what it was, None if it could not be taken."""
    before = (entry.string, entry.fuzzy)
    if isinstance(entry.id, str):
        (unit,) = units.values()
        entry.string = unit.target
    else:
        names = [unit_id(key_of(entry), n) for n in range(len(entry.string or ()))]
        old = forms_of(entry) or ("",) * len(names)
        forms = tuple(units[name].target if name in units else old[n] for n, name in enumerate(names))
        if not all(forms):
            first = next(iter(units.values()))
            wanted = ", ".join(name for name, form in zip(names, forms, strict=True) if not form)
            problems.add(
                _faulty(first, exchange, say("other forms of it have no translation: %(units)s", units=wanted))
            )
            return None
        entry.string = forms
    if all(unit.is_final for unit in units.values()):
        entry.flags.discard("fuzzy")
        entry.previous_id = []
    else:
        entry.flags.add("fuzzy")
    return before != (entry.string, entry.fuzzy)


def _outdated(unit: Unit, exchange: Exchange) -> Problem:
    return Problem(
        "exchange-outdated",
        unit.id,
        say("no document prints “%(sentence)s” any more; its translation is not taken", sentence=unit.source),
        say("export again, and go on in the new file"),
        Place(exchange.file, unit.line, 1),
        severity=Severity.NOTE,
    )


def _fault(unit: Unit, source: str, exchange: Exchange, language: Language) -> Problem | None:
    """Say why a unit is not taken, if it is not."""
    if unit.fault:
        return _faulty(unit, exchange, say("it holds what no sentence can: %(what)s", what=unit.fault), source)
    if unit.source != source:
        return _outdated(unit, exchange)
    if not unit.target:
        return None
    if any(not inside.strip() or inside != inside.strip() for inside in unit.target.split(BOLD)[1::2]):
        return _faulty(unit, exchange, say("a bold part is empty, or begins or ends with a space"))
    faults = tuple(sentence_faults(source, unit.target, language))
    return _faulty(unit, exchange, faults[0]) if faults else None


def _faulty(unit: Unit, exchange: Exchange, what: Said, source: str = "") -> Problem:
    return Problem(
        "exchange-faulty",
        unit.id,
        say("“%(sentence)s”: %(what)s; it is not taken", sentence=unit.source or source, what=what),
        say("mend this unit in the file, and import it again"),
        Place(exchange.file, unit.line, 1),
    )
