"""
A case, a key and who signs > the document composed anew with the moment of signing, signed, numbered and kept.

One step: if signing fails nothing is kept, and the number that was taken is voided.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from datetime import date, datetime
from zoneinfo import ZoneInfo

from docgen.blocks import Document, Span
from docgen.case import Case, read_case
from docgen.compose.signed import AUTHORSHIP, archive_words, stamp_lines
from docgen.examine import CaseFiles, Wish, World
from docgen.generate import Ready, compose_all
from docgen.issue.entry import Action
from docgen.issuing.gates import SIGNED_FIELDS, refuse_standing, refuse_unread, signed_fields
from docgen.issuing.issue import Finish, Task, issue_pack
from docgen.issuing.office import Issued, Office, Order
from docgen.issuing.signatory import Signatory, signatory_of
from docgen.kinds import DocumentKind, read_kind
from docgen.language import Language
from docgen.problem import Problem, Problems, Refused, say
from docgen.render.pdf.stamp import render_stamp
from docgen.signing import LEVELS, SigningKey, SignWish, Trust, sign_pdf, signature_fields


@dataclass(frozen=True)
class Signing:
    """With what, by whom and how a document is signed."""

    key: SigningKey
    trust: Trust
    signer: str = ""
    """Id of a practitioner; empty: the one the record names."""
    meaning: str = AUTHORSHIP
    level: str = "B-B"
    tsa_url: str = ""
    other_name: bool = False
    """The certificate is made out to another form of the signer's name, and somebody looked at it."""


@dataclass(frozen=True)
class Signed:
    """A signed document, and what the record has to say of it."""

    issued: Issued
    entered: dict[str, str]
    """Fields for the record, by path."""
    notes: tuple[Problem, ...]


def sign(files: CaseFiles, kind_name: str, world: World, office: Office, order: Order, signing: Signing) -> Signed:
    """
    Sign one document of a case in its clinic's time, now.

    Errors: Refused with every problem found (signing-kind, signed-already, signer-missing, signer-unknown,
    certificate-other-name, those of an issue, of the key and of the signature); OutputError.
    """
    kind = _kind(kind_name, world)
    case = read_case(files.case, files.clinic, files.approvals, Problems())
    moment = _moment(case, office)
    signatory = signatory_of(kind, case, signing.signer, signing.key, other_name=signing.other_name)
    entered = {signatory.at_path: moment.strftime("%Y-%m-%dT%H:%M")}
    if not signatory.is_recorded:
        entered[signatory.by_path] = signatory.id
    wish = Wish((kind.name,), formats=("pdf",), on=moment.date())
    files = replace(files, entered={**files.entered, **entered})
    ready = compose_all(files, wish, world, _never, refuse_unread)
    refuse_standing(ready.documents, ready.seen, office, replace(order, signs=True))
    ((one, document),) = ready.documents.values()
    language = ready.seen.languages[one.request.language]
    note = (
        (SIGNED_FIELDS, signed_fields(ready.seen, office)),
        ("level", signing.level),
        ("meaning", signing.meaning),
        ("certificate", signing.key.digest),
    )
    finish = Finish(_signer(signatory, moment, language, ready, signing), _more(language, signing), Action.SIGNED, note)
    (issued,) = issue_pack([Task(one, document, ready, wish.formats, office, order, finish)])
    return Signed(issued, entered, ready.seen.problems.notes)


def _more(language: Language, signing: Signing) -> dict[str, str]:
    """Ask the renderer for the field of the archive's time stamp, where the level needs one."""
    return {"archive": archive_words(language)} if signing.level == LEVELS[-1] else {}


def _kind(name: str, world: World) -> DocumentKind:
    """Read the kind that is to be signed. Errors: Refused with kind-unknown, kind-faulty or signing-kind."""
    problems = Problems()
    kind = read_kind(name, world.templates, problems)
    problems.refuse()
    assert kind is not None  # noqa: S101 (else there is a problem)
    return kind


def _moment(case: Case, office: Office) -> datetime:
    """Give the moment in the clinic's zone; a record without one is refused when it is composed."""
    try:
        zone = ZoneInfo(str(case.value("clinic.time_zone")))
    except (KeyError, ValueError, OSError):
        zone = ZoneInfo("UTC")
    return office.now().astimezone(zone)


def _never(zone: ZoneInfo) -> date:
    raise AssertionError(zone)  # the day of signing is always given


def _signer(
    signatory: Signatory, moment: datetime, language: Language, ready: Ready, signing: Signing
) -> Callable[[bytes, Document], bytes]:
    """Make what signs the PDF: it sets the visible stamp for the field it finds, and signs that."""
    registered = (signatory.registration_number, signatory.registration_body)
    lines = stamp_lines(signatory.name, registered, moment, signing.meaning, language)

    def signed(content: bytes, document: Document) -> bytes:
        free = [one for one in signature_fields(content) if not one.is_signed]
        own = [one for one in free if signatory.name in one.tooltip]  # a trainee's supervisor has a field too
        field = next(iter(own or free), None)
        if field is None:
            what = say("the document has no field to sign")
            fix = say("take out the setting that prints without fields, and sign again")
            raise Refused([Problem("signature-field", "", what, fix)])
        words = [(Span(line),) for line in lines]
        stamp = render_stamp(words, document.language, ready.style, field.width, field.height)
        return sign_pdf(
            content,
            signing.key,
            SignWish(
                at=moment,
                name=signatory.name,
                reason=lines[-1],
                field=field.name,
                level=signing.level,
                location=str(ready.seen.case.value("clinic.name")),
                stamp=stamp,
                words=". ".join(lines),
                tsa_url=signing.tsa_url,
                trust=signing.trust,
            ),
        )

    return signed
