"""What is known of one tooth and its patient, as plain codes; unknown is a value of its own and never "no"."""

from __future__ import annotations

from enum import Enum
from fractions import Fraction
from typing import Final

from docgen.answer import Answer
from docgen.clinical.teeth import tooth_class
from docgen.values import dataclass


class Unanswered(Enum):
    """The one value of an input nobody has answered."""

    UNKNOWN = "unknown"


UNKNOWN: Final = Unanswered.UNKNOWN

YesNo = bool | Unanswered | Answer
Code = str | Unanswered | Answer
Codes = tuple[str, ...] | Unanswered | Answer
Whole = int | str | Unanswered | Answer
Value = bool | int | str | Fraction | tuple[str, ...] | Unanswered | Answer


@dataclass(frozen=True, kw_only=True)
class Inputs:
    """
    The axis inputs of the likelihood tables for one tooth.

    Where a fact has an assumed value for "not known" (radiotherapy, the group of bone drugs), give that value.
    `Answer.NOT_KNOWN` counts as unknown, `Answer.NOT_APPLICABLE` and `Answer.NONE` as answered: no condition holds.
    """

    fdi: str
    """FDI number of the tooth."""
    procedure: Code = UNKNOWN
    """Codes of `plan.procedures[].procedure`."""
    surgical: YesNo = UNKNOWN
    incision: YesNo = UNKNOWN
    lingual_flap: YesNo = UNKNOWN
    """Raised or retracted, as planned or done."""
    air_driven: YesNo = UNKNOWN
    eruption: Code = UNKNOWN
    depth: Code = UNKNOWN
    ramus: Code = UNKNOWN
    winter_class: Code = UNKNOWN
    pederson_total: Whole = UNKNOWN
    """Points, or "not_scorable"."""
    canal_relation: Code = UNKNOWN
    ct_position: Code = UNKNOWN
    film_sign_strong: YesNo = UNKNOWN
    """Canal diverted, white line lost or root darkened on the film."""
    root_shapes: Codes = UNKNOWN
    sinus_relation: Code = UNKNOWN
    sinus_overlap_fraction: Fraction | Unanswered | Answer = UNKNOWN
    age_years: Whole = UNKNOWN
    sex: Code = UNKNOWN
    smoking_status: Code = UNKNOWN
    hormonal_contraception: Code = UNKNOWN
    previous_infection: YesNo = UNKNOWN
    bleeding_patient_class: Code = UNKNOWN
    """none, antiplatelet, vka, doac or other."""
    mronj_group: Code = UNKNOWN
    """none, low or higher."""
    antiresorptive_indication: Code = UNKNOWN
    """cancer, if any of the drugs is given for it."""
    orn_risk: YesNo = UNKNOWN
    operator_is_trainee: YesNo = UNKNOWN
    difficulty_rank: Whole = UNKNOWN
    coronectomy_discussed: YesNo = UNKNOWN
    """To be discussed, or planned."""
    injection_planned: YesNo = UNKNOWN
    nerve_seen: YesNo = UNKNOWN
    prevention: Codes = UNKNOWN
    """Planned ones of chlorhexidine_gel, chlorhexidine_rinse, antibiotic."""
    lingual_split: YesNo = UNKNOWN
    full_dentition: YesNo = UNKNOWN

    def value(self, name: str) -> Value:
        """Give an input by the name the tables use; `tooth_class` is computed from the tooth."""
        value: Value = tooth_class(self.fdi) if name == "tooth_class" else getattr(self, name)
        return UNKNOWN if value is Answer.NOT_KNOWN else value


INPUT_NAMES: Final = frozenset({*Inputs.__dataclass_fields__, "tooth_class"})
"""What a condition of a table may name."""
