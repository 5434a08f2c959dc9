"""A trainee's note: signed by the trainee, then by the supervisor in the same file; both count, or nothing is kept."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Callable
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from io import BytesIO
from pathlib import Path
from typing import Any

import page
import pytest
from conftest import example_files
from pypdf import PdfReader

from docgen.examine import CaseFiles, Wish, World
from docgen.exchange import BUNDLE_NAME
from docgen.issue.entry import Action
from docgen.issuing import Office, Order, copy_of, erase, issue
from docgen.issuing.countersign import Wanted, countersign
from docgen.issuing.sign import Signed, sign
from docgen.issuing.signature import Signing
from docgen.problem import OutputError, Refused
from docgen.signing import SigningKey, check_pdf, open_key
from docgen.verdict import PASSED
from docgen.verifying import verify_file, verify_number
from tests.exchange.definitions import faults
from tests.signing.another_program import sign_elsewhere
from tests.signing.attacks import fill_field
from tests.signing.conftest import opened
from tests.signing.pki import DAY, PASSWORD, Held, authority, curve
from tests.signing.pki import issue as certified

from .conftest import Clock, edited, with_settings

TRAINEE, SUPERVISOR = (certified(name, curve(), authority().issuer) for name in ("Piers Calloden", "Isolde Farrowmere"))
AT = datetime(2026, 5, 28, 15, tzinfo=UTC)
LATER = AT + timedelta(hours=2)
BOTH = (
    "  signed_by: pc\n  signed_at: 2026-05-28T10:50\n  supervisor_signed_by: if\n"
    "  supervisor_signed_at: 2026-05-28T10:55\n"
)
"""What the example's record says of its signatures."""
Act = Callable[..., Signed]


def with_lines(*lines: str) -> CaseFiles:
    """Give the case of a trainee, with these lines on the note's signatures."""
    files = with_settings(example_files("kestrelmoor"), "issue.unapproved: allow_marked")
    return edited(files, BOTH, "".join(f"  {line}\n" for line in lines))


def recorded(made: Signed, *more: str) -> CaseFiles:
    """Write down what signing said for the record."""
    lines = (f"{path.removeprefix('operation.')}: {value}" for path, value in made.entered.items())
    return with_lines(*lines, *more)


@pytest.fixture
def trusting(office: Office, tmp_path: Path) -> Office:
    """Give the office a folder of certificates and current lists."""
    folder, trust = tmp_path / "trust", authority().trust(made=AT - DAY)
    folder.mkdir()
    for number, content in enumerate((*trust.roots, *trust.others)):
        (folder / f"{number}.der").write_bytes(content)
    for number, content in enumerate(trust.crls):
        (folder / f"{number}.crl").write_bytes(content)
    return replace(office, trust=folder)


@pytest.fixture
def signed(office: Office, world: World, clock: Clock, tmp_path: Path) -> Act:
    """Give a function that signs the trainee's note."""

    def make(files: CaseFiles | None = None, held: Held = TRAINEE, **how: Any) -> Signed:
        clock.at = how.pop("at", AT)
        order = Order(**{"by": "R. Desk", **how.pop("order", {})})
        signing = Signing(open_key(held.file(tmp_path), PASSWORD), authority().trust(), **{"signer": "pc", **how})
        return sign(files or with_lines(), "operative-note", world, office, order, signing)

    return make


@pytest.fixture
def countersigned(office: Office, world: World, clock: Clock, tmp_path: Path) -> Act:
    """Give a function that adds the supervisor's signature."""

    def make(files: CaseFiles, held: Held = SUPERVISOR, kind: str = "operative-note", **how: Any) -> Signed:
        clock.at = how.pop("at", LATER)
        wanted = Wanted(kind, "R. Desk", how.pop("number", None))
        key = open_key(held.file(tmp_path), PASSWORD)
        signing = Signing(key, authority().trust(), **{"meaning": "responsibility", **how})
        return countersign(files, wanted, world, office, signing)

    return make


def pdf_of(made: Signed) -> bytes:
    """Give the file that leaves the clinic."""
    return next(content for name, content in made.issued.files.items() if name.endswith(".pdf"))


def codes(content: bytes, office: Office, *verdicts: str) -> set[str]:
    """Name what is found of a file."""
    return {one.code for one in verify_file(content, office).findings if not verdicts or one.verdict in verdicts}


