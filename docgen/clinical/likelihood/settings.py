"""The clinic's `risk.*` settings as one frozen value, with the defaults of the specification (section 1.3)."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import fields
from typing import Any, Final, Literal

from docgen.values import dataclass

_ON_OFF: Final = ("off", "on")


@dataclass(frozen=True, kw_only=True)
class RiskSettings:
    """How conflicting sources are settled; every default is the safer end, or the specification says why not."""

    any_complication_ratios: Literal["corroborated", "never"] = "corroborated"
    """Whether a ratio measured on any complication may act on one event."""
    score_envelope: bool = True
    """Whether a total of 6 or more carries the ratio of depth C."""
    depth_reference: Literal["C_vs_A", "C_vs_B"] = "C_vs_A"
    max_ratio_studies: Literal[0, 1, 2] = 2
    """The study of the base is not counted."""
    contradicted_ratios: Literal["apply", "wording"] = "apply"
    lingual_flap: Literal["ratio", "stratum"] = "ratio"
    ln_permanent: Literal["lf21", "lee23"] = "lf21"
    dry_socket_non_smoker: Literal["all_comers", "central_low"] = "all_comers"
    film_sign_floor: Literal["0.075", "0.20"] = "0.075"
    tuberosity_event: Literal["any_fragment", "large_fragment"] = "any_fragment"
    orn_unit: Literal["patient", "socket"] = "patient"
    coronectomy_ian: Literal["pooled", "older_range"] = "pooled"
    memory_figures: bool = False
    protective_ratios: bool = False
    words: bool = False
    """Whether the frequency word is printed; the engine only carries it."""

    def text(self, name: str) -> str:
        """Give a setting as the clinic's file spells it."""
        value: bool | int | str = getattr(self, name)
        return _ON_OFF[value] if isinstance(value, bool) else str(value)


SETTING_VALUES: Final[Mapping[str, tuple[bool | int | str, ...]]] = {
    "any_complication_ratios": ("corroborated", "never"),
    "score_envelope": (True, False),
    "depth_reference": ("C_vs_A", "C_vs_B"),
    "max_ratio_studies": (0, 1, 2),
    "contradicted_ratios": ("apply", "wording"),
    "lingual_flap": ("ratio", "stratum"),
    "ln_permanent": ("lf21", "lee23"),
    "dry_socket_non_smoker": ("all_comers", "central_low"),
    "film_sign_floor": ("0.075", "0.20"),
    "tuberosity_event": ("any_fragment", "large_fragment"),
    "orn_unit": ("patient", "socket"),
    "coronectomy_ian": ("pooled", "older_range"),
    "memory_figures": (True, False),
    "protective_ratios": (True, False),
    "words": (True, False),
}
"""Every value a setting may take."""

SETTING_NAMES: Final = frozenset(field.name for field in fields(RiskSettings))


def risk_settings(values: Mapping[str, str]) -> RiskSettings:
    """
    Read settings from their texts, by name with or without "risk."; what is not given keeps its default.

    Errors: ValueError for an unknown name or value.
    """
    chosen: dict[str, Any] = {}
    for given, text in values.items():
        name = given.removeprefix("risk.")
        if name not in SETTING_NAMES:
            raise ValueError(f"no setting {given}")
        for value in SETTING_VALUES[name]:
            if text == (_ON_OFF[value] if isinstance(value, bool) else str(value)):
                chosen[name] = value
        if name not in chosen:
            raise ValueError(f"{given}: not one of its values")
    return RiskSettings(**chosen)
