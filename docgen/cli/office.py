"""Words of a command > the open office of an issue; apart from opening, which backups do without an office."""

from __future__ import annotations

import argparse
from collections.abc import Iterator
from contextlib import contextmanager

from docgen.cli.clock import utc_now
from docgen.cli.opened import opened
from docgen.issuing.office import Office


@contextmanager
def office_of(arguments: argparse.Namespace, *, begin: bool = False) -> Iterator[Office]:
    """
    Open register and store; `begin` makes them where there are none.

    Errors: Unavailable.
    """
    with opened(arguments, utc_now, begin=begin) as kept:
        yield Office(kept.register, kept.store, utc_now, kept.places.trust)