def refusal(countersigned: Act, files: CaseFiles, **how: Any) -> list[str]:
    """Name why a note is not countersigned."""
    with pytest.raises(Refused) as refused:
        countersigned(files, **how)
    return [problem.code for problem in refused.value.problems]


def open_key_of(name: str) -> SigningKey:
    """Give a key of somebody whom the authority knows."""
    return opened(certified(name, curve(), authority().issuer))


def test_a_trainees_note_is_countersigned_in_the_same_file(
    signed: Act, countersigned: Act, trusting: Office, clock: Clock
) -> None:
    """Both signatures pass; the new file begins with the first one, which stays."""
    first = signed()
    second = countersigned(recorded(first))
    verdicts = [verify_file(pdf_of(one), trusting) for one in (first, second)]
    actions = [entry.action for entry in second.issued.life.entries]

    assert [PASSED, PASSED] == [one.verdict for one in verdicts]
    assert [Action.PREPARED, Action.SIGNED, Action.COUNTERSIGNED] == actions
    assert Action.SIGNED is second.issued.life.state
    assert pdf_of(second).startswith(pdf_of(first))
    assert {"countersigned-since"} == codes(pdf_of(first), trusting) - codes(pdf_of(second), trusting)
    told = [second.entered[f"operation.supervisor_signed_{name}"] for name in ("at", "by")]
    assert ["2026-05-28T18:00", "if"] == told


def test_a_countersigned_note_is_accessible_and_whole(signed: Act, countersigned: Act) -> None:
    """PDF/UA-1 holds after both; PDF/A-3a but for the first signature, which two can never fulfil."""
    first = signed()
    second = countersigned(recorded(first))
    found = {
        (profile, fault.rule_id)
        for profile in (page.ValidationProfile.PDF_UA_1, page.ValidationProfile.PDF_A_3A)
        for fault in page.validate_pdf_bytes(pdf_of(second), profile=profile).failures
    }
    words = " ".join(" ".join(sheet.extract_text() for sheet in PdfReader(BytesIO(pdf_of(second))).pages).split())

    assert {(page.ValidationProfile.PDF_A_3A, "PDFA3A-SIGNATURE-BYTERANGE-001")} == found
    assert "UNSIGNED" not in words


def test_a_note_without_its_second_signature_passes_and_says_so(signed: Act, trusting: Office) -> None:
    """The trainee's signature holds alone; what is missing is told, by file and by number."""
    made = signed()
    by_number = verify_number(made.issued.life.number, "", trusting)

    assert PASSED == verify_file(pdf_of(made), trusting).verdict == by_number.verdict
    assert "countersign-missing" in codes(pdf_of(made), trusting, PASSED)
    assert "countersign-missing" in {one.code for one in by_number.findings}


def test_a_surgeons_own_note_says_nothing_of_a_second_signature(signed: Act, trusting: Office) -> None:
    """Where the supervisor has signed on paper already, the file is closed as any other."""
    made = signed(with_lines("supervisor_signed_by: if", "supervisor_signed_at: 2026-05-28T15:55"))

    assert PASSED == verify_file(pdf_of(made), trusting).verdict
    assert "countersign-missing" not in codes(pdf_of(made), trusting)


def test_the_number_finds_both_files(signed: Act, countersigned: Act, trusting: Office) -> None:
    """The store holds the first file and the second; both are whole."""
    first = signed()
    countersigned(recorded(first))
    verdict = verify_number(first.issued.life.number, first.issued.life.code, trusting)
    found = [one.code for one in verdict.findings]

    assert PASSED == verdict.verdict
    assert ("second-signer-trusted" in found, found.count("signer-trusted")) == (True, 2)


def test_a_copy_is_the_countersigned_file(signed: Act, countersigned: Act, office: Office, world: World) -> None:
    """Whoever asks for a file, or signs again with the same key, gets the newest."""
    first = signed(order={"key": "once"})
    second = countersigned(recorded(first))
    copy = copy_of(first.issued.life.number, world, office, "R. Desk")
    again = signed(order={"key": "once"})

    assert pdf_of(second) in copy.files.values()
    assert (True, pdf_of(second)) == (again.issued.again, pdf_of(again))


