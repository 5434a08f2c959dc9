"""
A master key > who this register is: its id, its digest key and its checkpoint key.

Apart because nothing else sees the two secrets. They are random, made once, and lie in the database wrapped by the
master key: whoever holds the database alone can neither recompute a keyed digest nor seal a head nor sign a checkpoint.
"""

from __future__ import annotations

import base64
import hmac
import secrets
from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import datetime
from functools import cached_property
from typing import Protocol

from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey

from docgen.issue.chain import beginning, written
from docgen.issue.database import Database
from docgen.issue.statements import ADD_HEAD, ADD_IDENTITY, COUNT_ENTRIES, IDENTITY
from docgen.issue.unavailable import Unavailable
from docgen.problem import say

KEY_BYTES = 32
CODE_BYTES = 5
"""40 bits: eight characters of base32, short enough to be typed from a page."""


class Wrapping(Protocol):
    """What a master key does (see `keys.py`)."""

    def wrap(self, key: bytes, about: str) -> bytes:
        """Encrypt a key."""

    def unwrap(self, wrapped: bytes, about: str) -> bytes:
        """Decrypt a key."""


@dataclass(frozen=True)
class RegisterIdentity:
    """Who a register is."""

    register: str
    """Random, 32 hex digits."""
    public_key: str
    """Ed25519, hex: proves the register's checkpoints."""
    _digest_key: bytes = field(repr=False)
    _checkpoint_key: bytes = field(repr=False)

    @cached_property
    def _begun(self) -> hmac.HMAC:
        """An HMAC with the digest key, to be copied: setting the key costs more than all the rest."""
        return hmac.new(self._digest_key, digestmod="sha256")

    @property
    def begin(self) -> str:
        """What stands before the first entry of the chain."""
        return beginning(self.register)

    def keyed(self, *parts: str) -> str:
        """Digest words with the register's own key: HMAC-SHA256, hex. Parts are told apart by their lengths."""
        words = [part.encode() for part in ("keyed", *parts)]
        return self._hmac(b"".join(len(word).to_bytes(8, "big") + word for word in words))

    def check_code(self, *parts: str) -> str:
        """Give the first 40 bits of the keyed digest in base32: eight characters, for the foot of a page."""
        return base64.b32encode(bytes.fromhex(self.keyed(*parts))[:CODE_BYTES]).decode()

    def seal(self, seq: int, digest: str, number: int) -> str:
        """Seal a head: a chain that was written anew, whole and consistent, has none that fits."""
        return self._hmac(f"docgen head 1\n{seq}\n{digest}\n{number}".encode())

    def sign(self, statement: bytes) -> bytes:
        """Sign a checkpoint (Ed25519)."""
        return Ed25519PrivateKey.from_private_bytes(self._checkpoint_key).sign(statement)

    def _hmac(self, message: bytes) -> str:
        begun = self._begun.copy()
        begun.update(message)
        return begun.hexdigest()


def open_identity(database: Database, master: Wrapping, now: Callable[[], datetime]) -> RegisterIdentity:
    """
    Read who a register is; the first to open it makes it.

    Errors: Unavailable; what unwrapping raises, where the master key is another; register-damaged, if entries are
    there and the identity they were written under is not.
    """
    with database.connected() as raw:
        rows = database.run(raw, IDENTITY)
    if not rows:
        _make(database, master, now)
        with database.connected() as raw:
            rows = database.run(raw, IDENTITY)
    register, digest_key, checkpoint_key, public_key = rows[0]
    return RegisterIdentity(
        register,
        public_key,
        master.unwrap(bytes(digest_key), about(register, "digest key")),
        master.unwrap(bytes(checkpoint_key), about(register, f"checkpoint key {public_key}")),
    )


def _make(database: Database, master: Wrapping, now: Callable[[], datetime]) -> None:
    with database.making() as connection:
        raw = connection.connection.driver_connection
        if database.run(raw, IDENTITY):
            return
        if database.run(raw, COUNT_ENTRIES) != [(0,)]:
            raise Unavailable(
                "register-damaged",
                say("the register has lost the keys its entries were written with"),
                say("take the register from a backup: docgen restore"),
            )
        register = secrets.token_hex(16)
        digest_key, signing = secrets.token_bytes(KEY_BYTES), Ed25519PrivateKey.generate()
        public_key = signing.public_key().public_bytes_raw().hex()
        new = RegisterIdentity(register, public_key, digest_key, signing.private_bytes_raw())
        row = {
            "id": 1,
            "register_id": register,
            "digest_key": master.wrap(digest_key, about(register, "digest key")),
            "checkpoint_key": master.wrap(new._checkpoint_key, about(register, f"checkpoint key {public_key}")),
            "public_key": public_key,
            "made_at": written(now()),
        }
        database.run(raw, ADD_IDENTITY, row)
        head = {"id": 1, "seq": 0, "digest": new.begin, "number": 0, "seal": new.seal(0, new.begin, 0)}
        database.run(raw, ADD_HEAD, head)


def about(register: str, what: str) -> str:
    """Say what a secret of a register is wrapped for."""
    return f"register {register}: {what}"
