"""A second signature stands in the field left to it: other programs find both sound, and nothing else passes."""

from __future__ import annotations

import io
import subprocess
from datetime import timedelta
from functools import cache
from pathlib import Path

import pikepdf
import pytest
from asn1crypto import x509
from conftest import need_program
from pyhanko.pdf_utils import generic
from pyhanko.pdf_utils.incremental_writer import IncrementalPdfFileWriter
from pyhanko.pdf_utils.reader import PdfFileReader
from pyhanko.sign.fields import SigFieldSpec, append_signature_field
from pyhanko.sign.validation import validate_pdf_signature
from pyhanko_certvalidator import ValidationContext

from docgen.blocks import Span
from docgen.problem import Refused
from docgen.render import pdf
from docgen.render.pdf.stamp import render_stamp
from docgen.render.style import read_style
from docgen.shipped import shipped_folder
from docgen.signing import Known, SignWish, check_pdf, countersign_pdf, sign_pdf, signature_fields
from tests.render.composed import documents
from tests.signing import attacks
from tests.signing.another_program import sign_elsewhere
from tests.signing.conftest import opened
from tests.signing.pki import AT, Held, authority, curve, issue
from tests.signing.test_sign import ONLY_IN_ONE_UPDATE, faults

LATER = AT + timedelta(hours=3)
TRAINEE, SUPERVISOR, STRANGER = (
    issue(name, curve(), authority().issuer) for name in ("Piers Calloden", "Isolde Farrowmere", "Third Person")
)
STAMP = ("Isolde Farrowmere", "registration number 000090 (sample)", "20 January 2026, 13:05, UTC", "signed")
STYLE = read_style(shipped_folder("templates") / "_house")


@cache
def note(stamps: int = 2) -> bytes:
    """Print a trainee's note, with two fields to sign and some to fill."""
    document = next(one for name, one in documents("kestrelmoor").items() if "operative-note" in name)
    return pdf.render(document, STYLE, archive=("Time stamp of the archive",) * stamps)


def wish(url: str, level: str, **told: object) -> SignWish:
    """Say how somebody signs."""
    known = {"at": AT, "name": "Piers Calloden", "reason": "signed", "level": level, "trust": authority().trust()}
    return SignWish(**{**known, "tsa_url": "" if level == "B-B" else url, **told})


@cache
def _first(level: str, stamps: int) -> bytes:
    own, other = signature_fields(note(stamps))
    with authority().stamping() as url:
        return sign_pdf(note(stamps), opened(TRAINEE), wish(url, level, field=own.name, leave_open=other.name))


def first(level: str = "B-B", stamps: int = 2) -> bytes:
    """Give the note signed by the trainee, open for the supervisor."""
    return _first(level, stamps)


@cache
def second(before: str = "B-B", level: str = "B-B", stamps: int = 2) -> bytes:
    """Give the note signed by both."""
    content = first(before, stamps)
    return countersigned(content, SUPERVISOR, level)


def countersigned(content: bytes, held: Held, level: str = "B-B", **told: object) -> bytes:
    """Add the second signature."""
    field = signature_fields(content)[1]
    stamp = render_stamp([(Span(line),) for line in STAMP], "en", STYLE, field.width, field.height)
    with authority().stamping(LATER) as url:
        how = wish(url, level, **{"at": LATER, "name": "Isolde Farrowmere", "stamp": stamp, "words": "x", **told})
        return countersign_pdf(content, opened(held), how)


PAIRS = [("B-B", "B-B"), ("B-B", "B-LTA"), ("B-LT", "B-LT"), ("B-LTA", "B-LTA")]
CHANGED = [attack for attack in attacks.EVERY if attack is not attacks.cut_to_unsigned]


