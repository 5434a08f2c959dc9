"""
The name of a drug > its plain INN, its classes, and the ceilings of pain killers.

Membership is a list, not a judgement: a drug no list holds has no rules, and that is said, never assumed harmless.
"""

from __future__ import annotations

from collections.abc import Iterable
from fractions import Fraction
from functools import lru_cache
from typing import Final

from docgen.clinical.table import Row, Tables
from docgen.values import dataclass

_NAMES_KEPT: Final = 2048
"""The conflict rows look each name up a hundred times."""


@dataclass(frozen=True)
class Ceiling:
    """The most of a pain killer an adult takes."""

    inn: str
    mg_per_day: Fraction
    hours_apart: Fraction
    """Shortest gap between two doses."""
    row: str
    source: tuple[str, ...]
    tag: str


@lru_cache(maxsize=_NAMES_KEPT)
def plain_inn(name: str, tables: Tables) -> tuple[str, ...]:
    """
    Give the plain INN of each part of a drug name, in lower case, combinations split at "+".

    Salt names are dropped and synonyms joined: "Adrenaline tartrate" is epinephrine.
    Source: table drug-synonym.
    """
    return tuple(_plain_part(part, tables) for part in name.lower().split("+") if part.strip())


@lru_cache(maxsize=_NAMES_KEPT)
def drug_classes(name: str, tables: Tables) -> frozenset[str]:
    """
    Name the classes a drug, or any part of a combination, belongs to; empty if no list holds it.

    Source: table drug-class.
    """
    parts = plain_inn(name, tables)
    return frozenset(row.text("class") for row in tables.table("drug-class") for part in parts if _is_member(part, row))


def is_known_drug(name: str, tables: Tables, also: Iterable[str] = ()) -> bool:
    """Tell whether every part of a drug name stands in a class list or among the names the clinic adds."""
    added = {part for other in also for part in plain_inn(other, tables)}
    parts = plain_inn(name, tables)
    return bool(parts) and all(part in added or drug_classes(part, tables) for part in parts)


def known_inns(tables: Tables) -> tuple[str, ...]:
    """Give every INN the class lists name in full, sorted, for finding a misspelled one."""
    return tuple(sorted({row.text("inn") for row in tables.table("drug-class") if row.text("match", "name") == "name"}))


def analgesic_ceiling(name: str, supply: str, tables: Tables) -> Ceiling | None:
    """
    Find an adult's ceiling of a pain killer by how it was supplied; None if no figure is held.

    Units: mg in 24 hours, hours. `supply` is prescribed, over_the_counter or given_here.
    Source: table analgesic-ceiling.
    """
    for row in tables.table("analgesic-ceiling"):
        if plain_inn(name, tables) == (row.text("inn"),) and supply in row.texts("supply"):
            return Ceiling(
                row.text("inn"), row.number("mg_per_day"), row.number("hours_apart"), row.id, row.source, row.tag
            )
    return None


def _plain_part(part: str, tables: Tables) -> str:
    rows = tables.table("drug-synonym").rows
    salts = {row.text("name") for row in rows if row.text("kind") == "salt"}
    synonyms = {row.text("name"): row.text("inn") for row in rows if row.text("kind") == "synonym"}
    words = part.split()
    while len(words) > 1 and words[-1] in salts:
        words.pop()
    plain = " ".join(words)
    return synonyms.get(plain, plain)


def _is_member(inn: str, row: Row) -> bool:
    listed, match = row.text("inn"), row.text("match", "name")
    if match == "suffix":
        return inn.endswith(listed) and inn not in row.texts("except")
    if match == "prefix":
        return inn.startswith(listed)
    return inn == listed
