"""Whatever is done to a signed note, it is not accepted; and a good one is never refused."""

from __future__ import annotations

import hashlib
from collections.abc import Callable

import pytest
from pyhanko.sign.fields import MDPPerm

from docgen.signing import LEVELS, Trust, check_pdf
from docgen.signing.authority import Authority
from tests.signing import attacks
from tests.signing.another_program import sign_elsewhere
from tests.signing.conftest import made_note, opened, signed_by
from tests.signing.pki import AT, DAY, YEAR, authority, issue, stranger
from tests.signing.pki import curve as new_curve

CASES = [(level, attack) for level in ("B-B", "B-LT", "B-LTA") for attack in attacks.EVERY]


def _many(request: pytest.FixtureRequest, few: int, all_of_them: int) -> int:
    """Tell how many to try: a few, or with --long all."""
    return all_of_them if request.config.getoption("--long", default=False) else few


@pytest.mark.parametrize(("level", "attack"), CASES, ids=[f"{level} {attack.__name__}" for level, attack in CASES])
def test_a_changed_file_fails(level: str, attack: attacks.Attack, signed: Callable[[str], bytes]) -> None:
    """Sure of it without the register: whatever was added, cut, saved again, hidden or taken away."""
    changed = attack(signed(level))

    assert changed != signed(level)
    assert "failed" == check_pdf(changed, authority().trust(), now=AT).verdict


@pytest.mark.parametrize(("level", "part"), [("B-B", ""), ("B-LT", ""), ("B-LT", "signature")])
def test_a_flipped_bit_is_not_accepted(
    level: str, part: str, request: pytest.FixtureRequest, signed: Callable[[str], bytes]
) -> None:
    """Anywhere in the file, and in the signature itself, where much is not signed."""
    content = signed(level)
    first = content.index(b"<3082") if part else 0
    last = content.index(b"00>", first) if part else len(content)

    assert [] == attacks.accepted_flips(content, (first, last), _many(request, 100, 3400), f"{level}{part}", AT)


def test_good_ones_are_never_refused(request: pytest.FixtureRequest) -> None:
    """Other keys, other certificates, every level: all pass."""
    verdicts = []
    for number in range(_many(request, 9, 1000)):
        level = LEVELS[(0, 0, 1, 2, 0, 0, 1, 2, 0, 3)[number % 10]]
        surgeon = issue(f"Surgeon {number}", new_curve(), authority().issuer)
        checked = check_pdf(signed_by(surgeon, level=level), authority().trust(), now=AT, expect_level=level)
        verdicts.append((checked.verdict, checked.signer, checked.level) == ("passed", f"Surgeon {number}", level))

    assert verdicts == [True] * len(verdicts)


def test_the_register_tells_every_file_from_the_one_it_knows(signed: Callable[[str], bytes]) -> None:
    """The digest is what finds a file that is sound and yet another one: cut to a lower level, or signed anew."""
    known = hashlib.sha256(signed("B-LTA")).digest()
    others = [attacks.cut_archive(signed("B-LTA")), signed_by(authority().surgeon), signed_by(authority().rsa)]

    assert ["passed"] * 3 == [check_pdf(one, authority().trust(), now=AT).verdict for one in others]
    assert known not in {hashlib.sha256(one).digest() for one in others}


def test_a_level_that_was_taken_away_is_found(signed: Callable[[str], bytes]) -> None:
    """Without the archive's stamp the file is sound, and not what was signed."""
    cut = attacks.cut_archive(signed("B-LTA"))
    checked = check_pdf(cut, authority().trust(), now=AT, expect_level="B-LTA")

    assert ("failed", ("level-lower",), "B-LT") == (checked.verdict, checked.codes, checked.level)


def test_another_authority_proves_nothing() -> None:
    """The same name, signed by whom nobody trusts: indeterminate, whatever its authority says of its time."""
    for level in ("B-B", "B-LT"):
        checked = check_pdf(signed_by(stranger().surgeon, by=stranger(), level=level), authority().trust(), now=AT)

        assert "indeterminate" == checked.verdict
        assert "issuer-unknown" in checked.codes


def test_an_issuer_of_the_same_name_is_not_the_issuer() -> None:
    """A certificate counts by its key, not by its name."""
    root = issue("Holloway root", new_curve(), None, is_authority=True)
    issuer = issue("Holloway issuer", new_curve(), root, is_authority=True)
    forged = signed_by(issue("Amos Tindlewick", new_curve(), issuer))

    assert "indeterminate" == check_pdf(forged, authority().trust(), now=AT).verdict


def test_a_surgeon_vouches_for_nobody() -> None:
    """Who has a certificate for documents cannot issue one."""
    forged = signed_by(issue("Amos Tindlewick", new_curve(), authority().surgeon))

    assert "passed" != check_pdf(forged, authority().trust(), now=AT).verdict


def test_signed_in_the_future_fails() -> None:
    """A clock that goes wrong, or a lie."""
    checked = check_pdf(signed_by(authority().surgeon, at=AT + 2 * DAY), authority().trust(), now=AT)

    assert ("failed", ("time-future",)) == (checked.verdict, checked.codes)


def test_an_expired_certificate_needs_proof_of_time() -> None:
    """Signed before it ended: indeterminate afterwards, unless somebody knows the file since before."""
    content, trust = signed_by(authority().expired, at=AT - 2 * DAY), authority().trust(made=AT - 2 * DAY)
    later = check_pdf(content, trust, now=AT)
    known = check_pdf(content, trust, now=AT, known_since=AT - 1.5 * DAY)
    too_late = check_pdf(content, trust, now=AT, known_since=AT)

    assert ("indeterminate", ("certificate-expired-unproved",)) == (later.verdict, later.codes)
    assert "passed" == known.verdict
    assert ("failed", ("certificate-expired",)) == (too_late.verdict, too_late.codes)


