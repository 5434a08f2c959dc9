"""Position, own grades and findings > how hard the operation may be, in one place (specification 3.2, 4.3)."""

from __future__ import annotations

from typing import Any

from docgen.answer import Answer
from docgen.clinical.position import NOT_SCORABLE
from docgen.clinical.teeth import tooth_class
from docgen.facts.fact import Fact, NeedMissing, Reading
from docgen.facts.procedure import planned
from docgen.facts.teeth import PER_TOOTH, Bands, ToothItem, per_tooth
from docgen.values import dataclass

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
    if _known_of(reading, "canal_at_risk", item.fdi) is True:
        found.append("canal_at_risk")
    found += [state for state in OWN_STATES if isinstance(own, tuple) and state in own]
    asked = [
        reading.value(f"{item.path}.{f}")
        for f in ("root_shape", "ligament", "follicle", "bone", "cover", "neighbor", "own_state")
    ]
    return HarderFactors(tuple(found), sum(1 for a in asked if a is None or a is Answer.NOT_KNOWN))


def _known_of(reading: Reading, name: str, fdi: str) -> Any:
    """Give what a fact says of one tooth, or None if it does not know."""
    try:
        return reading.of_tooth(name, fdi)
    except NeedMissing:
        return None


def _graded(reading: Reading) -> bool:
    """Say whether an index gives a number for any tooth in question; one is enough."""
    names = ("pederson_total", "kim_total")
    teeth = reading.fact("teeth_in_question")
    if any(isinstance(_known_of(reading, name, tooth), int) for name in names for tooth in teeth):
        return True
    for name in names:
        reading.fact(name)
    return False


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
    """Say whether a tooth is to be operated on; a referral proposes nothing yet, and takes it as surgical."""
    if "referral.teeth" in reading.request.teeth_lists[:1]:
        return True
    numbers = reading.fact("tooth_fdi")
    rows = {numbers.get(str(row.tooth)): f"plan.procedures[{n}]" for n, row in enumerate(planned(reading))}
    if fdi not in rows:
        raise NeedMissing(("plan.procedures",))
    return bool(reading.need(f"{rows[fdi]}.surgical"))


def _total(reading: Reading, fdi: str) -> tuple[int, Bands | None]:
    """Give Pederson's total and bands; 0 without bands if the index has none, or the tooth comes out plainly."""
    try:
        total, bands = reading.of_tooth("pederson_total", fdi), reading.of_tooth("pederson_band", fdi)
    except NeedMissing:
        if _surgical(reading, fdi):
            raise
        return 0, None
    return (total, bands) if isinstance(bands, Bands) else (0, None)


def _rank(reading: Reading, fdi: str, score: int, kim: int, own: int) -> int:
    """Take the first that applies of 3.2: extreme, very, moderate, slight."""
    hardest = max(score, kim, own)
    if hardest > 2:
        return hardest
    scorable = _known_of(reading, "pederson_total", fdi) != NOT_SCORABLE
    if tooth_class(fdi) == "lower_third" and not scorable and not own:
        return 3
    if hardest == 2 or (not hardest and _surgical(reading, fdi)):
        return 2
    return 1


def _difficulty(reading: Reading, item: ToothItem) -> Difficulty:
    total, bands = _total(reading, item.fdi)
    own = RANKS.get(str(reading.value(f"{item.path}.surgeon_grade")), 0)
    kim = RANKS.get(str(_known_of(reading, "kim_band", item.fdi)), 0)
    score = RANKS[bands.band] if bands else 0
    rank = _rank(reading, item.fdi, score, kim, own)
    told = max(rank, RANKS[bands.p8], RANKS[bands.p7]) if bands else rank
    return Difficulty(rank, total, bool(total), _worded(rank), _worded(told), bool(own), kim > score)


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
        "difficulty_graded", ("teeth_in_question", "pederson_total", "kim_total"), _graded, ("design",), assumed=False
    ),
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
