"""Problems and answers > lines on standard error, one JSON object, exit codes; apart so that it loads nothing else."""

from __future__ import annotations

import json
import sys
from collections.abc import Iterable
from typing import Any

from docgen.problem import Message, OutputError, Problem, Refused, Translate


def print_problems(problems: Iterable[Problem], translate: Translate = str) -> None:
    """Print problems for people, on standard error."""
    for problem in problems:
        print(problem.in_words(translate), file=sys.stderr)


def print_json(value: Any) -> None:
    """Print one JSON object on standard output."""
    print(json.dumps(value, ensure_ascii=False, indent=2))


def say_error(message: Message, translate: Translate = str) -> None:
    """Print one line on standard error."""
    print(message.in_words(translate), file=sys.stderr)


def exit_code(error: Refused | OutputError) -> int:
    """Give the exit code of a failure: 6 the disk, 3 templates or translations alone, else 1."""
    if isinstance(error, OutputError):
        return 6
    return 3 if error.template_only else 1
