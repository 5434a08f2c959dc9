"""
A token (card, stick or hardware module) and its PIN > a signing key that never leaves it, over PKCS #11.

The library for it is optional; without it a token is refused in words, and key files work as ever.
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from asn1crypto import x509
from cryptography import x509 as pyca

from docgen.problem import say
from docgen.signing.keys import SigningKey, chain_above, refusal, require_kind

try:
    import pkcs11
    from pyhanko.config.pkcs11 import TokenCriteria
    from pyhanko.sign.pkcs11 import PKCS11Signer, open_pkcs11_session

    HAS_TOKENS = True
except ImportError:
    HAS_TOKENS = False


@contextmanager
def open_token(module: Path, label: str, pin: str, key_label: str = "") -> Iterator[SigningKey]:
    """
    Open the token of a label through the library of its maker; closed when the block ends.

    `key_label` is needed only where a token holds several keys with certificates.
    Errors: Refused with token-unavailable, token-unreadable, key-password-wrong, key-incomplete, key-ambiguous or
    key-kind.
    """
    if not HAS_TOKENS:
        fix = say("install docgen with the extra named token, or use a key file")
        raise refusal("token-unavailable", say("signing with a token needs a library that is not installed"), fix)
    session = _session(module, label, pin)
    try:
        yield _key(session, key_label)
    finally:
        session.close()


def _session(module: Path, label: str, pin: str) -> pkcs11.Session:
    if not module.is_file():
        raise refusal("token-unreadable", say("there is no such library for tokens"), _MAKER)
    try:
        return open_pkcs11_session(str(module), token_criteria=TokenCriteria(label=label), user_pin=pin)
    except (pkcs11.PinIncorrect, pkcs11.PinLenRange, pkcs11.PinInvalid) as error:
        fix = say("type the PIN again; most tokens lock themselves after three wrong ones")
        raise refusal("key-password-wrong", say("the PIN does not open the token"), fix) from error
    except pkcs11.PinLocked as error:
        fix = say("ask whoever issued the token to unlock it")
        raise refusal("key-password-wrong", say("the token has locked itself"), fix) from error
    except (pkcs11.PKCS11Error, RuntimeError, OSError) as error:
        fix = say("put the token in, and look at its label and at the library of its maker")
        raise refusal("token-unreadable", say("the token cannot be opened"), fix) from error


def _key(session: pkcs11.Session, key_label: str) -> SigningKey:
    """Find the key that has a certificate."""
    wanted: dict[pkcs11.Attribute, object] = {pkcs11.Attribute.CLASS: pkcs11.ObjectClass.PRIVATE_KEY}
    if key_label:
        wanted[pkcs11.Attribute.LABEL] = key_label
    held = {key[pkcs11.Attribute.ID] for key in session.get_objects(wanted)}
    certificates = [
        (found[pkcs11.Attribute.ID], found[pkcs11.Attribute.VALUE])
        for found in session.get_objects({pkcs11.Attribute.CLASS: pkcs11.ObjectClass.CERTIFICATE})
    ]
    pairs = [(own, content) for own, content in certificates if own in held]
    if not pairs:
        what = say("the token holds no key with its certificate")
        raise refusal("key-incomplete", what, say("ask whoever issued the token"))
    if len(pairs) > 1:
        raise refusal(
            "key-ambiguous", say("the token holds several keys"), say("name the label of the one to sign with")
        )
    own, content = pairs[0]
    public = pyca.load_der_x509_certificate(content).public_key()
    require_kind(public)
    certificate = x509.Certificate.load(content)
    signer = PKCS11Signer(
        session,
        signing_cert=certificate,
        key_id=own,
        ca_chain=chain_above(certificate, [x509.Certificate.load(other) for _, other in certificates]),
        use_raw_mechanism=certificate.public_key.algorithm == "ec",  # what every token has
    )
    return SigningKey(signer, content)


_MAKER = say("name the library that the maker of the token gives, such as a file that ends in .so or .dll")
