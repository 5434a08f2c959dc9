"""
The settings of the clinic: names, values and defaults of section 1.3 of the specification.

A required setting has no default: law and dose limits are never guessed.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from datetime import date
from decimal import Decimal
from types import MappingProxyType

from docgen.answer import Answer
from docgen.case.leaf import Leaf
from docgen.values import dataclass


@dataclass(frozen=True)
class SettingSpec:
    """One choice of the clinic."""

    name: str
    """Dotted; parts in angle brackets stand for any word of small letters."""
    type: str
    """code, line, int or decimal."""
    values: tuple[str, ...]
    """Allowed words; empty if any value of the type is allowed."""
    default: str | None
    """None if the setting is required."""
    description: str
    leaf: Leaf
    optional: bool = False
    """True if there is neither a default nor a duty to set it."""

    @property
    def required(self) -> bool:
        """True if the program refuses to guess."""
        return self.default is None and not self.optional


@dataclass(frozen=True)
class Setting:
    """A choice as the clinic made it."""

    value: str
    by: str
    """Who approved it; empty if that is missing, which refuses the documents."""
    on: date | None


def _words(name: str, values: str, description: str, default: str | None = "") -> SettingSpec:
    """Declare a closed list; the first value is the default unless another is named."""
    words = tuple(values.split())
    return SettingSpec(
        name, "code", words, words[0] if default == "" else default, description, Leaf("code", codes=words)
    )


def _number(
    name: str,
    description: str,
    default: str | None = None,
    *,
    also: str = "",
    optional: bool = False,
    type_: str = "int",
) -> SettingSpec:
    answers = frozenset({Answer.NONE}) if also == "none" else frozenset()
    leaf = Leaf(type_, answers, low=Decimal(0), above_low=True)
    return SettingSpec(name, type_, (also,) if also else (), default, description, leaf, optional)


def _line(name: str, description: str, *, optional: bool = False) -> SettingSpec:
    return SettingSpec(name, "line", (), None, description, Leaf("line"), optional)


def _exchanged(name: str, form: str, description: str) -> SettingSpec:
    """Declare a name in a code system; docgen ships no such system."""
    return SettingSpec(name, "line", (), None, description, Leaf("line", form=form), optional=True)


_ALL = (
    _line("jurisdiction.name", "Place whose law applies"),
    _number("jurisdiction.age_of_majority", "Age in years from which a person is an adult"),
    _line("jurisdiction.emergency_number", "Number to call in danger of life"),
    _number("jurisdiction.age_of_own_consent", "Age from which a minor may consent alone", "none", also="none"),
    _words("jurisdiction.leap_birthday", "28_february 1_march", "Birthday of those born on 29 February", "1_march"),
    _words("jurisdiction.endocarditis", "us_2021 uk_framework", "Guidance on antibiotics for the heart", None),
    _words(
        "la.regime",
        "us_label conservative canada australia_older uk_label uk_taught",
        "Set of limits for local anesthetics",
        None,
    ),
    _words("la.combine", "sum_of_fractions lower_of_two", "How two local anesthetics are added"),
    _words("la.memory_rows", "off approved", "Whether unsourced dose rows may print"),
    _words("difficulty.band_set", "p8 p7", "Where the hardest band begins"),
    _words("difficulty.other_from", "101 111", "Angle from which a tooth is not scored"),
    _words("risk.any_complication_ratios", "corroborated never", "Ratios for any complication used on the nerve"),
    _words("risk.score_envelope", "on off", "A higher total never prints a smaller number"),
    _words("risk.depth_reference", "C_vs_A C_vs_B", "Which published ratio of depth is used"),
    _words("risk.max_ratio_studies", "0 1 2", "How many studies may multiply a risk", "2"),
    _words("risk.contradicted_ratios", "apply wording", "What a contradicted ratio does"),
    _words("risk.lingual_flap", "ratio stratum", "How a lingual flap raises the risk to the tongue"),
    _words("risk.ln_permanent", "lf21 lee23", "Source of lasting tongue numbness"),
    _words("risk.dry_socket_non_smoker", "all_comers central_low", "Base of dry socket for non-smokers"),
    _words("risk.film_sign_floor", "0.075 0.20", "Least risk if a film sign is present"),
    _words("risk.tuberosity_event", "any_fragment large_fragment", "What counts as a broken tuberosity"),
    _words("risk.orn_unit", "patient socket", "Unit of the risk after radiation"),
    _words("risk.coronectomy_ian", "pooled older_range", "Source of nerve risk after coronectomy"),
    _words("risk.memory_figures", "off on", "Whether unsourced figures may print"),
    _words("risk.protective_ratios", "off on", "Whether rinses and gels lower a printed risk"),
    _words("risk.words", "off on", "Whether words for frequencies print"),
    _words("antithrombotic.inr_rule", "to_3_5 below_4", "Highest INR to operate at"),
    _words("antithrombotic.doac_guidance", "ask_physician sdcep_2022", "Guidance on newer blood thinners"),
    _words("mronj.denosumab_washout", "keep_group nine_months", "When denosumab stops to count"),
    _words("aftercare.metronidazole_alcohol_hours", "48 72", "Hours without alcohol after metronidazole", "72"),
    _words("aftercare.dry_socket_watch_days", "5 7", "Days to watch for dry socket", "7"),
    _words("aftercare.nsaid_food", "with_food as_leaflet_in_box", "How to take anti-inflammatory drugs"),
    _line("readability.<language>.<kind>.index", "Readability index for this language and kind", optional=True),
    _number("readability.<language>.<kind>.target", "Target of the index", optional=True, type_="decimal"),
    _words("readability.<language>.<kind>.severity", "note refuse", "What a missed target does"),
    _number("reading.words_per_minute", "Reading speed", "200"),
    _words("issue.unreviewed", "refuse allow_marked", "Issue of an unreviewed translation"),
    _words("issue.unapproved", "refuse allow_marked", "Issue of an unapproved text"),
    _words("language.unreviewed", "mark refuse", "Drafts in an unreviewed language"),
    _exchanged("exchange.tooth_system", "uri", "URI of the code system of tooth numbers in exchanged data"),
    _exchanged("exchange.icd10_system", "uri", "URI of the edition that the ICD-10 codes of records are of"),
    _exchanged("exchange.procedure.<code>", "coding", "The clinic's own code for a procedure"),
    _exchanged("exchange.condition.<code>", "coding", "The clinic's own code for a condition"),
    _exchanged("exchange.allergy.<group>", "coding", "The clinic's own code for a group of allergies"),
    _exchanged(
        "exchange.medicine.<inn>", "coding", "The clinic's own code for a medicine; spaces of its name become hyphens"
    ),
    _number("retention.years_adult", "Years an adult's record is kept"),
    _number("retention.child_until_age", "Age until which a child's record is kept"),
    _number("retention.<kind>.years", "Years a kind of document is kept, if not as the record", optional=True),
)
_SPECS = MappingProxyType({spec.name: spec for spec in _ALL})
_PATTERNS = tuple((spec.name.split("."), spec) for spec in _ALL if "<" in spec.name)
_PART = re.compile("[A-Za-z][A-Za-z0-9_-]*")
"""What may stand for a part in angle brackets."""


def setting_specs() -> Mapping[str, SettingSpec]:
    """Give every setting by its name; names with parts in angle brackets are patterns."""
    return _SPECS


def find_setting(name: str) -> SettingSpec | None:
    """Find the specification of a setting by a concrete name."""
    if name in _SPECS and "<" not in name:
        return _SPECS[name]
    parts = name.split(".")
    return next((spec for pattern, spec in _PATTERNS if _fits(pattern, parts)), None)


def _fits(pattern: list[str], parts: list[str]) -> bool:
    return len(pattern) == len(parts) and all(
        _PART.fullmatch(part) if wished[0] == "<" else part == wished
        for wished, part in zip(pattern, parts, strict=True)
    )
