"""
Environment or file > the master key, which wraps the keys of files and of the register.

Apart because nothing else may hold it: who has a backup and not this key can read no file.
"""

from __future__ import annotations

import base64
import binascii
import contextlib
import hashlib
import hmac
import os
import secrets
import stat
from collections.abc import Mapping
from pathlib import Path

from cryptography.exceptions import InvalidTag
from cryptography.hazmat.primitives.ciphers.aead import AESGCM

from docgen.issue.durable import write_new
from docgen.issue.folders import REGISTER, Places, make_folder
from docgen.issue.unavailable import Unavailable
from docgen.problem import say

KEY_FILE = "master.key"
"""Name of the master key in the data folder."""
KEY_BYTES = 32
"""AES-256."""
NONCE_BYTES = 12
"""Of GCM (NIST SP 800-38D, 5.2.1.1)."""
_FORMAT = b"\x01"
_MARK_BYTES = 8
_LINE_LIMIT = 1024


class WrongMasterKey(Unavailable):
    """What was wrapped by another master key cannot be opened by this one."""


class WrappedKeyDamaged(Unavailable):
    """A wrapped key is not what was written."""


class MasterKey:
    """The key above all keys; it is never printed, and only ever wraps other keys."""

    __slots__ = ("_key", "_sealing", "mark")

    def __init__(self, key: bytes) -> None:
        if len(key) != KEY_BYTES:
            raise ValueError("a master key has 32 bytes")
        self._key = AESGCM(key)
        self._sealing = hmac.new(key, b"docgen seal", hashlib.sha256).digest()
        self.mark = hmac.new(key, b"docgen mark of a master key", hashlib.sha256).digest()[:_MARK_BYTES]
        """Tells one master key from another, and nothing about it."""

    def __repr__(self) -> str:
        return f"MasterKey({self.mark.hex()})"

    def wrap(self, key: bytes, about: str) -> bytes:
        """Encrypt a key; it opens again only for the same `about` (AES-256-GCM, random nonce)."""
        nonce = secrets.token_bytes(NONCE_BYTES)
        head = _FORMAT + self.mark
        return head + nonce + self._key.encrypt(nonce, key, _bound(head, about))

    def unwrap(self, wrapped: bytes, about: str) -> bytes:
        """
        Decrypt a key.

        Errors: WrongMasterKey; WrappedKeyDamaged, also if it was wrapped for something else.
        """
        head, rest = wrapped[: 1 + _MARK_BYTES], wrapped[1 + _MARK_BYTES :]
        if len(rest) > NONCE_BYTES and head[:1] == _FORMAT and head[1:] != self.mark:
            raise WrongMasterKey(
                "master-key-wrong",
                say("this is not the master key with which the register was written"),
                say("put the right key back: its mark is %(mark)s, the mark of this one %(here)s",
                    mark=head[1:].hex(), here=self.mark.hex()),
            )  # fmt: skip
        try:
            return self._key.decrypt(rest[:NONCE_BYTES], rest[NONCE_BYTES:], _bound(head, about))
        except (InvalidTag, ValueError) as error:
            raise WrappedKeyDamaged(
                "key-damaged",
                say("a key in the register is damaged, so what it opens cannot be read"),
                say("take the register from a backup: docgen restore"),
            ) from error

    def seal(self, content: bytes) -> str:
        """Give what only who has this key can make of a text: HMAC-SHA256, hex."""
        return hmac.new(self._sealing, content, hashlib.sha256).hexdigest()

    def rewrap(self, wrapped: bytes, about: str, new: MasterKey) -> bytes:
        """
        Wrap a key anew under another master key; what is wrapped by that one already stays as it is.

        Errors: as `unwrap`.
        """
        if mark_of(wrapped) == new.mark:
            new.unwrap(wrapped, about)
            return wrapped
        return new.wrap(self.unwrap(wrapped, about), about)


def mark_of(wrapped: bytes) -> bytes:
    """Give the mark of the master key that a key was wrapped by."""
    return wrapped[1 : 1 + _MARK_BYTES]


def _bound(head: bytes, about: str) -> bytes:
    return b"docgen wrapped key" + head + about.encode()


def new_master_key() -> tuple[MasterKey, str]:
    """Make a master key, and give it with its written form (base64)."""
    key = secrets.token_bytes(KEY_BYTES)
    return MasterKey(key), base64.b64encode(key).decode()


