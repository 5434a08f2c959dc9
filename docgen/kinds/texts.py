"""YAML of templates > groups, lists and texts: nothing is typed, so that `no` stays a word and 1.10 keeps its end."""

from __future__ import annotations

from typing import Any

import yaml


def read_texts(content: bytes | str) -> Any:
    """
    Read YAML with every scalar as text.

    Errors: yaml.YAMLError, with the mark of the place.
    """
    return yaml.load(content, yaml.CBaseLoader)  # noqa: S506 # CBaseLoader builds text, lists and groups, nothing else
