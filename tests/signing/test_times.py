"""The times of a signature agree with each other, or the check says which do not."""

from __future__ import annotations

from collections.abc import Callable
from datetime import timedelta

import pytest

from docgen.signing import check_pdf
from tests.signing.pki import AT, DAY, authority

MINUTE = timedelta(minutes=1)


@pytest.mark.parametrize(
    ("now", "verdict"),
    [(AT - 9 * MINUTE, "passed"), (AT - 11 * MINUTE, "failed"), (AT, "passed"), (AT + DAY, "passed")],
)
def test_clocks_may_differ_by_some_minutes(now: object, verdict: str, signed: Callable[[str], bytes]) -> None:
    """Ten minutes ahead is a clock, more is a lie."""
    for level in ("B-B", "B-T"):
        assert verdict == check_pdf(signed(level), authority().trust(), now=now).verdict  # type: ignore[arg-type]


def test_known_before_it_was_signed_is_a_lie(signed: Callable[[str], bytes]) -> None:
    """The register has had the file for a day when it says it was signed."""
    checked = check_pdf(signed("B-B"), authority().trust(), now=AT + DAY, known_since=AT - DAY)

    assert ("failed", ("time-differs",)) == (checked.verdict, checked.codes)


def test_it_is_told_since_when_a_file_is_proved(signed: Callable[[str], bytes]) -> None:
    """The earliest of what the register knows and what an authority stamped."""
    later = check_pdf(signed("B-T"), authority().trust(), now=AT + DAY, known_since=AT + 5 * MINUTE)
    only = check_pdf(signed("B-B"), authority().trust(), now=AT + DAY, known_since=AT + 5 * MINUTE)

    assert AT == later.proved_at
    assert AT + 5 * MINUTE == only.proved_at
