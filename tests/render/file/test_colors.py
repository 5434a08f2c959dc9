"""The color profile: what its numbers must add up to."""

import struct

from docgen.render.pdf.file.colors import srgb


def tag(name: bytes) -> bytes:
    """Give the content of a tag."""
    profile = srgb()
    count = struct.unpack_from(">I", profile, 128)[0]
    for place in range(count):
        found, start, length = struct.unpack_from(">4sII", profile, 132 + 12 * place)
        if found == name:
            return profile[start : start + length]
    raise LookupError(name)


def fixed(content: bytes, start: int) -> list[float]:
    """Read numbers of 16 bits before the point and 16 after it."""
    return [value / 65536 for (value,) in struct.iter_unpack(">i", content[start:])]


def test_the_profile_is_one_of_version_4_for_screens_in_red_green_and_blue() -> None:
    """PDF/A-3 allows profiles up to version 4.2."""
    profile = srgb()
    assert len(profile) == struct.unpack_from(">I", profile)[0]
    assert (b"\x04\x20\0\0", b"mntrRGB XYZ ", b"acsp") == (profile[8:12], profile[12:24], profile[36:40])


def test_red_green_and_blue_together_are_white() -> None:
    """Up to the last digits of their definition."""
    parts = [fixed(tag(name), 8) for name in (b"rXYZ", b"gXYZ", b"bXYZ")]
    for total, white in zip(map(sum, zip(*parts, strict=True)), fixed(tag(b"wtpt"), 8), strict=True):
        assert abs(total - white) < 0.0005


def test_the_curve_is_that_of_srgb() -> None:
    """Its straight foot meets the curve where both are 0.04045, and full is full."""
    power, scale, offset, slope, limit = fixed(tag(b"gTRC"), 12)
    assert abs((scale * limit + offset) ** power - slope * limit) < 0.0001
    assert abs((scale + offset) ** power - 1) < 0.0001
