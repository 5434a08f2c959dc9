"""
A kind, a record and a key > who signs: the practitioner, the fields for the record, the name on the certificate.

Apart from signing, so that everything that is wrong with the signer is said before anything is composed.
"""

from __future__ import annotations

import unicodedata
from dataclasses import dataclass

from cryptography import x509
from cryptography.x509.oid import NameOID

from docgen.answer import Answer
from docgen.case import Case, field_specs
from docgen.kinds import DocumentKind
from docgen.problem import Problem, Problems, Refused, say
from docgen.signing import SigningKey

SIGNED_AT, SIGNED_BY = ".signed_at", ".signed_by"
LEAST_LETTERS = 2
"""Letters of a word that counts as part of a name."""


@dataclass(frozen=True)
class Signatory:
    """Who signs a document of a kind."""

    id: str
    name: str
    registration_number: str
    registration_body: str
    by_path: str
    """Field that names the signer."""
    at_path: str
    """Field that holds the moment."""
    is_recorded: bool
    """True if the record names the signer already."""


def signatory_of(kind: DocumentKind, case: Case, wanted: str, key: SigningKey, *, other_name: bool) -> Signatory:
    """
    Find who signs; a kind has a signatory if a field `signed_by` stands beside its `signed_at`.

    Errors: Refused with signing-kind, signed-already, signer-missing, signer-unknown or certificate-other-name.
    """
    by_path, at_path = _paths(kind)
    problems = Problems()
    if case.value(at_path) is not None:
        what = say("the record says that %(kind)s is signed: %(path)s", kind=kind.name, path=at_path)
        fix = say("a signed document is never signed again: write an addendum; a signature on paper needs no other")
        problems.add(Problem("signed-already", at_path, what, fix, case.place(at_path)))
    recorded = case.value(by_path)
    signer = str(recorded) if recorded is not None and not isinstance(recorded, Answer) else wanted
    if not signer:
        what = say("%(path)s is not recorded, and no signer is named", path=by_path)
        problems.add(Problem("signer-missing", by_path, what, say("give --as with the id of a practitioner")))
    elif wanted not in ("", signer):
        what = say("the record names another signer in %(path)s", path=by_path)
        fix = say("leave out --as, or correct the record")
        problems.add(Problem("signer-differs", by_path, what, fix, case.place(by_path)))
    problems.refuse()
    found = _practitioner(signer, by_path, case)
    if not other_name and not _shares_a_name(found["name"], certified_name(key)):
        raise Refused([_other_name(by_path, case)])
    return Signatory(signer, found["name"], found["number"], found["body"], by_path, at_path, recorded is not None)


def _paths(kind: DocumentKind) -> tuple[str, str]:
    for at_path in kind.signed_at:
        by_path = at_path.removesuffix(SIGNED_AT) + SIGNED_BY
        if at_path.endswith(SIGNED_AT) and by_path in field_specs():
            return by_path, at_path
    what = say("%(kind)s is no document that a practitioner signs with a key", kind=kind.name)
    raise Refused([Problem("signing-kind", "", what, say("see docgen kinds; others are signed on paper"))])


def _practitioner(signer: str, by_path: str, case: Case) -> dict[str, str]:
    for path in case.expand("practitioners[].id"):
        if case.value(path) == signer:
            group = path.removesuffix(".id")
            fields = {"name": "name", "number": "registration_number", "body": "registration_body"}
            return {name: str(case.value(f"{group}.{field}") or "") for name, field in fields.items()}
    what = say("the clinic's file has no practitioner with the id of the signer")
    fix = say("give --as one of: %(ids)s", ids=", ".join(str(case.value(p)) for p in case.expand("practitioners[].id")))
    raise Refused([Problem("signer-unknown", by_path, what, fix, case.place(by_path))])


def certified_name(key: SigningKey) -> str:
    """Give every word by which a certificate names its holder."""
    subject = x509.load_der_x509_certificate(key.certificate).subject
    wanted = (NameOID.COMMON_NAME, NameOID.GIVEN_NAME, NameOID.SURNAME, NameOID.PSEUDONYM)
    return " ".join(str(part.value) for oid in wanted for part in subject.get_attributes_for_oid(oid))


def _shares_a_name(printed: str, certified: str) -> bool:
    """Tell whether two words of the printed name stand on the certificate; accents, case and order do not count."""
    wanted = _words(printed)
    return len(wanted & _words(certified)) >= min(2, len(wanted)) > 0


def _words(name: str) -> set[str]:
    bare = "".join(c for c in unicodedata.normalize("NFKD", name.casefold()) if not unicodedata.combining(c))
    words = "".join(c if c.isalnum() else " " for c in bare).split()
    return {word for word in words if len(word) >= LEAST_LETTERS and not word.isdecimal()}


def _other_name(by_path: str, case: Case) -> Problem:
    what = say("the certificate of the key is made out to another name than the signer's")
    fix = say("sign with the signer's own key; if it is the same person under another name, give --other-name")
    return Problem("certificate-other-name", by_path, what, fix, case.place(by_path))
