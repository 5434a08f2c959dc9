"""
Injections, a weight and a named regime > doses, limits, how much is used and how much is left.

Exact fractions throughout; what can't be computed is None, never a guess (section 3.6 of the specification).
"""

from docgen.clinical.anesthetic.dose import (
    Injection,
    drug_dose_mg,
    drugs_of,
    epinephrine_dose_ug,
    weight_for_dosing_kg,
    weight_is_unusual,
)
from docgen.clinical.anesthetic.limit import (
    REGIMES,
    DoseLimit,
    EpinephrineLimit,
    LowReasons,
    dose_limit,
    epinephrine_limit,
    low_epinephrine_reasons,
)
from docgen.clinical.anesthetic.room import Remaining, Room, remaining
from docgen.clinical.anesthetic.totals import (
    DrugSums,
    DrugTotal,
    LimitingTerm,
    Totals,
    add_up,
    drug_sums,
    percent_up,
)

__all__ = [
    "REGIMES",
    "DoseLimit",
    "DrugSums",
    "DrugTotal",
    "EpinephrineLimit",
    "Injection",
    "LimitingTerm",
    "LowReasons",
    "Remaining",
    "Room",
    "Totals",
    "add_up",
    "dose_limit",
    "drug_dose_mg",
    "drug_sums",
    "drugs_of",
    "epinephrine_dose_ug",
    "epinephrine_limit",
    "low_epinephrine_reasons",
    "percent_up",
    "remaining",
    "weight_for_dosing_kg",
    "weight_is_unusual",
]
