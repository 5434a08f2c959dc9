"""Font packages and the cache of fonts > which files are not what they should be; apart because only a doctor asks."""

from __future__ import annotations

import hashlib
from collections.abc import Iterator
from pathlib import Path

from docgen.cache import cache_folder
from docgen.render.fonts.sources import CHINESE, FAMILIES, path_of


def unusable_families() -> Iterator[tuple[str, str]]:
    """Name each family, and its package, whose file is not installed or is not the pinned one; Chinese is an extra."""
    for family in FAMILIES.values():
        path = path_of(family)
        if path is None:
            if family.name != CHINESE:
                yield family.name, family.package
        elif hashlib.sha256(path.read_bytes()).hexdigest() != family.sha256:
            yield family.name, family.package


def damaged_in_cache() -> Iterator[Path]:
    """Find the files of the cache that are not what was written; they are made anew at each start, which is slow."""
    folder = cache_folder("fonts")
    for path in sorted(folder.glob("*-*")) if folder and folder.is_dir() else ():
        try:
            head, _, content = path.read_bytes().partition(b"\n")
        except OSError:
            yield path
            continue
        if head != hashlib.sha256(content).hexdigest().encode():
            yield path
