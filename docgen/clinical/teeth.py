"""
A tooth number in one of three notations > the same tooth in ISO 3950 (FDI), its side, jaw and class.

A bare number names different teeth in different systems, so a notation is always given, never guessed.
Source: FDI-W, FDI-SSD; rules and table in section 6 of the clinical reference.
"""

from __future__ import annotations

from typing import Final, Literal

Notation = Literal["fdi", "universal", "palmer"]
Side = Literal["left", "right"]
Jaw = Literal["upper", "lower"]
ToothClass = Literal["lower_third", "upper_third", "upper_posterior", "lower_posterior", "anterior", "primary"]

_PALMER_QUADRANT: Final = {"1": "UR", "2": "UL", "3": "LL", "4": "LR", "5": "UR", "6": "UL", "7": "LL", "8": "LR"}
_PRIMARY_LETTERS: Final = "ABCDEFGHIJKLMNOPQRST"
# quadrant: (constant, sign) of the Universal number, counted from 1 for permanent teeth and from A = 0 for primary ones
_UNIVERSAL: Final = {
    1: (9, -1),
    2: (8, 1),
    3: (25, -1),
    4: (24, 1),
    5: (5, -1),
    6: (4, 1),
    7: (15, -1),
    8: (14, 1),
}

ALL_TEETH: Final[tuple[str, ...]] = tuple(
    f"{quadrant}{number}" for quadrant in range(1, 9) for number in range(1, 9 if quadrant <= 4 else 6)
)
"""The 32 permanent and 20 primary teeth by FDI number, quadrant by quadrant from the midline."""


class NotATooth(ValueError):
    """No tooth has this number in this notation; supernumerary numbers are refused too."""


def tooth_universal(fdi: str) -> str:
    """Name a tooth by its Universal number (1-32) or letter (A-T)."""
    quadrant, number = _parts(fdi)
    constant, sign = _UNIVERSAL[quadrant]
    counted = constant + sign * number
    return str(counted) if quadrant <= 4 else _PRIMARY_LETTERS[counted]


def tooth_palmer(fdi: str) -> str:
    """Name a tooth in the text form of Palmer's notation: UR, UL, LL or LR with 1-8 or A-E."""
    quadrant, number = _parts(fdi)
    return _PALMER_QUADRANT[fdi[0]] + (str(number) if quadrant <= 4 else _PRIMARY_LETTERS[number - 1])


def from_fdi(fdi: str, notation: Notation) -> str:
    """Name a tooth in the notation asked for."""
    if notation == "universal":
        return tooth_universal(fdi)
    if notation == "palmer":
        return tooth_palmer(fdi)
    _parts(fdi)
    return fdi


_TO_FDI: Final[dict[str, dict[str, str]]] = {}


def to_fdi(number: str, notation: Notation) -> str:
    """
    Find the FDI number of a tooth written in the declared notation.

    Errors: NotATooth, if the notation has no such tooth.
    """
    try:
        return _TO_FDI[notation][number]
    except KeyError:
        raise NotATooth(f"no tooth of the {notation} notation has this number") from None


def possible_teeth(number: str) -> tuple[str, ...]:
    """Name every tooth, in FDI, that a number may mean while nobody has declared its notation."""
    return tuple(fdi for fdi in ALL_TEETH if number in (fdi, tooth_universal(fdi), tooth_palmer(fdi)))


def tooth_side(fdi: str) -> Side:
    """Tell the side, from the patient's point of view."""
    return "right" if _parts(fdi)[0] in (1, 4, 5, 8) else "left"


def tooth_jaw(fdi: str) -> Jaw:
    """Tell the jaw."""
    return "upper" if _parts(fdi)[0] in (1, 2, 5, 6) else "lower"


def tooth_class(fdi: str) -> ToothClass:
    """Tell the class the figures are published for."""
    quadrant, number = _parts(fdi)
    if quadrant > 4:
        return "primary"
    if number < 4:
        return "anterior"
    if tooth_jaw(fdi) == "upper":
        return "upper_third" if number == 8 else "upper_posterior"
    return "lower_third" if number == 8 else "lower_posterior"


def are_neighbors(fdi: str, other_fdi: str) -> bool:
    """Tell whether two teeth stand side by side: numbers one apart in a quadrant, or the central incisors of a jaw."""
    quadrant, number = _parts(fdi)
    other_quadrant, other_number = _parts(other_fdi)
    if quadrant == other_quadrant:
        return abs(number - other_number) == 1
    same_dentition = (quadrant <= 4) == (other_quadrant <= 4)
    return same_dentition and tooth_jaw(fdi) == tooth_jaw(other_fdi) and number == other_number == 1


def _parts(fdi: str) -> tuple[int, int]:
    if fdi not in ALL_TEETH:
        raise NotATooth("no tooth of the fdi notation has this number")
    return int(fdi[0]), int(fdi[1])


_TO_FDI.update(
    fdi={fdi: fdi for fdi in ALL_TEETH},
    universal={tooth_universal(fdi): fdi for fdi in ALL_TEETH},
    palmer={tooth_palmer(fdi): fdi for fdi in ALL_TEETH},
)
