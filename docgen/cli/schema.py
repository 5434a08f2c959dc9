"""`docgen schema`: nothing > the JSON Schema of a case record or of the clinic's file."""

from __future__ import annotations

import argparse

from docgen.case import case_schema, clinic_schema
from docgen.cli.inputs import print_json


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Describe the words of the command."""
    parser.add_argument(
        "--for", dest="subject", choices=("case", "clinic"), default="case", help="which file (default case)"
    )


def run(arguments: argparse.Namespace) -> int:
    """Print the schema."""
    print_json(case_schema() if arguments.subject == "case" else clinic_schema())
    return 0
