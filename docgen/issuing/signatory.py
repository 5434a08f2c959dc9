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
SUPERVISED_AT, SUPERVISED_BY = ".supervisor_signed_at", ".supervisor_signed_by"
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
    signatory = Signatory(signer, found["name"], found["number"], found["body"], by_path, at_path, recorded is not None)
    require_own_key(signatory, case, key, other_name=other_name)
    return signatory


def supervisor_of(kind: DocumentKind, case: Case) -> Signatory | None:
    """
    Find who else signs a document of a kind: the one the record names, else who supervises the operator in training.

    None if the kind has no such signature, or nobody in training operated. Errors: Refused with signer-unknown.
    """
    for at_path in kind.signed_at:
        group = at_path.removesuffix(SIGNED_AT)
        by_path = group + SUPERVISED_BY
        if at_path.endswith(SIGNED_AT) and by_path in field_specs():
            named = case.value(by_path)
            is_recorded = named is not None and not isinstance(named, Answer)
            above = _above(str(case.value(f"{group}.operator")), case)
            if above is None:
                return None
            signer = str(named) if is_recorded else above
            found = _practitioner(signer, by_path, case)
            words = (found["name"], found["number"], found["body"])
            return Signatory(signer, *words, by_path, group + SUPERVISED_AT, is_recorded)
    return None


def countersigner_of(kind: DocumentKind, case: Case, wanted: str, key: SigningKey, *, other_name: bool) -> Signatory:
    """
    Find who signs for the supervision of a document that is signed, and whose key it is.

    Errors: Refused with supervisor-none, signed-already, signature-unrecorded, signer-differs, signer-same,
    signer-unknown or certificate-other-name.
    """
    above = supervisor_of(kind, case)
    if above is None:
        what = say("no supervisor signs %(kind)s of this record", kind=kind.name)
        fix = say("a supervisor signs the note of an operator in training: see practitioners[].trainee and .supervisor")
        raise Refused([Problem("supervisor-none", "practitioners", what, fix, case.place("practitioners"))])
    group, problems = above.at_path.removesuffix(SUPERVISED_AT), Problems()
    first_by, first_at = group + SIGNED_BY, group + SIGNED_AT
    if case.value(above.at_path) is not None:
        what = say("the record says that the supervisor has signed: %(path)s", path=above.at_path)
        fix = say("nothing is left to do; a signature on paper needs no other")
        problems.add(Problem("signed-already", above.at_path, what, fix, case.place(above.at_path)))
    if case.value(first_at) is None:
        what = say("the record does not say yet that the document is signed: %(path)s", path=first_at)
        fix = say("write the lines that docgen sign printed into the record")
        problems.add(Problem("signature-unrecorded", first_at, what, fix))
    if wanted not in ("", above.id):
        what = say("the record names another supervisor than --as")
        fix = say("leave out --as, or correct the record")
        problems.add(Problem("signer-differs", above.by_path, what, fix, case.place(above.by_path)))
    if case.value(first_by) == above.id:
        what = say("the supervisor has signed as the one who operated: %(path)s", path=first_by)
        fix = say("two people sign: whoever operated, and whoever supervised")
        problems.add(Problem("signer-same", first_by, what, fix, case.place(first_by)))
    problems.refuse()
    require_own_key(above, case, key, other_name=other_name)
    return above


def _above(operator: str, case: Case) -> str | None:
    """Find the supervisor of somebody in training; None for everybody else."""
    for path in case.expand("practitioners[].id"):
        group = path.removesuffix(".id")
        above = case.value(f"{group}.supervisor")
        if case.value(path) == operator and case.value(f"{group}.trainee") is True:
            return str(above) if above is not None and not isinstance(above, Answer) else None
    return None


def require_own_key(signatory: Signatory, case: Case, key: SigningKey, *, other_name: bool) -> None:
    """Compare the name on a certificate with the signer's. Errors: Refused with certificate-other-name."""
    if not other_name and not _shares_a_name(signatory.name, certified_name(key)):
        raise Refused([_other_name(signatory.by_path, case)])


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
