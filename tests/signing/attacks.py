"""Ways to change a signed file, each as somebody would who wants it to pass."""

from __future__ import annotations

import io
import re
from collections.abc import Callable
from datetime import datetime

import pikepdf
from pyhanko.pdf_utils import generic
from pyhanko.pdf_utils.incremental_writer import IncrementalPdfFileWriter
from pyhanko.sign.signers import PdfTimeStamper
from pyhanko.sign.timestamps import TimeStamper
from pypdf import PdfReader, PdfWriter

from docgen.signing import check_pdf
from tests.seeded import seeded
from tests.signing.conftest import made_note
from tests.signing.pki import authority

Attack = Callable[[bytes], bytes]


def updated(content: bytes, change: Callable[[IncrementalPdfFileWriter], None]) -> bytes:
    """Add a change behind a file, as an editor does that saves incrementally."""
    writer = IncrementalPdfFileWriter(io.BytesIO(content))
    change(writer)
    output = io.BytesIO()
    writer.write(output)
    return output.getvalue()


def fill_field(content: bytes) -> bytes:
    """Type into a field, as a viewer does that fills forms."""

    def change(writer: IncrementalPdfFileWriter) -> None:
        fields = [one.get_object() for one in writer.root["/AcroForm"]["/Fields"]]
        field = next(one for one in fields if one["/FT"] == "/Tx")
        field["/V"] = generic.pdf_string("20 January 2026, 11:05")
        writer.update_container(field)

    return updated(content, change)


def change_words(content: bytes) -> bytes:
    """Paint over the last page."""

    def change(writer: IncrementalPdfFileWriter) -> None:
        more = writer.add_object(generic.StreamObject(stream_data=b"0 0 600 800 re f"))
        writer.add_stream_to_page(0, more)

    return updated(content, change)


def change_and_stamp(content: bytes, stamper: TimeStamper) -> bytes:
    """Paint over a page and lay the archive's time stamp over it, as if it belonged there."""
    writer = IncrementalPdfFileWriter(io.BytesIO(content))
    more = writer.add_object(generic.StreamObject(stream_data=b"0 0 600 800 re f"))
    writer.add_stream_to_page(0, more)
    output: bytes = PdfTimeStamper(stamper, field_name="ArchiveTS").timestamp_pdf(writer, "sha256").getvalue()
    return output


def rename_and_stamp(content: bytes, stamper: TimeStamper) -> bytes:
    """Give the file another title, and lay the archive's time stamp over it."""
    writer = IncrementalPdfFileWriter(io.BytesIO(content))
    rename(writer)
    output: bytes = PdfTimeStamper(stamper, field_name="ArchiveTS").timestamp_pdf(writer, "sha256").getvalue()
    return output


def rename(writer: IncrementalPdfFileWriter) -> None:
    """Write another title into the metadata."""
    metadata = writer.root["/Metadata"]
    told = metadata.data.replace(b"Operative note", b"Another note")
    assert told != metadata.data
    writer.root["/Metadata"] = writer.add_object(generic.StreamObject(dict(metadata), stream_data=told))
    writer.update_root()


def add_note(content: bytes) -> bytes:
    """Lay a remark on the first page."""

    def change(writer: IncrementalPdfFileWriter) -> None:
        page = writer.root["/Pages"]["/Kids"][0]
        box = generic.ArrayObject(generic.NumberObject(edge) for edge in (50, 50, 90, 90))
        remark = generic.DictionaryObject(
            {
                generic.pdf_name("/Type"): generic.pdf_name("/Annot"),
                generic.pdf_name("/Subtype"): generic.pdf_name("/Text"),
                generic.pdf_name("/Rect"): box,
                generic.pdf_name("/Contents"): generic.pdf_string("no complications"),
            }
        )
        page[generic.pdf_name("/Annots")] = generic.ArrayObject([writer.add_object(remark)])
        writer.update_container(page)

    return updated(content, change)


def change_language(content: bytes) -> bytes:
    """Say that the words are in another language."""

    def change(writer: IncrementalPdfFileWriter) -> None:
        writer.root["/Lang"] = generic.pdf_string("de")
        writer.update_root()

    return updated(content, change)


def attach_file(content: bytes) -> bytes:
    """Put another attachment in."""

    def change(writer: IncrementalPdfFileWriter) -> None:
        held = writer.add_object(generic.StreamObject(stream_data=b'{"teeth": ["36"]}'))
        names = generic.ArrayObject([generic.pdf_string("case.json"), held])
        tree = generic.DictionaryObject({generic.pdf_name("/Names"): names})
        writer.root["/Names"] = generic.DictionaryObject({generic.pdf_name("/EmbeddedFiles"): tree})
        writer.update_root()

    return updated(content, change)


