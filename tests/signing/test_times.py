"""The times of a signature agree with each other, or the check says which do not."""

from __future__ import annotations

from collections.abc import Callable
from datetime import timedelta

import pytest

from docgen.problem import Refused
from docgen.signing import check_pdf
from tests.signing.another_program import sign_elsewhere
from tests.signing.conftest import made_note, opened, signed_by
from tests.signing.pki import AT, DAY, authority, stranger

MINUTE = timedelta(minutes=1)


@pytest.mark.parametrize(
    ("now", "verdict"),
    [(AT - 9 * MINUTE, "passed"), (AT - 11 * MINUTE, "failed"), (AT, "passed"), (AT + DAY, "passed")],
)
def test_clocks_may_differ_by_some_minutes(now: object, verdict: str, signed: Callable[[str], bytes]) -> None:
    """Ten minutes ahead is a clock, more is a lie."""
    for level in ("B-B", "B-T"):
        assert verdict == check_pdf(signed(level), authority().trust(), now=now).verdict


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


def test_a_time_stamp_from_the_future_fails() -> None:
    """Even if the signature itself claims no more than now."""
    with authority().stamping(AT + 9 * MINUTE) as url:
        content = signed_by(authority().surgeon, level="B-T", tsa_url=url)
    checked = check_pdf(content, authority().trust(), now=AT - 2 * MINUTE)

    assert ("failed", ("time-future",)) == (checked.verdict, checked.codes)


@pytest.mark.parametrize("hours", [-3, 3])
def test_a_clock_far_from_that_of_the_authority_is_not_signed_with(hours: int) -> None:
    """One of them is wrong, and the note would tell a wrong time."""
    with (
        authority().stamping(AT + hours * 60 * MINUTE) as url,
        pytest.raises(Refused, match="time-differs"),
    ):
        signed_by(authority().surgeon, level="B-T", tsa_url=url)


def test_the_archive_is_not_older_than_what_it_holds() -> None:
    """Its time stamp follows that of the signature."""
    moments = [AT, AT, AT - DAY]  # asked first to see how long an answer is
    with authority().stamping(*moments) as url, pytest.raises(Refused, match="time-differs"):
        signed_by(authority().surgeon, level="B-LTA", tsa_url=url)


def test_a_signature_without_a_time_fails() -> None:
    """Another program may leave it out."""
    content = sign_elsewhere(made_note(), opened(authority().rsa), at=None)
    checked = check_pdf(content, authority().trust(), now=AT)

    assert ("failed", ("time-missing",)) == (checked.verdict, checked.codes)


def test_a_time_stamp_nobody_vouches_for_proves_nothing() -> None:
    """The surgeon is known, the time-stamp authority is not: the level is that of a signature without time."""
    with stranger().stamping() as url:
        content = signed_by(authority().surgeon, level="B-T", tsa_url=url)
    checked = check_pdf(content, authority().trust(), now=AT)
    expected = check_pdf(content, authority().trust(), now=AT, expect_level="B-T")

    assert ("indeterminate", ("stamp-unproved",), "B-B", None) == (
        *(checked.verdict, checked.codes),
        *(checked.level, checked.proved_at),
    )
    assert ("indeterminate", ("stamp-unproved", "level-lower")) == (expected.verdict, expected.codes)