def test_the_bundle_tells_of_the_new_file(signed: Act, countersigned: Act, office: Office, world: World) -> None:
    """Its digest and size, and the supervisor beside the operator; the bundle is still valid FHIR R4."""
    first = signed()
    second = countersigned(recorded(first))
    copy = copy_of(first.issued.life.number, world, office, "R. Desk", exchange=True)
    told = json.loads(next(content for name, content in copy.files.items() if name.endswith(BUNDLE_NAME)))
    (file,) = [one["resource"] for one in told["entry"] if one["resource"]["resourceType"] == "DocumentReference"]
    attesters = told["entry"][0]["resource"]["attester"]
    parties = {one["fullUrl"]: one["resource"] for one in told["entry"]}
    names = [parties[one["party"]["reference"]]["name"][0]["text"] for one in attesters]

    assert [] == faults(told)
    assert f"nih:sha-256;{hashlib.sha256(pdf_of(second)).hexdigest()}" == file["identifier"][1]["value"]
    assert len(pdf_of(second)) == file["content"][0]["attachment"]["size"]
    assert ["Piers Calloden", "Isolde Farrowmere"] == names
    assert "2026-05-28T17:00:00Z" == attesters[1]["time"]


def test_erasing_takes_both_files(signed: Act, countersigned: Act, office: Office) -> None:
    """No key and no file is left."""
    number = countersigned(recorded(signed())).issued.life.number
    erase(number, "other", office, "R. Desk", before_due=True)
    life = office.register.life(number)

    assert life is not None
    assert life.erased
    assert [] == list(office.store.digests())


def test_the_record_with_both_signatures_is_the_signed_one(
    signed: Act, countersigned: Act, office: Office, world: World
) -> None:
    """The supervisor's lines are no change of what was signed; another value is."""
    first = signed()
    second = countersigned(recorded(first))
    lines = [f"{path.removeprefix('operation.')}: {value}" for path, value in second.entered.items()]
    found = []
    for files in (recorded(first, *lines), edited(recorded(first, *lines), "signed_by: pc", "signed_by: if")):
        wish = Wish(("operative-note",), on=LATER.date())
        with pytest.raises(Refused) as refused:
            issue(files, wish, world, lambda _zone: LATER.date(), office, Order("R. Desk"))
        found.append([problem.code for problem in refused.value.problems])

    assert [["signed-stands"], ["edited-after-signature"]] == found


NOT_THEY: list[tuple[Held, dict[str, Any], str]] = [
    (TRAINEE, {}, "certificate-other-name"),
    (TRAINEE, {"other_name": True}, "signer-same"),
    (certified("Isolde Farrowmere", TRAINEE.key, authority().issuer), {}, "signer-same"),
    (certified("Isolde Farrowmere", curve(), authority().issuer, end=AT - DAY), {}, "certificate-expired"),
    (SUPERVISOR, {"signer": "pc"}, "signer-differs"),
    (SUPERVISOR, {"number": 9}, "number-unknown"),
    (SUPERVISOR, {"kind": "addendum"}, "supervisor-none"),
    (SUPERVISOR, {"level": "B-T"}, "signature-level"),
]
"""Another person, the same key, a certificate that ended, a wrong number or kind, no authority: why each is refused."""


def test_who_may_not_countersign(signed: Act, countersigned: Act, office: Office) -> None:
    """Nothing is kept of an attempt that was refused."""
    files = recorded(signed())
    before = (office.register.head(), sorted(office.store.digests()))
    found = [refusal(countersigned, files, held=held, **how) for held, how, _ in NOT_THEY]

    assert [[code] for _, _, code in NOT_THEY] == found
    assert before == (office.register.head(), sorted(office.store.digests()))


def test_somebody_else_in_the_supervisors_place_is_not_accepted(signed: Act, trusting: Office) -> None:
    """A person whom the same authority knows signs the open field without docgen: sound, and nobody issued it."""
    content = pdf_of(signed())
    place = check_pdf(content, authority().trust(), now=AT).open_field
    foreign = sign_elsewhere(
        content, open_key_of("Third Person"), at=AT, field_name=place, certify=False, docmdp_permissions=None
    )
    verdict = verify_file(foreign, trusting)

    assert PASSED != verdict.verdict
    assert "file-unknown" in {one.code for one in verdict.findings}