def change_tooltip(content: bytes) -> bytes:
    """Let a reader hear another name at the signature."""

    def change(writer: IncrementalPdfFileWriter) -> None:
        field = writer.root["/AcroForm"]["/Fields"][0]
        field["/TU"] = generic.pdf_string("Signed by somebody else")
        writer.update_container(field)

    return updated(content, change)


def empty_update(content: bytes) -> bytes:
    """Add an update that changes nothing."""
    return updated(content, lambda writer: writer.update_root())


def save_again(content: bytes) -> bytes:
    """Write the file anew with pikepdf."""
    output = io.BytesIO()
    with pikepdf.open(io.BytesIO(content)) as file:
        file.save(output)
    return output.getvalue()


def append_page(content: bytes) -> bytes:
    """Add a page with pypdf."""
    writer = PdfWriter(clone_from=PdfReader(io.BytesIO(content)))
    writer.add_blank_page(595, 842)
    output = io.BytesIO()
    writer.write(output)
    return output.getvalue()


def append_page_behind(content: bytes) -> bytes:
    """Add a page with pypdf behind what was signed."""
    writer = PdfWriter(io.BytesIO(content), incremental=True)
    writer.add_blank_page(595, 842)
    output = io.BytesIO()
    writer.write(output)
    return output.getvalue()


def cut_to_unsigned(content: bytes) -> bytes:
    """Cut the file to what it was before it was signed."""
    return content[: len(made_note())]


def cut_some(content: bytes) -> bytes:
    """Lose the last bytes."""
    return content[:-40]


def cut_archive(content: bytes) -> bytes:
    """Cut off the last update."""
    return content[: content.rindex(b"%%EOF", 0, -10) + 6]


def add_junk(content: bytes) -> bytes:
    """Write something behind the end of the file."""
    return content + b"\n% signed by nobody\n"


def add_line_end(content: bytes) -> bytes:
    """Write one more line end."""
    return content + b"\n"


def add_before(content: bytes) -> bytes:
    """Write something before the beginning."""
    return b"\n" + content


def fill_reserve(content: bytes) -> bytes:
    """Hide something behind the signature, where nothing is signed."""
    return re.sub(rb"0{40}>", lambda found: b"C0FFEE" + found.group()[6:], content, count=1)


def small_digits(content: bytes) -> bytes:
    """Write the signature with small digits; its value stays."""
    return re.sub(rb"/Contents\s*<3082[0-9A-F]+", lambda found: found.group().replace(b"A", b"a", 3), content)


def no_contents(content: bytes) -> bytes:
    """Take the signature's own bytes away, as some viewers passed it."""
    return re.sub(rb"<3082[0-9A-F]+>", lambda found: b"<" + b"0" * (len(found.group()) - 2) + b">", content, count=1)


def no_range(content: bytes) -> bytes:
    """Misspell the key that says what is signed."""
    return content.replace(b"/ByteRange", b"/ByteRagne")


def short_range(content: bytes) -> bytes:
    """Say that less is signed."""
    return re.sub(rb"/ByteRange ?\[ ?0 (\d)", lambda found: found.group()[:-1] + b"1", content, count=1)


def strip_signature(content: bytes) -> bytes:
    """Take the signature out and keep what it looks like."""
    output = io.BytesIO()
    with pikepdf.open(io.BytesIO(content)) as file:
        for field in file.Root.AcroForm.Fields:
            if "/V" in field:
                del field["/V"]
        del file.Root["/Perms"]
        file.save(output)
    return output.getvalue()


EVERY: tuple[Attack, ...] = (
    *(change_words, add_note, change_language, attach_file, change_tooltip, empty_update, save_again, append_page),
    *(append_page_behind, cut_to_unsigned, cut_some, add_junk, add_line_end, add_before, fill_reserve, small_digits),
    *(no_contents, no_range, short_range, strip_signature),
)
"""What is done to a file with a sound signature, at any level."""


def accepted_flips(content: bytes, part: tuple[int, int], times: int, seed: str, now: datetime) -> list[int]:
    """Flip single bits in a part of a signed file, one at a time; gives the places at which it passed all the same."""
    chance = seeded(seed)
    accepted = []
    for _ in range(times):
        changed, place = bytearray(content), chance.randrange(*part)
        changed[place] ^= 1 << chance.randrange(8)
        if "passed" == check_pdf(bytes(changed), authority().trust(), now=now).verdict:
            accepted.append(place - part[0])
    return accepted
