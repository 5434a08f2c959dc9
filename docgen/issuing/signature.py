"""
Who signs, when and with what > the wish for one signature: its words, its look, its field.

Apart from the flows, because the first and the second signature of a document are made alike.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from zoneinfo import ZoneInfo

from docgen.blocks import Span
from docgen.case import Case
from docgen.compose.signed import AUTHORSHIP, stamp_lines
from docgen.examine import World
from docgen.issuing.office import Office
from docgen.issuing.signatory import Signatory
from docgen.kinds import DocumentKind, read_kind
from docgen.language import Language
from docgen.problem import Problem, Problems, Refused, say
from docgen.render.pdf.stamp import render_stamp
from docgen.render.style import Style
from docgen.signing import SignatureField, SigningKey, SignWish, Trust


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

    @property
    def note(self) -> tuple[tuple[str, str], ...]:
        """What the entry in the register says of the signature."""
        return (("level", self.level), ("meaning", self.meaning), ("certificate", self.key.digest))


@dataclass(frozen=True)
class Signature:
    """One signature that is going to be made."""

    signatory: Signatory
    moment: datetime
    """Aware, in the clinic's zone."""
    clinic: str
    language: Language
    style: Style
    signing: Signing

    def wish(self, field: SignatureField, leave_open: str = "") -> SignWish:
        """
        Set the visible stamp for a field, and say all that is signed.

        Errors: MissingGlyph for a character no font prints.
        """
        signatory, signing = self.signatory, self.signing
        registered = (signatory.registration_number, signatory.registration_body)
        lines = stamp_lines(signatory.name, registered, self.moment, signing.meaning, self.language)
        words = [(Span(line),) for line in lines]
        return SignWish(
            at=self.moment,
            name=signatory.name,
            reason=lines[-1],
            field=field.name,
            leave_open=leave_open,
            level=signing.level,
            location=self.clinic,
            stamp=render_stamp(words, self.language.name, self.style, field.width, field.height),
            words=". ".join(lines),
            tsa_url=signing.tsa_url,
            trust=signing.trust,
        )


def bears(field: SignatureField, signatory: Signatory) -> bool:
    """Tell whether a field is for somebody by its tooltip, which has the spaces of typesetting."""
    return " ".join(signatory.name.split()) in " ".join(field.tooltip.split())


def kind_to_sign(name: str, world: World) -> DocumentKind:
    """Read the kind that is to be signed. Errors: Refused with kind-unknown, kind-faulty or signing-kind."""
    problems = Problems()
    kind = read_kind(name, world.templates, problems)
    problems.refuse()
    assert kind is not None  # noqa: S101 (else there is a problem)
    return kind


def moment_of(case: Case, office: Office) -> datetime:
    """Give the moment in the clinic's zone; a record without one is refused when it is composed."""
    try:
        zone = ZoneInfo(str(case.value("clinic.time_zone")))
    except (KeyError, ValueError, OSError):
        zone = ZoneInfo("UTC")
    return office.now().astimezone(zone)


def no_field() -> Refused:
    """Refuse a document that was made without a place to sign."""
    fix = say("take out the setting that prints without fields, and sign again")
    return Refused([Problem("signature-field", "", say("the document has no field to sign"), fix)])