def read_master_key(
    folder: Path, environ: Mapping[str, str], *, begun: bool | None = None, make: bool = True
) -> MasterKey:
    """
    Read the master key: $DOCGEN_MASTER_KEY, else the file $DOCGEN_MASTER_KEY_FILE, else master.key in the data folder.

    The last is made on first use, if `make`; once something was kept (`begun`; None: looked for in the folder), a
    missing key is lost, and a new one would be of no use.
    Errors: Unavailable with master-key-shape, -unreadable, -open, -lost or -unmade.
    """
    if environ.get("DOCGEN_MASTER_KEY"):
        return _read_text(environ["DOCGEN_MASTER_KEY"], "DOCGEN_MASTER_KEY")
    if environ.get("DOCGEN_MASTER_KEY_FILE"):
        return read_key_file(Path(environ["DOCGEN_MASTER_KEY_FILE"]))
    # Looked for before the key: who began in the meantime made the key first.
    begun = Places(folder, f"sqlite:///{folder / REGISTER}").is_begun if begun is None else begun
    path = folder / KEY_FILE
    if not os.path.lexists(path):
        if begun:
            raise Unavailable(
                "master-key-lost",
                say("the master key %(file)s is gone, and without it no kept file can be opened", file=str(path)),
                say("put it back from where you keep a copy, or name it with DOCGEN_MASTER_KEY_FILE"),
            )
        if not make:
            raise Unavailable(
                "master-key-unmade",
                say("there is no master key yet"),
                say("the first docgen issue makes one; or name yours with DOCGEN_MASTER_KEY_FILE"),
            )
        _make(path)
    return read_key_file(path)


def written_key(folder: Path, environ: Mapping[str, str]) -> str:
    """
    Give the master key that is in use in its written form (base64), for a copy of it.

    Errors: as `read_master_key`.
    """
    read_master_key(folder, environ, begun=True, make=False)
    if environ.get("DOCGEN_MASTER_KEY"):
        return "".join(environ["DOCGEN_MASTER_KEY"].split())
    return "".join(Path(environ.get("DOCGEN_MASTER_KEY_FILE") or folder / KEY_FILE).read_text("ascii").split())


def _make(path: Path) -> None:
    """Write a new key once; whoever comes second takes what the first wrote."""
    try:
        make_folder(path.parent)
        with contextlib.suppress(FileExistsError):
            write_new(path, (new_master_key()[1] + "\n").encode(), path.parent)
    except OSError as error:
        raise Unavailable(
            "data-unusable",
            say("the data folder %(folder)s cannot be written: %(why)s", folder=str(path.parent), why=_why(error)),
            say("choose a folder of your own on a local disk: --data DIR"),
        ) from error


def read_key_file(path: Path) -> MasterKey:
    """
    Read a master key from a file: 32 bytes in base64.

    Errors: Unavailable with master-key-unreadable, -open (others may read it) or -shape.
    """
    try:
        with path.open("rb") as file:
            mode = os.fstat(file.fileno()).st_mode
            text = file.read(_LINE_LIMIT)
    except OSError as error:
        raise Unavailable(
            "master-key-unreadable",
            say("the master key %(file)s cannot be read: %(why)s", file=str(path), why=_why(error)),
            say("give it to the user who runs docgen: chown and chmod 600"),
        ) from error
    if mode & (stat.S_IRWXO | stat.S_IWGRP):
        raise Unavailable(
            "master-key-open",
            say("others may read or change the master key %(file)s", file=str(path)),
            say("chmod 600 %(file)s; if others may have read it, change the key", file=str(path)),
        )
    return _read_text(text.decode("ascii", "replace"), str(path))


def _read_text(text: str, source: str) -> MasterKey:
    try:
        key = base64.b64decode("".join(text.split()).encode(), altchars=None, validate=True)
    except (binascii.Error, ValueError):
        key = b""
    if len(key) != KEY_BYTES:
        raise Unavailable(
            "master-key-shape",
            say("the master key in %(source)s is not 32 bytes written in base64", source=source),
            say("use the key this installation was begun with; a first one: openssl rand -base64 32"),
        )
    return MasterKey(key)


def _why(error: OSError) -> str:
    return error.strerror or "the disk refused"
