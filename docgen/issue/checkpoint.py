"""
The head of a register > a signed statement that is kept elsewhere, and what a later register says against it.

Apart because it is the only thing that sees a lost tail or an old database put back: both are whole chains.
"""

from __future__ import annotations

import json
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any, Protocol

from cryptography.exceptions import InvalidSignature
from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PublicKey

from docgen.issue.chain import Fault
from docgen.issue.entry import Entry
from docgen.issue.identity import RegisterIdentity
from docgen.problem import Message, say

FORM = "docgen checkpoint 1"
_WORDS = ("register", "digest", "at", "public_key", "signature")


class Chained(Protocol):
    """A register, as far as a checkpoint asks it."""

    identity: RegisterIdentity

    def head(self) -> tuple[int, str]:
        """Give place and digest of the last entry."""

    def entries(self, after: int = 0) -> Iterator[Entry]:
        """Give the entries behind a place."""


@dataclass(frozen=True)
class Checkpoint:
    """A register's word that its chain had this head at that time."""

    register: str
    """Id of the register."""
    seq: int
    """Of the last entry; 0 for a register without any."""
    digest: str
    """Of the last entry."""
    at: str
    """When, in UTC (ISO 8601)."""
    public_key: str
    """Ed25519, hex."""
    signature: str
    """Of all the above, hex."""

    @property
    def statement(self) -> bytes:
        """What is signed."""
        words = [self.register, self.seq, self.digest, self.at, self.public_key]
        return f"{FORM}\n{json.dumps(words, separators=(',', ':'))}".encode()

    def as_text(self) -> str:
        """Write it as JSON, to be kept elsewhere."""
        return json.dumps({"form": FORM, **self.__dict__}, indent=2, sort_keys=True) + "\n"

    @property
    def is_signed(self) -> bool:
        """True if its own key signed it; whose key that is, the register has to say."""
        try:
            key = Ed25519PublicKey.from_public_bytes(bytes.fromhex(self.public_key))
            key.verify(bytes.fromhex(self.signature), self.statement)
        except (InvalidSignature, ValueError):
            return False
        return True


def read_checkpoint(text: str) -> Checkpoint:
    """
    Read a checkpoint from its text.

    Errors: ValueError, if it is none.
    """
    try:
        read: dict[str, Any] = json.loads(text)
        form, seq = read.pop("form"), read.pop("seq")
        if form != FORM or type(seq) is not int or not all(isinstance(read[word], str) for word in _WORDS):
            raise ValueError("no checkpoint")
        return Checkpoint(seq=seq, **read)
    except (KeyError, TypeError, AttributeError, RecursionError) as error:
        raise ValueError("no checkpoint") from error


def check_checkpoint(register: Chained, checkpoint: Checkpoint) -> tuple[Fault, ...]:
    """
    Hold a register against what it said once; nothing comes back, if the chain has only grown since.

    Errors: Unavailable.
    """
    mine = register.identity
    if not checkpoint.is_signed:
        return _fault("checkpoint-forged", say("the checkpoint is not as it was signed"))
    if checkpoint.register != mine.register:
        return _fault("checkpoint-foreign", say("the checkpoint is of another register"))
    if checkpoint.public_key != mine.public_key:
        return _fault("checkpoint-forged", say("the checkpoint was not signed by this register"))
    seq, _ = register.head()
    if checkpoint.seq > seq:
        words = {"seq": checkpoint.seq, "last": seq, "at": checkpoint.at}
        what = say("the register had %(seq)d entries at %(at)s and now has %(last)d: its end is lost", **words)
        return _fault("chain-shorter", what, seq)
    entry = next(register.entries(checkpoint.seq - 1), None) if checkpoint.seq else None
    if (entry.digest if entry else mine.begin) != checkpoint.digest:
        what = say("entry %(seq)d of the register is another than at %(at)s", seq=checkpoint.seq, at=checkpoint.at)
        return _fault("chain-rewritten", what, checkpoint.seq)
    return ()


def _fault(code: str, what: Message, seq: int | None = None) -> tuple[Fault, ...]:
    return (Fault(code, what, seq),)
