"""The invented patients and positions of teeth the likelihood tests share."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from typing import Any, Final

from hypothesis import strategies as st

from docgen.clinical.likelihood import SETTING_VALUES, UNKNOWN, Estimate, Inputs, RiskSettings, estimate
from docgen.clinical.position import pederson_total
from docgen.clinical.table_file import read_tables

TABLES: Final = read_tables()
ANGULATIONS: Final = ("mesioangular", "horizontal", "vertical", "distoangular")
POSITIONS: Final = tuple(
    (winter, depth, ramus) for winter in ANGULATIONS for depth in ("A", "B", "C") for ramus in ("I", "II", "III")
)
"""All 36 combinations the Pederson index scores."""

A: Final = Inputs(
    fdi="38",
    procedure="removal",
    surgical=True,
    incision=True,
    lingual_flap=False,
    eruption="partly_impacted",
    film_sign_strong=False,
    canal_relation="clear",
    ct_position="not_imaged",
    age_years=22,
    smoking_status="never",
    hormonal_contraception="none",
    bleeding_patient_class="none",
    mronj_group="none",
    orn_risk=False,
    coronectomy_discussed=False,
    injection_planned=True,
    nerve_seen=False,
    prevention=(),
    root_shapes=("straight",),
)
"""Patient A of 4.7: age 22, no lingual flap, never smoked; everything else answered and harmless."""


def at(winter: str, depth: str, ramus: str, patient: Inputs = A, **changed: Any) -> Inputs:
    """Give a lower third molar in a position, with its total."""
    total = pederson_total("38", winter, depth, ramus, TABLES)
    placed = replace(patient, winter_class=winter, depth=depth, ramus=ramus, pederson_total=total)
    return replace(placed, **changed)


def upper(**changed: Any) -> Inputs:
    """Give an upper third molar of patient A, erupted and clear of the sinus, without an incision."""
    fields: dict[str, Any] = {
        "fdi": "28",
        "eruption": "erupted",
        "incision": False,
        "sinus_relation": "clear",
        "winter_class": "vertical",
        "canal_relation": UNKNOWN,
    }
    return replace(A, **{**fields, **changed})


def asked(event: str, inputs: Inputs, settings: RiskSettings | None = None) -> Estimate:
    """Estimate with the shipped tables."""
    return estimate(event, inputs, settings or RiskSettings(), TABLES)


def printed(event: str, inputs: Inputs, settings: RiskSettings | None = None) -> Fraction:
    """Give the printed figure as a probability; 0 where none is printed."""
    shown = asked(event, inputs, settings).printed
    return shown.probability if shown else Fraction(0)


settings_of_a_clinic = st.builds(
    RiskSettings, **{name: st.sampled_from(values) for name, values in SETTING_VALUES.items()}
)
"""Any combination of the risk settings."""

PATIENT_VALUES: Final[dict[str, tuple[Any, ...]]] = {
    "fdi": ("38", "48", "18", "28", "46", "16", "21"),
    "procedure": ("removal", "root_removal", "coronectomy"),
    "surgical": (True, False, UNKNOWN),
    "incision": (True, False, UNKNOWN),
    "lingual_flap": (True, False, UNKNOWN),
    "eruption": ("erupted", "partly_impacted", "fully_impacted", UNKNOWN),
    "depth": ("A", "B", "C", UNKNOWN),
    "winter_class": (*ANGULATIONS, "other", UNKNOWN),
    "pederson_total": (3, 5, 6, 7, 10, "not_scorable", UNKNOWN),
    "canal_relation": ("clear", "touching", "overlapping", UNKNOWN),
    "ct_position": ("buccal", "lingual", "not_imaged", UNKNOWN),
    "film_sign_strong": (True, False, UNKNOWN),
    "root_shapes": (("straight",), ("divergent",), ("curved", "bulbous"), UNKNOWN),
    "sinus_relation": ("clear", "tips_on_floor", "all_roots_overlap", UNKNOWN),
    "age_years": (16, 25, 26, 30, 31, 32, 33, 70, UNKNOWN),
    "smoking_status": ("never", "former", "current", UNKNOWN),
    "hormonal_contraception": ("none", "combined", "progestogen", UNKNOWN),
    "bleeding_patient_class": ("none", "antiplatelet", "vka", "doac", "other", UNKNOWN),
    "mronj_group": ("none", "low", "higher"),
    "antiresorptive_indication": ("osteoporosis", "cancer", "other", UNKNOWN),
    "orn_risk": (True, False),
    "coronectomy_discussed": (True, False),
    "injection_planned": (True, False),
    "nerve_seen": (True, False),
    "prevention": ((), ("chlorhexidine_gel",), ("chlorhexidine_rinse", "antibiotic"), UNKNOWN),
}
any_patient = st.fixed_dictionaries({name: st.sampled_from(values) for name, values in PATIENT_VALUES.items()}).map(
    lambda values: Inputs(**values)
)
"""Any tooth and patient the inputs can describe, unknowns included."""
