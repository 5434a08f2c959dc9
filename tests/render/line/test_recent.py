"""What is kept for many documents has an end, and what is used stays."""

from docgen.render.pdf.line.recent import Recent


def test_what_is_used_stays_and_what_is_not_goes() -> None:
    """A word of every document outlives any number of those that come once."""
    kept: Recent[str, int] = Recent(10)
    kept.keep("always", 1)
    for number in range(100):
        kept.keep(str(number), number)
        assert 1 == kept.get("always")
    assert None is kept.get("0")


def test_no_more_is_kept_than_two_halves() -> None:
    """Counted by asking, oldest first."""
    kept: Recent[int, int] = Recent(10)
    for number in range(1000):
        kept.keep(number, number)
    assert range(980, 1000) == range(next(at for at in range(1000) if kept.get(at) is not None), 1000)
