"""The archive of a Word file: whole for every reader, and without a trace of when and where it was made."""

import io
import zipfile
from datetime import date

from docgen.render.docx.package import archive, pack


def test_an_archive_gives_its_parts_back_in_their_order() -> None:
    """Text and bytes, empty and long, come back as they were put in; checksums hold."""
    contents = {"[Content_Types].xml": "<Types/>", "a/empty": "", "a/long.bin": bytes(range(256)) * 400, "ä.xml": "é"}
    made = archive({name: pack(content) for name, content in contents.items()}, date(2026, 3, 3))
    with zipfile.ZipFile(io.BytesIO(made)) as package:
        assert package.testzip() is None
        assert list(contents) == package.namelist()
        for name, content in contents.items():
            assert (content.encode() if isinstance(content, str) else content) == package.read(name)


def test_every_part_carries_the_day_and_nothing_of_the_machine() -> None:
    """Day of issue at midnight, no system, no owner; a day before the format's calendar becomes its first year."""
    for day, year in ((date(2026, 3, 3), 2026), (date(1975, 3, 3), 1980)):
        with zipfile.ZipFile(io.BytesIO(archive({"a": pack("x")}, day))) as package:
            (entry,) = package.infolist()
        assert (year, 3, 3, 0, 0, 0) == entry.date_time
        assert (0, 0, b"", b"") == (entry.create_system, entry.external_attr, entry.extra, entry.comment)
