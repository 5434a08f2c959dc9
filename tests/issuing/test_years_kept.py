"""How long an issued document is kept: as its page says, or as the clinic set for its kind; never shorter unasked."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from conftest import example_files

from docgen.issue.retention import Retention, retention_in
from docgen.issuing import IssuedPack, Office, erase
from docgen.problem import Refused

from .conftest import Clock, with_settings


@pytest.mark.parametrize(
    ("settings", "expected"),
    [
        ((), Retention("unset")),
        (("retention.years_adult: 15", "retention.child_until_age: 25"), Retention("record", 2041)),
        (("retention.years_adult: 15", "retention.reply.years: 2"), Retention("kind", 2028)),
    ],
)
def test_the_years_of_keeping_are_entered_with_the_document(
    issued: Callable[..., IssuedPack], settings: tuple[str, ...], expected: Retention
) -> None:
    """The register knows the class and the last year, from the settings of the clinic."""
    files = with_settings(example_files("fenwright"), *settings) if settings else example_files("fenwright")

    assert expected == retention_in(issued(files, "reply").issued[0].life)


def test_nothing_is_erased_before_its_time_unless_somebody_decides_it(
    issued: Callable[..., IssuedPack], office: Office, clock: Clock
) -> None:
    """While the years run erasing is refused; after the year's end it is not."""
    issued(with_settings(example_files("fenwright"), "retention.reply.years: 2"), "reply")
    with pytest.raises(Refused) as refused:
        erase(1, "other", office, "M. Holt")
    clock.at = clock.at.replace(year=2029)
    erase(1, "other", office, "M. Holt")
    life = office.register.life(1)

    assert [problem.code for problem in refused.value.problems] == ["erasure-too-early"]
    assert life is not None
    assert life.erased
