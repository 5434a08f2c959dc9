"""
A case, a key and who signs > the document composed anew with the moment of signing, signed, numbered and kept.

One step: if signing fails nothing is kept, and the number that was taken is voided.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from datetime import date
from zoneinfo import ZoneInfo

from docgen.blocks import Document
from docgen.case import Case, read_case
from docgen.compose.signed import archive_words
from docgen.examine import CaseFiles, Wish, World
from docgen.generate import compose_all
from docgen.issue.entry import Action
from docgen.issuing.gates import SIGNED_FIELDS, refuse_standing, refuse_unread, signed_fields
from docgen.issuing.issue import Finish, Task, issue_pack
from docgen.issuing.office import Issued, Office, Order
from docgen.issuing.signatory import Signatory, signatory_of, supervisor_of
from docgen.issuing.signature import Signature, Signing, bears, kind_to_sign, moment_of, no_field
from docgen.kinds import DocumentKind
from docgen.language import Language
from docgen.problem import Problem, Problems
from docgen.signing import LEVELS, sign_pdf, signature_fields


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
    kind = kind_to_sign(kind_name, world)
    case = read_case(files.case, files.clinic, files.approvals, Problems())
    moment = moment_of(case, office)
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
    above = _opened(kind, ready.seen.case, signatory)
    clinic = str(ready.seen.case.value("clinic.name"))
    signature = Signature(signatory, moment, clinic, language, ready.style, signing)
    note = ((SIGNED_FIELDS, signed_fields(ready.seen.case, office)), *signing.note)
    finish = Finish(_signer(signature, above), _more(language, signing, above), Action.SIGNED, note)
    (issued,) = issue_pack([Task(one, document, ready, wish.formats, office, order, finish)])
    return Signed(issued, entered, ready.seen.problems.notes)


def _more(language: Language, signing: Signing, above: Signatory | None) -> dict[str, tuple[str, ...]]:
    """Ask the renderer for the fields of the archive's time stamps: one for each signature that may want it."""
    stamps = (signing.level == LEVELS[-1]) + (above is not None)
    return {"archive": (archive_words(language),) * stamps} if stamps else {}


def _never(zone: ZoneInfo) -> date:
    raise AssertionError(zone)  # the day of signing is always given


def _opened(kind: DocumentKind, case: Case, signatory: Signatory) -> Signatory | None:
    """Tell for whom a place to sign stays open: the supervisor of who signs now, if the record has no word of them."""
    above = supervisor_of(kind, case)
    is_open = above is not None and above.id != signatory.id and case.value(above.at_path) is None
    return above if is_open else None


def _signer(signature: Signature, above: Signatory | None) -> Callable[[bytes, Document], bytes]:
    """Make what signs the PDF: it sets the visible stamp for the field it finds, and signs that."""

    def signed(content: bytes, document: Document) -> bytes:
        free = [one for one in signature_fields(content) if not one.is_signed]
        own = [one for one in free if bears(one, signature.signatory)]  # a supervisor has a field too
        field = next(iter(own or free), None)
        if field is None:
            raise no_field()
        other = next((one for one in free if above and bears(one, above) and one != field), None)
        return sign_pdf(content, signature.signing.key, signature.wish(field, other.name if other else ""))

    return signed