@pytest.mark.parametrize(("before", "level"), PAIRS)
def test_two_signatures_are_sound_at_their_levels(before: str, level: str, tmp_path: Path) -> None:
    """Any level after any other, the archive's twice included; PDF/UA-1 holds, and PDF/A-3a but for its one wish."""
    content = second(before, level)
    checked = check_pdf(content, authority().trust(), now=LATER, expect_level=before, second=Known(level=level))
    other = checked.second

    assert other is not None
    assert ("passed", "Piers Calloden", "Isolde Farrowmere") == (checked.verdict, checked.signer, other.signer)
    assert (AT, LATER, level) == (checked.signed_at, other.signed_at, other.level)
    assert {ONLY_IN_ONE_UPDATE} == faults(content, tmp_path)
    assert content.startswith(first(before))


@pytest.mark.parametrize(("before", "level"), [("B-B", "B-B"), ("B-LTA", "B-LTA")])
def test_pyhankos_own_validator_finds_both_sound(before: str, level: str) -> None:
    """By its own policy of changes, which is not ours."""
    reader = PdfFileReader(io.BytesIO(second(before, level)))
    trust = authority().trust()
    context = ValidationContext(
        trust_roots=[x509.Certificate.load(one) for one in trust.roots],
        other_certs=[x509.Certificate.load(one) for one in trust.others],
        crls=list(trust.crls),
        moment=LATER,
        revocation_mode="require",
    )
    found = [validate_pdf_signature(one, context, context) for one in reader.embedded_regular_signatures]

    assert [True, True] == [one.bottom_line for one in found]
    assert [True, True] == [bool(one.docmdp_ok) for one in found]


def test_poppler_finds_both_valid(tmp_path: Path) -> None:
    """Pdfsig names both signers, and says that the second covers all of the file."""
    path = tmp_path / "both.pdf"
    path.write_bytes(second())
    said = subprocess.run([need_program("pdfsig"), "-nocert", str(path)], capture_output=True, text=True).stdout
    parts = said.split("Signature #")[1:3]

    assert [True, True] == ["Signature is Valid." in part for part in parts]
    assert ["Not total document signed", "Total document signed"] == [
        line.strip(" -") for part in parts for line in part.splitlines() if "document signed" in line
    ]


def test_the_first_signature_alone_holds_and_leaves_one_field(tmp_path: Path) -> None:
    """Certified against all but one signature; accessible and fit for an archive as it is."""
    checked = check_pdf(first(), authority().trust(), now=AT)
    with pikepdf.open(io.BytesIO(first())) as file:
        permission = int(file.Root.Perms.DocMDP.Reference[0].TransformParams.P)

    assert ("passed", signature_fields(note())[1].name, 2) == (checked.verdict, checked.open_field, permission)
    assert checked.second is None
    assert set() == faults(first(), tmp_path)


def test_without_a_place_for_it_there_is_no_second_time_stamp_of_the_archive() -> None:
    """A file made for one stamp says so, and the level below is made."""
    with pytest.raises(Refused, match="signature-level"):
        countersigned(first("B-LTA", 1), SUPERVISOR, "B-LTA")

    assert "passed" == check_pdf(second("B-LTA", "B-LT", 1), authority().trust(), now=LATER).verdict


@pytest.mark.parametrize("attack", CHANGED, ids=lambda attack: str(attack.__name__))
def test_a_changed_file_fails_before_and_after_the_second_signature(attack: attacks.Attack) -> None:
    """Whatever was added, cut, saved again, hidden or taken away."""
    verdicts = [check_pdf(attack(content), authority().trust(), now=LATER).verdict for content in (first(), second())]

    assert ["failed", "failed"] == verdicts


def _dress(content: bytes) -> bytes:
    """Let the open field look signed."""

    def change(writer: IncrementalPdfFileWriter) -> None:
        fields = [one.get_object() for one in writer.root["/AcroForm"]["/Fields"]]
        field = [one for one in fields if one["/FT"] == "/Sig"][1]
        look = generic.StreamObject(stream_data=b"0 0 90 30 re f")
        field["/AP"] = generic.DictionaryObject({generic.pdf_name("/N"): writer.add_object(look)})
        writer.update_container(field)

    return attacks.updated(content, change)


def _rename(content: bytes) -> bytes:
    """Give the file another title."""
    return attacks.updated(content, attacks.rename)


