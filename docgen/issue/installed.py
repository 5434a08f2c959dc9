"""The Python that runs us > what is missing or slow about the installation; apart because it looks at no record."""

from __future__ import annotations

import sys
from collections.abc import Iterator
from importlib.util import cache_from_source, find_spec
from pathlib import Path

from docgen.problem import Problem, Severity, say

LEAST_PYTHON = (3, 11)
EXTRAS = {
    "sign": ("pyhanko", say("sign a note, or check a signature")),
    "postgres": ("psycopg", say("keep the register on a PostgreSQL server")),
    "chinese": ("justmytype_intl_cjk", say("print names and texts in Chinese")),
}
"""Extra > the module it brings, and what nobody can do without it."""


def check_python(version: tuple[int, ...] = sys.version_info[:3]) -> Iterator[Problem]:
    """Refuse a Python that is older than we are tested with."""
    if version < LEAST_PYTHON:
        here, least = (".".join(map(str, numbers)) for numbers in (version, LEAST_PYTHON))
        yield Problem(
            "python-old",
            "",
            say("this is Python %(here)s, and docgen needs %(least)s or later", here=here, least=least),
            say("install a newer Python and docgen in it"),
        )


def check_extras() -> Iterator[Problem]:
    """Note which extras are not installed, and what they are for."""
    for extra, (module, purpose) in EXTRAS.items():
        if find_spec(module) is None:
            yield Problem(
                "extra-missing",
                extra,
                say("the extra %(extra)s is not installed", extra=extra),
                say("pip install 'docgen[%(extra)s]', if you want to %(purpose)s", extra=extra, purpose=purpose),
                severity=Severity.NOTE,
            )


def check_bytecode(package: Path) -> Iterator[Problem]:
    """Note that modules are compiled anew at every start, which makes it two to three times as slow."""
    modules = sorted(package.rglob("*.py"))
    bare = [module for module in modules if not Path(cache_from_source(str(module))).is_file()]
    if len(bare) * 2 > len(modules):
        yield Problem(
            "bytecode-missing",
            "",
            say("docgen starts slowly: %(number)s of its modules are not compiled", number=len(bare)),
            say("python -m compileall -q %(folder)s, as the user who may write there", folder=str(package)),
            severity=Severity.NOTE,
        )
