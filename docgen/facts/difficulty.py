"""Position, own grades and findings > how hard the operation may be, in one place (specification 3.2, 4.3)."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from docgen.answer import Answer
from docgen.clinical.position import NOT_SCORABLE
from docgen.clinical.teeth import tooth_class
from docgen.facts.fact import Fact, NeedMissing, Reading
from docgen.facts.procedure import planned
from docgen.facts.teeth import PER_TOOTH, Bands, ToothItem, per_tooth

RANKS = {"slight": 1, "moderate": 2, "very": 3, "extreme": 4}

HARD_ROOTS = ("divergent", "curved", "hooked", "bulbous")

FINDINGS = (
    ("ligament", "narrow", "narrow_ligament"),
    ("follicle", "thin", "thin_follicle"),
    ("bone", "dense", "dense_bone"),
    ("cover", "complete_bone", "complete_bone"),
)
"""Field, answer, and the factor it stands for."""

OWN_STATES = ("root_filled", "crown_lost", "ankylosis_suspected", "lone_standing")


@dataclass(frozen=True)
class HarderFactors:
    """What was recorded that makes the tooth harder, and how many questions nobody answered."""

    factors: tuple[str, ...]
    unanswered: int


def _harder(reading: Reading, item: ToothItem) -> HarderFactors:
    shapes = reading.value(f"{item.path}.root_shape")
    found = [f"{s}_roots" for s in HARD_ROOTS if isinstance(shapes, tuple) and s in shapes]
    found += [factor for field, answer, factor in FINDINGS if reading.value(f"{item.path}.{field}") == answer]
    neighbor, own = reading.value(f"{item.path}.neighbor"), reading.value(f"{item.path}.own_state")
    if isinstance(neighbor, tuple) and "touches_second_molar" in neighbor:
        found.append("touches_second_molar")
    canal = reading.known("canal_at_risk")
    if canal and canal.get(item.fdi) is True:
        found.append("canal_at_risk")
    found += [state for state in OWN_STATES if isinstance(own, tuple) and state in own]
    asked = [
        reading.value(f"{item.path}.{f}")
        for f in ("root_shape", "ligament", "follicle", "bone", "cover", "neighbor", "own_state")
    ]
    return HarderFactors(tuple(found), sum(1 for a in asked if a is None or a is Answer.NOT_KNOWN))


@dataclass(frozen=True)
class Difficulty:
    """How hard one tooth is: rank 1 to 4, the total it rests on, and whose grade it is."""

    rank: int
    total: int
    """0 if no index scores the tooth."""
    has_total: bool
    grade: str
    """slight, moderate, very or extreme, in the chosen band set."""
    patient_grade: str
    """The grade told to the patient: at a total of 7 the harder of both band sets."""
    own_grade: bool
    by_kim: bool


def _worded(rank: int) -> str:
    return next(name for name, value in RANKS.items() if value == rank)


def _surgical(reading: Reading, fdi: str) -> bool:
    numbers = reading.fact("tooth_fdi")
    rows = [p for p in planned(reading) if numbers.get(str(p.tooth)) == fdi]
    if not rows or rows[0].surgical is None:
        raise NeedMissing(("plan.procedures[0].surgical",))
    return bool(rows[0].surgical)


def _difficulty(reading: Reading, item: ToothItem) -> Difficulty:
    """Take the first that applies of 3.2: extreme, very, moderate, slight."""
    total, band = reading.fact("pederson_total")[item.fdi], reading.fact("pederson_band")[item.fdi]
    kim = reading.fact("kim_band")[item.fdi]
    own = reading.value(f"{item.path}.surgeon_grade")
    own_rank = RANKS.get(own, 0) if isinstance(own, str) else 0
    kim_rank = RANKS.get(kim, 0) if isinstance(kim, str) else 0
    score = RANKS[band.band] if isinstance(band, Bands) else 0
    lower = tooth_class(item.fdi) == "lower_third"
    if max(own_rank, kim_rank) == 4:
        rank = 4
    elif max(score, kim_rank, own_rank) == 3 or (lower and total == NOT_SCORABLE and not own_rank):
        rank = 3
    elif max(score, kim_rank, own_rank) == 2 or (not score and not own_rank and _surgical(reading, item.fdi)):
        rank = 2
    else:
        rank = 1
    harder = max(rank, *(RANKS[b] for b in (band.p8, band.p7))) if isinstance(band, Bands) else rank
    number = total if isinstance(total, int) else 0
    return Difficulty(
        rank, number, bool(number), _worded(rank), _worded(min(harder, 4)), bool(own_rank), kim_rank > score
    )


@dataclass(frozen=True)
class CaseDifficulty:
    """The hardest tooth of the case."""

    tooth: str
    difficulty: Difficulty
    band_set: str
    several_teeth: bool


def _case(reading: Reading) -> CaseDifficulty:
    by_tooth = reading.fact("difficulty_tooth")
    harder = reading.fact("harder_factors")

    def weight(tooth: str) -> tuple[Any, ...]:
        one = by_tooth[tooth]
        return (-one.rank, -one.total, -len(harder[tooth].factors), tooth)

    if not by_tooth:
        raise NeedMissing(("plan.procedures",))
    hardest = min(by_tooth, key=weight)
    return CaseDifficulty(hardest, by_tooth[hardest], reading.setting("difficulty.band_set"), len(by_tooth) > 1)


DIFFICULTY = (
    Fact("harder_factors", (*PER_TOOTH, "teeth", "canal_at_risk"), per_tooth(_harder), ("FACT", "memory")),
    Fact(
        "difficulty_tooth",
        (
            *PER_TOOTH,
            "pederson_total",
            "pederson_band",
            "kim_band",
            "teeth[].surgeon_grade",
            "plan.procedures[].surgical",
        ),
        per_tooth(_difficulty),
        ("design",),
    ),
    Fact(
        "difficulty_case",
        ("settings.difficulty.band_set", "difficulty_tooth", "harder_factors"),
        _case,
        ("PDI18", "ROY15"),
    ),
)