def _place(content: bytes) -> bytes:
    """Make a further field to sign."""

    def change(writer: IncrementalPdfFileWriter) -> None:
        append_signature_field(writer, SigFieldSpec("Third", on_page=0, box=(10, 10, 90, 40)))

    return attacks.updated(content, change)


@pytest.mark.parametrize("change", [_dress, _rename, _place])
def test_no_other_update_passes(change: attacks.Attack) -> None:
    """Neither behind the first signature, nor behind the second, nor between them under a second one."""
    behind = [check_pdf(change(content), authority().trust(), now=LATER).verdict for content in (first(), second())]
    field = signature_fields(first())[1].name
    under = sign_elsewhere(
        change(first()), opened(SUPERVISOR), at=LATER, field_name=field, certify=False, docmdp_permissions=None
    )
    with pytest.raises(Refused, match="signature-changed"):
        countersigned(change(first()), SUPERVISOR)

    assert ["failed", "failed", "failed"] == [*behind, check_pdf(under, authority().trust(), now=LATER).verdict]


@pytest.mark.parametrize("field", ["Third", "ArchiveTS"])
def test_a_third_signature_fails(field: str) -> None:
    """By a person whom the authority knows, in a field of its own or in that of the archive."""
    for content in (first(), second()):
        open_to = _place(content) if field == "Third" else content
        more = sign_elsewhere(
            open_to, opened(STRANGER), at=LATER, field_name=field, certify=False, docmdp_permissions=None
        )

        assert "failed" == check_pdf(more, authority().trust(), now=LATER).verdict


def test_the_same_key_or_an_earlier_time_is_no_second_signature() -> None:
    """Two people sign, one after the other."""
    with pytest.raises(Refused, match="signer-same"):
        countersigned(first(), TRAINEE)
    with pytest.raises(Refused, match="signature-changed"):
        countersigned(first(), SUPERVISOR, at=AT - timedelta(hours=1))


def test_only_what_was_left_open_is_countersigned() -> None:
    """Neither a file that nobody signed, nor one that is closed, nor one that has both."""
    own, other = signature_fields(note())
    closed = sign_pdf(note(), opened(TRAINEE), wish("", "B-B", field=own.name))
    found = []
    for content in (note(), closed, second()):
        with pytest.raises(Refused) as refused:
            countersigned(content, SUPERVISOR)
        found.append([problem.code for problem in refused.value.problems])
    with pytest.raises(Refused, match="signature-field"):
        sign_pdf(note(), opened(TRAINEE), wish("", "B-B", field=own.name, leave_open="no such field"))

    assert [["signature-changed"], ["signature-place"], ["signature-place"]] == found
    assert other.name == check_pdf(first(), authority().trust(), now=AT).open_field


@pytest.mark.parametrize("part", ["file", "first", "second"])
def test_a_flipped_bit_is_not_accepted(part: str, request: pytest.FixtureRequest) -> None:
    """Anywhere in the file, and in either signature, where much is not signed."""
    content = second()
    begin = [content.index(b"<3082"), content.rindex(b"<3082")]
    start = 0 if part == "file" else begin[part == "second"]
    stop = len(content) if part == "file" else content.index(b"00>", start)
    times = 3400 if request.config.getoption("--long", default=False) else 25

    assert [] == attacks.accepted_flips(content, (start, stop), times, part, LATER)


def test_good_pairs_are_never_refused(request: pytest.FixtureRequest) -> None:
    """Other people, other keys: all pass."""
    verdicts = []
    for number in range(300 if request.config.getoption("--long", default=False) else 2):
        supervisor = issue(f"Supervisor {number}", curve(), authority().issuer)
        level = ("B-B", "B-LT")[number % 2]
        checked = check_pdf(countersigned(first(), supervisor, level), authority().trust(), now=LATER)
        verdicts.append((checked.verdict, checked.second and checked.second.signer))

    assert [("passed", f"Supervisor {number}") for number in range(len(verdicts))] == verdicts
