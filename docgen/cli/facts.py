"""`docgen facts`: a case > every computed fact with its arithmetic and sources, for the clinician."""

from __future__ import annotations

import argparse
from collections.abc import Mapping
from dataclasses import fields, is_dataclass
from datetime import date
from decimal import Decimal
from enum import Enum
from fractions import Fraction
from typing import Any

from docgen.cli.inputs import add_case, exit_code, files_of, print_json, print_problems, world_of
from docgen.cli.wishes import add_wish, wish_of
from docgen.examine import examine, today_in
from docgen.facts import Known, Result
from docgen.problem import Refused


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Describe the words of the command."""
    add_case(parser)
    add_wish(parser)


def run(arguments: argparse.Namespace) -> int:
    """Print the facts of each kind asked for; a case with problems still shows what could be computed."""
    try:
        seen = examine(files_of(arguments.case, arguments.clinic), wish_of(arguments), world_of(arguments), today_in)
    except Refused as refused:
        print_problems(refused.problems)
        return exit_code(refused)
    shown = {one.name: {name: _told(result) for name, result in one.stated.results.items()} for one in seen.asked}
    if arguments.json:
        print_json({"facts": shown})
        return 0
    for document, facts in shown.items():
        print(document)
        for name, fact in facts.items():
            print(f"  {name}: {_line(fact)}")
    return 0


def _told(result: Result) -> dict[str, Any]:
    if isinstance(result, Known):
        return {"value": plain_value(result.value), "working": result.working, "sources": list(result.sources)}
    assumed = None if result.assumed is None else plain_value(result.assumed)
    return {"unknown": True, "needs": list(result.needs), "asked": result.asked, "assumed": assumed}


def _line(fact: dict[str, Any]) -> str:
    if fact.get("unknown"):
        assumed = f"; assumed {fact['assumed']}" if fact["assumed"] is not None else ""
        return f"unknown, needs {', '.join(fact['needs'])}{assumed}"
    working = f" = {fact['working']}" if fact["working"] else ""
    return f"{fact['value']}{working} [{', '.join(fact['sources'])}]"


def plain_value(value: Any) -> Any:
    """Turn a fact's value into text, numbers, lists and groups; fractions stay exact."""
    if isinstance(value, Enum):
        return value.value
    if isinstance(value, Mapping):
        return {str(key): plain_value(one) for key, one in value.items()}
    if isinstance(value, tuple | list | frozenset | set):
        return [plain_value(one) for one in value]
    if is_dataclass(value) and not isinstance(value, type):
        return {f.name: plain_value(getattr(value, f.name)) for f in fields(value)}
    if isinstance(value, Fraction):
        return f"{float(value):.6g} ({value})" if value.denominator != 1 else str(value)
    if isinstance(value, Decimal):
        return str(value)
    if isinstance(value, date):
        return value.isoformat()
    return value
