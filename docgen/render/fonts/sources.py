"""
Which font files there are, from which pinned package, and what scripts they print.

Every file is known by its digest: a package that changed under its version is refused, not printed with.
"""

from __future__ import annotations

from importlib.util import find_spec
from pathlib import Path

from docgen.values import dataclass

HOUSE = "Noto Sans"
"""The family of the house: Latin, Greek, Cyrillic, Vietnamese, digits and punctuation of all scripts."""

CHINESE = "Noto Sans SC"


@dataclass(frozen=True)
class Family:
    """A variable font with a weight axis."""

    name: str
    package: str
    file: str
    """Path inside the package."""
    sha256: str
    blocks: tuple[tuple[int, int], ...]
    """Code points, first and last, that are looked for in this family; the house family is asked before."""
    size: float = 1.0
    """Size against Latin, so that both look alike (page design, section 2)."""
    line: float = 1.5
    """Line height as a part of the size (page design, section 2)."""


def _noto(script: str, sha256: str, *blocks: tuple[int, int], size: float = 1.0, line: float = 1.5) -> Family:
    name = f"Noto Sans {script}".strip()
    return Family(name, "manimgx_fonts", f"NotoSans{script}[wght].ttf", sha256, blocks, size, line)


_SHARED = ((0x0964, 0x0965), (0x1CD0, 0x1CFF))
"""Dandas and Vedic signs, which the scripts of India share."""

FAMILIES = {
    family.name: family
    for family in (
        _noto("", "fb53504de62e767a54695416123d68d67f71c9b69722175184ad56e7dd13547b", (0x20, 0x10FFFF)),
        _noto(
            "Arabic",
            "3fae4d7239d1faa55b234bda8091019a5251ff79df40d5e29367d84bed2a8138",
            *((0x0600, 0x06FF), (0x0750, 0x077F), (0x0870, 0x08FF), (0xFB50, 0xFDFF), (0xFE70, 0xFEFF)),
            size=1.125,
            line=1.52,
        ),
        _noto(
            "Hebrew",
            "9d81d81ad592644487b03843da73a87b99cd28a2c4da4a096e1db8fbd14fda61",
            *((0x0590, 0x05FF), (0xFB1D, 0xFB4F)),
            size=1.05,
        ),
        _noto(
            "Devanagari",
            "bf99bf762743ff3259e73196852520ab0ffe8d384238bff3e4806a84b981e972",
            *((0x0900, 0x097F), (0xA8E0, 0xA8FF), *_SHARED),
            line=1.65,
        ),
        _noto(
            "Bengali",
            "dc9defe97bb041876b6609e9029d9e1e228a686259acde2fe2a9f99d793ee17d",
            *((0x0980, 0x09FF), *_SHARED),
            line=1.65,
        ),
        _noto(
            "Gurmukhi",
            "8a3096ee2166f6383501e2df7b368fce88cfa4068c8d75bcb6af07da353a00ea",
            *((0x0A00, 0x0A7F), *_SHARED),
            line=1.65,
        ),
        _noto(
            "Tamil",
            "37e151cdec4a8cfb15c432f7bb164a83b98df69419d47e50b35aa7073963716b",
            (0x0B80, 0x0BFF),
            size=0.96,
            line=1.6,
        ),
        Family(
            CHINESE,
            "justmytype_intl_cjk",
            "fonts/ofl/notosanssc/NotoSansSC[wght].ttf",
            "a3041811a78c361b1de50f953c805e0244951c21c5bd412f7232ef0d899af0da",
            ((0x2E80, 0x9FFF), (0xF900, 0xFAFF), (0xFE30, 0xFE4F), (0xFF00, 0xFFEF)),
            0.96,
            1.6,
        ),
    )
}

SCRIPT_OF_LANGUAGE = {
    **dict.fromkeys(("ar", "ur", "fa", "ps", "ckb", "sd"), "Noto Sans Arabic"),
    **dict.fromkeys(("he", "yi"), "Noto Sans Hebrew"),
    **dict.fromkeys(("hi", "mr", "ne"), "Noto Sans Devanagari"),
    **dict.fromkeys(("bn", "as"), "Noto Sans Bengali"),
    "pa": "Noto Sans Gurmukhi",
    "ta": "Noto Sans Tamil",
    "zh": CHINESE,
}
"""The family in which most words of a language are set; a language that is not named is set in the house family."""


def family_of_language(language: str) -> Family:
    """Find the family in which most words of a language are set."""
    return FAMILIES[SCRIPT_OF_LANGUAGE.get(language.split("-")[0], HOUSE)]


def path_of(family: Family) -> Path | None:
    """Find the file of a family; None if its package is not installed."""
    spec = find_spec(family.package)
    if spec is None or spec.origin is None:
        return None
    path = Path(spec.origin).parent / family.file
    return path if path.is_file() else None
