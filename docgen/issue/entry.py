"""The words of the register, as frozen data; apart because every room of it speaks them."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class KeptFile:
    """A file of an entry: its role, not a name of anybody."""

    name: str
    digest: str
    size: int
    wrapped_key: bytes | None = None
