"""A number > draws that are the same in each run, so that a failure comes again. No test keeps a secret by them."""

from __future__ import annotations

import random


def seeded(seed: int | str) -> random.Random:
    """Begin to draw."""
    return random.Random(seed)  # noqa: S311 - the one place where tests draw: what they try, never what is secret