def test_what_the_record_must_say(signed: Act, countersigned: Act) -> None:
    """Signed by somebody else than the supervisor, not yet countersigned, and nothing else changed."""
    made = recorded(signed())
    cases = {
        "signature-unrecorded": with_lines(),
        "signed-already": edited(made, "  signed_by: pc", "  signed_by: pc\n  supervisor_signed_at: 2026-05-28T18:30"),
        "signer-same": edited(made, "  signed_by: pc", "  signed_by: if"),
        "supervisor-none": edited(made, "trainee: yes", "trainee: no", clinic=True),
        "signer-differs": edited(made, "    supervisor: if", "    supervisor: mt", clinic=True),
        "edited-after-signature": edited(made, "Answered at all times.", "Answered."),
    }
    found = {}
    for name, files in cases.items():
        with pytest.raises(Refused) as refused:
            countersigned(files, other_name=name == "signer-differs")
        found[name] = [problem.code for problem in refused.value.problems]

    assert {name: [name] for name in cases} == found


def test_only_a_signed_note_is_countersigned_and_once(signed: Act, countersigned: Act, office: Office) -> None:
    """Not before it is signed, not twice, and not once it is withdrawn."""
    before = refusal(countersigned, with_lines("signed_by: pc", "signed_at: 2026-05-28T10:50"))
    files = recorded(signed())
    number = countersigned(files).issued.life.number
    twice = refusal(countersigned, files)
    office.register.withdraw(number, "entered_in_error", "R. Desk")
    after = refusal(countersigned, files)

    assert (["signed-none"], ["number-countersigned"], ["signed-none"]) == (before, twice, after)


def test_a_name_with_a_title_is_found_on_its_field(signed: Act, countersigned: Act) -> None:
    """Typesetting keeps "Dr I. Farrowmere" in one line; the field is the supervisor's all the same."""
    name = "name: Dr I.  Farrowmere"
    first = signed(edited(with_lines(), "name: Isolde Farrowmere", name, clinic=True))
    second = countersigned(edited(recorded(first), "name: Isolde Farrowmere", name, clinic=True), other_name=True)

    assert Action.COUNTERSIGNED is second.issued.life.entries[-1].action


def test_of_several_notes_one_is_named(signed: Act, countersigned: Act) -> None:
    """Two signed notes of a record stand: the number decides."""
    first = signed()
    second = signed(at=AT + timedelta(minutes=1), order={"beside": True})
    several = refusal(countersigned, recorded(second))
    made = countersigned(recorded(second), number=second.issued.life.number)

    assert ["signed-several"] == several
    assert (second.issued.life.number, AT + timedelta(minutes=1)) != (first.issued.life.number, AT)
    assert second.issued.life.number == made.issued.life.number


def test_of_two_at_once_one_is_kept(
    signed: Act, countersigned: Act, office: Office, world: World, clock: Clock, tmp_path: Path
) -> None:
    """While one is signing another is done: the register refuses the later one, and its files are gone again."""
    first = signed()
    files, left, kept = recorded(first), [1], list[str]()

    def meanwhile() -> datetime:
        if left:
            left.pop()
            countersigned(files)
            kept.extend(office.store.digests())
        return clock.at

    signing = Signing(open_key(SUPERVISOR.file(tmp_path), PASSWORD), authority().trust(), meaning="responsibility")
    with pytest.raises(Refused, match="number-countersigned"):
        countersign(files, Wanted("operative-note", "R. Desk"), world, replace(office, now=meanwhile), signing)

    assert sorted(kept) == sorted(office.store.digests())
    assert () == office.register.faults()


def test_no_field_is_filled_before_or_after(signed: Act, countersigned: Act, trusting: Office) -> None:
    """The note has a field for the supervisor's date: it is locked, and what is typed into it fails."""
    first = signed()
    second = countersigned(recorded(first))
    found = [verify_file(fill_field(pdf_of(one)), trusting) for one in (first, second)]

    assert ["failed", "failed"] == [one.verdict for one in found]
    assert [None, None] == [one.life for one in found]


def test_a_file_that_was_changed_is_not_countersigned(signed: Act, countersigned: Act, office: Office) -> None:
    """A kept file that is not as it was written gets no second signature."""
    first = signed()
    file = next(one for one in first.issued.life.files if one.name == "pdf")
    (path,) = office.store.paths(file.digest)
    path.write_bytes(path.read_bytes()[:-1] + b"x")
    with pytest.raises(OutputError, match="damaged"):
        countersigned(recorded(first))

    assert [] == [e for e in office.register.entries() if e.action is Action.COUNTERSIGNED]
