"""Runs `python -m docgen`."""

from docgen.cli import command_line

command_line()
