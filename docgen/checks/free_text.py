"""Free text that may name a drug or an allergy no list holds, and so no rule looks at."""

from __future__ import annotations

import re
from collections.abc import Iterator
from functools import cache
from itertools import pairwise

from docgen.case import field_specs
from docgen.checks.look import Look
from docgen.clinical.medicine import drug_classes
from docgen.clinical.table import Tables

BEFORE_THE_PLAN = ("patient.", "medical.", "teeth[]", "imaging[]", "referral.")
BY_KIND = {"reply": ("reply.summary",), "physician-query": ("query.questions[]",)}
NOT_SAID = frozenset({
    "inn", "substance", "name", "address[]", "phone", "email", "identifier", "national_number", "given_names",
    "family_name", "form_of_address", "icd10", "number", "to_name", "to_clinic", "batch", "lot", "version",
})  # fmt: skip
"""Names of fields whose text is a name or a number, or is a list of drugs itself."""

SHORTEST_STEM = 3
"""Letters before the ending of a class: "-pril" makes a drug of ramipril and not of April."""

_WORD = re.compile(r"[^\W\d_]+(?:-[^\W\d_]+)*")


def free_texts(look: Look) -> Iterator[tuple[str, str]]:
    """Give path and text of everything said in words that this document's moment may look at."""
    for pattern in _patterns(look.kind, after=look.operation_is_over):
        for path in look.case.expand(pattern):
            value = look.case.value(path)
            if isinstance(value, str):
                yield path, value


def drugs_named(text: str, tables: Tables) -> tuple[str, ...]:
    """
    Name the drugs of the class lists that a text names, as they are written there.

    Beginnings of a class ("cef-") are not looked for: words of other languages begin so.
    """
    words = [word.lower() for word in _WORD.findall(text)]
    pairs = [" ".join(two) for two in pairwise(words)]
    names, endings = _listed(tables)
    found = [one for one in (*pairs, *words) if one in names or _has_ending(one, endings)]
    return tuple(one for one in dict.fromkeys(found) if drug_classes(one, tables))


def _has_ending(name: str, endings: tuple[str, ...]) -> bool:
    """Tell whether a name ends as a class does; an ending of two words ends two words only."""
    return name.endswith(endings) and any(  # most words end as no class does
        name.endswith(end) and len(name) >= len(end) + SHORTEST_STEM and (" " in name) is (" " in end)
        for end in endings
    )


@cache
def _patterns(kind: str, *, after: bool) -> tuple[str, ...]:
    starts: tuple[str, ...] = BEFORE_THE_PLAN if kind == "referral" else (*BEFORE_THE_PLAN, "plan.", "consent.")
    starts += (("operation.",) if after else ()) + BY_KIND.get(kind, ())
    return tuple(
        path
        for path, spec in field_specs().items()
        if spec.type in ("line", "text") and path.startswith(starts) and path.rpartition(".")[2] not in NOT_SAID
    )


@cache
def _listed(tables: Tables) -> tuple[frozenset[str], tuple[str, ...]]:
    """Give the names the lists hold in full, and the endings of classes."""
    rows = tables.table("drug-class").rows
    names = {row.text("inn") for row in rows if row.text("match", "name") == "name"}
    names |= {row.text("name") for row in tables.table("drug-synonym") if row.text("kind") == "synonym"}
    return frozenset(names), tuple(row.text("inn") for row in rows if row.text("match", "name") == "suffix")
