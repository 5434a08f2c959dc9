"""The clock of the commands that keep something; everything below is handed it."""

from __future__ import annotations

from datetime import UTC, datetime


def utc_now() -> datetime:
    """Give this moment, aware, in UTC."""
    return datetime.now(UTC)
