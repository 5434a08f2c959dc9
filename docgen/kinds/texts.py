"""YAML of templates > groups, lists and texts: nothing is typed, so that `no` stays a word and 1.10 keeps its end."""

from __future__ import annotations

from typing import Any

import yaml

from docgen.cache import cached_tree


def read_texts(content: bytes | str) -> Any:
    """
    Read YAML with every scalar as text.

    Errors: yaml.YAMLError, with the mark of the place.
    """
    return yaml.load(content, yaml.CBaseLoader)  # noqa: S506 # CBaseLoader builds text, lists and groups, nothing else


def cached_texts(content: str) -> Any:
    """
    Read YAML of a template as `read_texts` does, or take what it gave of the same text before.

    Errors: yaml.YAMLError, with the mark of the place.
    """
    return cached_tree(__file__, (content.encode(),), lambda: read_texts(content))
