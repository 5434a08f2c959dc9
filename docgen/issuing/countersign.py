"""
A case, its signed document and the supervisor's key > the same file with a second signature, kept beside the first.

One step: the new file is checked, kept and entered, or nothing is. The first file stays in store and register.
"""

from __future__ import annotations

import hashlib
from collections.abc import Mapping
from dataclasses import dataclass

from docgen.blocks import printed_number
from docgen.case import Case, read_case
from docgen.checks.signed import edited_after_signature
from docgen.examine import CaseFiles, World
from docgen.exchange import BUNDLE_NAME, IssuedFile, Registered, attested
from docgen.generate import house_style
from docgen.issue.entry import Action, Life
from docgen.issue.refusals import already_countersigned
from docgen.issuing.copies import languages_of
from docgen.issuing.gates import fields_at_signature, signed_fields
from docgen.issuing.issue import DOCUMENT, MIME, kept_files, shown_files
from docgen.issuing.office import Issued, Office, record_digest
from docgen.issuing.sign import Signed
from docgen.issuing.signatory import Signatory, countersigner_of
from docgen.issuing.signature import Signature, Signing, bears, kind_to_sign, moment_of
from docgen.kept import from_bytes
from docgen.problem import Problem, Problems, Refused, say
from docgen.signing import countersign_pdf, place_left

PDF = "pdf"


@dataclass(frozen=True)
class Wanted:
    """Which document is countersigned, and who asks for it."""

    kind: str
    by: str
    """Kept in the register."""
    number: int | None = None
    """Needed only where several documents of the record and kind stand signed."""


def countersign(files: CaseFiles, wanted: Wanted, world: World, office: Office, signing: Signing) -> Signed:
    """
    Add the supervisor's signature to the signed document of a case, now.

    Errors: Refused with what is wrong with the case's files, supervisor-none, signed-already, signature-unrecorded,
    signer-*, certificate-*, signed-none, signed-several, number-unknown, number-countersigned, edited-after-signature,
    and those of the key and of the signature; OutputError, if store or database fail.
    """
    kind, problems = kind_to_sign(wanted.kind, world), Problems()
    case = read_case(files.case, files.clinic, files.approvals, problems)
    problems.refuse()
    supervisor = countersigner_of(kind, case, signing.signer, signing.key, other_name=signing.other_name)
    life = _standing(case, wanted, office)
    if any(entry.action is Action.COUNTERSIGNED for entry in life.entries):
        raise already_countersigned(life.number)
    is_same = fields_at_signature(life) == signed_fields(case, office)
    if not is_same and (edited := edited_after_signature(case, "")):
        raise Refused([edited])
    kept = {file.name: content for file, content in kept_files(life, office)}
    document = from_bytes(kept[DOCUMENT])
    moment, clinic = moment_of(case, office), str(case.value("clinic.name"))
    signature = Signature(supervisor, moment, clinic, languages_of(document, world)[0], house_style(world), signing)
    registered = Registered(office.register.identity.register, life.number, moment)
    made = _made(kept, _signed(kept.get(PDF, b""), signature), registered, supervisor)
    with office.store.keeping(made.items()) as new:
        office.register.countersign(life.number, new, wanted.by, signing.note)
    entered = {supervisor.at_path: moment.strftime("%Y-%m-%dT%H:%M")}
    if not supervisor.is_recorded:
        entered[supervisor.by_path] = supervisor.id
    now = office.register.life(life.number)
    assert now is not None  # noqa: S101 (it was entered just now)
    return Signed(Issued(now, shown_files(now, made)), entered, problems.notes)


def _standing(case: Case, wanted: Wanted, office: Office) -> Life:
    """Find the one document that is meant. Errors: Refused with signed-none, signed-several or number-unknown."""
    record = record_digest(office.register, str(case.value("record.id")))
    found = office.register.lives(kind=wanted.kind, state=Action.SIGNED.value, record_digest=record)
    lives = {life.number: life for life in found if not life.erased}
    if wanted.number is not None and wanted.number not in lives:
        number = printed_number(wanted.number)
        what = say("number %(number)s is no signed %(kind)s of this record", number=number, kind=wanted.kind)
        raise Refused([Problem("number-unknown", "", what, _LOOK)])
    if not lives:
        what = say("no signed %(kind)s of this record stands in the register", kind=wanted.kind)
        fix = say("whoever operated signs first: docgen sign; a document that was issued unsigned is signed on paper")
        raise Refused([Problem("signed-none", "", what, fix)])
    if wanted.number is None and len(lives) > 1:
        numbers = ", ".join(printed_number(number) for number in lives)
        what = say("several signed documents stand: numbers %(numbers)s", numbers=numbers)
        raise Refused([Problem("signed-several", "", what, say("say which one is meant with --number"))])
    return lives[wanted.number if wanted.number is not None else next(iter(lives))]


def _signed(content: bytes, signature: Signature) -> bytes:
    """Sign the field that was left open. Errors: Refused, as `countersign_pdf`; signer-differs."""
    signing = signature.signing
    _, field = place_left(content, signing.trust, signature.moment)
    if not bears(field, signature.signatory):
        raise Refused([_other_supervisor(signature.signatory)])
    return countersign_pdf(content, signing.key, signature.wish(field))


def _made(kept: Mapping[str, bytes], signed: bytes, registered: Registered, supervisor: Signatory) -> dict[str, bytes]:
    """Give the new files by role: the PDF, and the bundle that tells of it, if there is one."""
    if BUNDLE_NAME not in kept:
        return {PDF: signed}
    before, after = (
        IssuedFile(PDF, MIME[PDF], hashlib.sha256(one).hexdigest(), len(one)) for one in (kept[PDF], signed)
    )
    return {PDF: signed, BUNDLE_NAME: attested(kept[BUNDLE_NAME], before, after, registered, supervisor.id)}


def _other_supervisor(supervisor: Signatory) -> Problem:
    what = say("the signed document names another supervisor than the record does in %(path)s", path=supervisor.by_path)
    fix = say("put the record back as it was signed; if the document is wrong, withdraw it with the reason")
    return Problem("signer-differs", supervisor.by_path, what, fix)


_LOOK = say("look the number up with docgen register list")