@pytest.mark.parametrize("level", ["B-T", "B-LT", "B-LTA"])
def test_a_time_stamp_outlives_the_certificate(level: str, signed: Callable[[str], bytes]) -> None:
    """Two years later the surgeon's certificate has ended; the time is proved, and the note holds."""
    trust = authority().trust(made=AT + 2 * YEAR)
    checked = check_pdf(signed(level), trust, now=AT + 2 * YEAR, expect_level=level)

    assert ("passed", AT) == (checked.verdict, checked.proved_at)


def test_evidence_in_the_file_is_enough_later(signed: Callable[[str], bytes]) -> None:
    """With the roots alone: what a file keeps itself judges it, and of less it is not known whether it holds."""
    roots = Trust(authority().trust().roots)
    verdicts = {level: check_pdf(signed(level), roots, now=AT + DAY).verdict for level in LEVELS}

    expected = {"B-B": "indeterminate", "B-T": "indeterminate", "B-LT": "passed", "B-LTA": "passed"}
    assert expected == verdicts


def test_the_archive_outlives_the_authority_of_its_time(signed: Callable[[str], bytes]) -> None:
    """Old revocation lists are out of date, and what the register knows since then still proves the note."""
    old = authority().trust()
    alone = check_pdf(signed("B-LT"), old, now=AT + YEAR)
    known = check_pdf(signed("B-LT"), old, now=AT + YEAR, known_since=AT + DAY)

    assert "indeterminate" == alone.verdict
    assert "passed" == known.verdict


REVOKED = authority().revoked.certificate.serial_number


@pytest.mark.parametrize(
    ("since", "level", "known_since", "expected"),
    [
        (AT - DAY, "B-B", None, ("failed", ("certificate-revoked",))),
        (AT - DAY, "B-T", None, ("failed", ("certificate-revoked",))),
        (AT + DAY, "B-B", None, ("indeterminate", ("certificate-revoked-unproved",))),
        (AT + DAY, "B-B", AT + DAY / 2, ("passed", None)),
        (AT + DAY, "B-B", AT + 2 * DAY, ("failed", ("certificate-revoked",))),
        (AT + DAY, "B-T", None, ("passed", None)),
        (AT + DAY, "B-LT", None, ("passed", None)),
        (AT + DAY, "B-LTA", None, ("passed", None)),
    ],
)
def test_a_revoked_certificate_counts_from_its_day(
    since: object, level: str, known_since: object, expected: tuple[str, tuple[str, ...] | None]
) -> None:
    """Before it nothing holds; after it only what is proved to be older."""
    content = _by_revoked(level)
    trust = authority().trust({REVOKED: since}, made=AT + 3 * DAY)
    checked = check_pdf(content, trust, now=AT + 4 * DAY, known_since=known_since)

    assert expected == (checked.verdict, checked.codes if expected[1] else None)


def _by_revoked(level: str) -> bytes:
    return signed_by(authority().revoked, level=level)


def test_a_list_that_is_out_of_date_still_tells_who_is_revoked() -> None:
    """Who is revoked stays revoked, and an old list without him is no answer."""
    content = _by_revoked("B-B")
    revoked = authority().trust({REVOKED: AT - DAY}, made=AT - DAY)
    silent = authority().trust(made=AT - DAY)

    assert "failed" == check_pdf(content, revoked, now=AT + YEAR / 2).verdict
    assert ("revocation-unknown",) == check_pdf(content, silent, now=AT + YEAR / 2).codes


def test_what_is_no_signed_pdf_fails(note: bytes) -> None:
    """Without a signature, empty, or nothing that anybody could read."""
    contents = (note, b"", b"%PDF-1.7\n%%EOF\n", bytes(4096), note[:500])
    verdicts = [check_pdf(content, authority().trust(), now=AT) for content in contents]

    assert {"failed"} == {checked.verdict for checked in verdicts}
    assert ("signature-missing",) == verdicts[0].codes
    assert "" == verdicts[0].level


@pytest.mark.parametrize("allowed", [None, MDPPerm.FILL_FORMS, MDPPerm.ANNOTATE])
def test_a_note_that_is_not_certified_against_every_change_is_not_ours(allowed: MDPPerm | None) -> None:
    """Signed by the right surgeon with another program, which lets fields be filled or remarks be added."""
    told = {"certify": allowed is not None, "docmdp_permissions": allowed or MDPPerm.FILL_FORMS}
    content = sign_elsewhere(made_note(), opened(authority().surgeon), **told)
    checked = check_pdf(content, authority().trust(), now=AT)

    assert "failed" == checked.verdict
    assert "file-not-certified" in checked.codes


@pytest.mark.parametrize("change", [attacks.change_and_stamp, attacks.rename_and_stamp])
def test_a_change_under_a_new_time_stamp_fails(
    change: Callable[[bytes, Authority], bytes], signed: Callable[[str], bytes]
) -> None:
    """Somebody changes words or title and asks an authority, which all trust, to stamp the file as it is then."""
    with authority().stamping() as url:
        changed = change(signed("B-LT"), Authority(url, 5.0))
    checked = check_pdf(changed, authority().trust(), now=AT)

    assert checked.whole_file
    assert ("failed", ("file-changed",)) == (checked.verdict, checked.codes)
