"""
Why a file could not be signed > the problem in plain words.

Apart from signing, so that the steps can be read without them.
"""

from __future__ import annotations

from docgen.problem import Refused, say
from docgen.signing.findings import Checked
from docgen.signing.keys import refusal
from docgen.signing.second import SECOND


def wrong(checked: Checked) -> Refused:
    """Say what our own check found of a signature that was just made."""
    for code, reason in zip(checked.codes, checked.reasons, strict=True):
        bare = code.removeprefix(SECOND)
        if bare in _MENDS:
            return refusal(bare, reason, _MENDS[bare])
    return unsound()


def changed(checked: Checked) -> Refused:
    """Refuse a file to be countersigned that is not as it was signed."""
    what = say("the file is not as it was signed, or its signature does not hold: %(why)s", why=checked.reasons[0])
    return refusal("signature-changed", what, say("see docgen verify, and take the file from a backup"))


def same_signer() -> Refused:
    """Refuse a second signature by whom the first one is."""
    what = say("the key is the one the document was signed with already")
    return refusal("signer-same", what, say("whoever supervised signs with a key of their own"))


def no_place() -> Refused:
    """Refuse a file that leaves no place to a second signature."""
    what = say("the document leaves no place to a second signature")
    fix = say("let the supervisor sign on paper, and record who and when")
    return refusal("signature-place", what, fix)


def no_archive_field() -> Refused:
    """Refuse another time stamp of an archive where no field is left for it."""
    what = say("the document has no place for a time stamp of the archive")
    return refusal("signature-level", what, say("sign with level B-LT"))


def no_field() -> Refused:
    """Refuse a file that has no place to sign."""
    what = say("the document has no such field to sign, or it is signed")
    return refusal("signature-field", what, say("compose the document anew, with fields to fill, and sign that"))


def unproved() -> Refused:
    """Refuse evidence that cannot be had."""
    what = say("the certificate of the signer or of the time-stamp authority leads to no trusted root, or is revoked")
    fix = say("put roots, certificates between and current revocation lists into the folder of trusted certificates")
    return refusal("certificate-unproved", what, fix)


def unsound() -> Refused:
    """Refuse a signature that does not hold, for reasons nobody knows."""
    what = say("the signature that was made does not hold; nothing was kept")
    return refusal("signature-unsound", what, say("sign again; if it happens again, tell whoever looks after docgen"))


_MENDS = {
    "certificate-revoked": say("ask whoever issued the key for a new one"),
    "time-differs": say("set the clock of this computer right, then sign again"),
    "stamp-broken": say("ask the authority, or sign without time stamp (level B-B)"),
}
"""What our own check may find that is nobody's fault here."""
