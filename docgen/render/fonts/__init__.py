"""Pinned font packages > the weights that are printed with, who prints which character, and how wide it is."""

from docgen.render.fonts.characters import missing_characters, width_em
from docgen.render.fonts.cut import BOLD, REGULAR
from docgen.render.fonts.sources import HOUSE as FAMILY

__all__ = ["BOLD", "FAMILY", "REGULAR", "missing_characters", "width_em"]
