"""A token signs as a key file does; the key never leaves it. A software token of Debian stands for it."""

from __future__ import annotations

import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pkcs11
import pkcs11.util.x509
import pytest
from conftest import ROOT, need_program
from cryptography.hazmat.primitives.serialization import Encoding, NoEncryption, PrivateFormat

from docgen.problem import Refused
from docgen.signing import SignWish, Trust, check_pdf, sign_pdf
from docgen.signing.token import open_token
from tests.signing.conftest import NAME, REASON, made_note
from tests.signing.pki import AT, Held, authority

PIN, LABEL = "4711", "Surgeon's token"
MODULE = Path("/usr/lib/softhsm/libsofthsm2.so")

Told = tuple[str, Held]


@pytest.fixture(scope="session")
def softhsm(tmp_path_factory: pytest.TempPathFactory) -> Iterator[None]:
    """Make a token with a key on a curve and an RSA key, each with its certificate."""
    util = need_program("softhsm2-util")
    folder = tmp_path_factory.mktemp("token")
    (folder / "tokens").mkdir()
    (folder / "softhsm.conf").write_text(f"directories.tokendir = {folder / 'tokens'}\nlog.level = ERROR\n", "utf-8")
    with pytest.MonkeyPatch.context() as patched:
        patched.setenv("SOFTHSM2_CONF", str(folder / "softhsm.conf"))
        for label in (LABEL, "Empty"):
            call = [util, "--init-token", "--free", "--label", label, "--pin", PIN, "--so-pin", "00000000"]
            subprocess.run(call, check=True, capture_output=True)
        for number, (name, held) in enumerate(_keys(), 1):
            key = folder / "key.pem"
            key.write_bytes(held.key.private_bytes(Encoding.PEM, PrivateFormat.PKCS8, NoEncryption()))
            call = [
                util,
                "--import",
                str(key),
                "--token",
                LABEL,
                "--label",
                name,
                "--id",
                f"{number:02x}",
                "--pin",
                PIN,
            ]
            subprocess.run(call, check=True, capture_output=True)
        _put_certificates()
        yield


def _keys() -> tuple[Told, ...]:
    return ("curve", authority().surgeon), ("rsa", authority().rsa)


def _put_certificates() -> None:
    (token,) = pkcs11.lib(str(MODULE)).get_tokens(token_label=LABEL)
    with token.open(rw=True, user_pin=PIN) as session:
        held = [(bytes([number]), held.der) for number, (_, held) in enumerate(_keys(), 1)]
        for identity, content in [*held, (b"\xaa", authority().issuer.der)]:
            certificate = pkcs11.util.x509.decode_x509_certificate(content)
            session.create_object({**certificate, pkcs11.Attribute.TOKEN: True, pkcs11.Attribute.ID: identity})


@pytest.mark.parametrize("name", ["curve", "rsa"])
@pytest.mark.usefixtures("softhsm")
def test_a_token_signs(name: str) -> None:
    """The signature is sound, by the certificate the token holds, with its chain."""
    with open_token(MODULE, LABEL, PIN, name) as key:
        content = sign_pdf(made_note(), key, SignWish(at=AT, name=NAME, reason=REASON))
        digest = key.digest
    checked = check_pdf(content, Trust(authority().trust().roots, (), authority().trust().crls), now=AT)

    assert ("passed", digest) == (checked.verdict, checked.signer_digest)


@pytest.mark.parametrize(
    ("module", "label", "pin", "key_label", "code"),
    [
        (MODULE, LABEL, "9999", "curve", "key-password-wrong"),
        (MODULE, LABEL, "1", "curve", "key-password-wrong"),
        (MODULE, "No such token", PIN, "curve", "token-unreadable"),
        (MODULE, LABEL, PIN, "no such key", "key-incomplete"),
        (MODULE, "Empty", PIN, "", "key-incomplete"),
        (MODULE, LABEL, PIN, "", "key-ambiguous"),
        (Path("/no/such/library.so"), LABEL, PIN, "", "token-unreadable"),
        (Path(__file__), LABEL, PIN, "", "token-unreadable"),
    ],
)
@pytest.mark.usefixtures("softhsm")
def test_a_token_that_cannot_sign_is_refused(module: Path, label: str, pin: str, key_label: str, code: str) -> None:
    """A wrong PIN, another token, no key, several keys, or no library at all."""
    with pytest.raises(Refused) as refused, open_token(module, label, pin, key_label):
        pytest.fail("it opened")
    (problem,) = refused.value.problems

    assert code == problem.code
    assert pin not in problem.in_words() or pin == "1"


def test_without_the_library_a_token_is_refused_in_words() -> None:
    """Key files work without it, and the refusal names what to install."""
    script = (
        "import sys; sys.modules['pkcs11'] = None\n"
        "from pathlib import Path\n"
        "from docgen.problem import Refused\n"
        "from docgen.signing.token import open_token\n"
        "try:\n    open_token(Path('x'), 'x', 'x').__enter__()\n"
        "except Refused as refused:\n    print(refused)\n"
    )
    done = subprocess.run([sys.executable, "-c", script], capture_output=True, text=True, cwd=ROOT)

    assert ("token-unavailable\n", "") == (done.stdout, done.stderr)
