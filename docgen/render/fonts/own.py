"""A clinic's own font files > a family of this process, known by the digest of its files."""

from __future__ import annotations

import hashlib
import importlib

from docgen.render.fonts.sources import FAMILIES, HOUSE, Family
from docgen.values import dataclass

_EVERYTHING = ((0x20, 0x10FFFF),)

OWN: dict[str, OwnFont] = {}
"""By the name of the family, which is made of the digest: the same files are the same family."""


class UnusableOwnFont(Exception):
    """A file that is no static TrueType font, or one that must not be embedded; the text says which of them."""


@dataclass(frozen=True)
class OwnFont:
    """Two weights of a clinic's font."""

    name: str
    """What word processors call it."""
    files: tuple[bytes, bytes]
    """Regular and Bold."""


def own_family(regular: bytes, bold: bytes) -> str:
    """
    Make a family of two font files; gives its name.

    Errors: UnusableOwnFont.
    """
    digest = hashlib.sha256(regular + bold).hexdigest()
    family = f"own {digest[:16]}"
    if family not in OWN:
        check = importlib.import_module("docgen.render.fonts.instance").checked  # HarfBuzz only where it is needed
        name, fault = check(regular)
        fault = fault or check(bold)[1]
        if fault:
            raise UnusableOwnFont(fault)
        OWN[family] = OwnFont(name or HOUSE, (regular, bold))
        FAMILIES[family] = Family(family, "", "", digest, _EVERYTHING)
    return family
