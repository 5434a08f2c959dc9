"""
Bytes > a file kept under its digest, encrypted with a key of its own, whole or not there at all.

Apart from the register: it knows digests and keys, and neither numbers nor names. No file name tells anything.
"""

from __future__ import annotations

import contextlib
import hashlib
import os
import re
import secrets
from collections.abc import Collection, Iterator
from datetime import datetime, timedelta
from pathlib import Path

from cryptography.exceptions import InvalidTag
from cryptography.hazmat.primitives.ciphers.aead import AESGCM

from docgen.issue.durable import TEMPORARY, write_new, write_over
from docgen.issue.entry import KeptFile
from docgen.issue.folders import make_folder, sync_folder
from docgen.issue.keys import KEY_BYTES, NONCE_BYTES, MasterKey
from docgen.issue.unavailable import Unavailable
from docgen.problem import say

MAGIC = b"DOCGENF\x01"
"""What an encrypted file begins with: a word and the version of the format. Nonce and ciphertext follow."""
STALE = timedelta(hours=1)
"""Age after which nobody is still writing a temporary file."""
_SEAL_BYTES = 16
_DIGEST = re.compile(r"[0-9a-f]{64}")
_KEPT_NAME = re.compile(r"([0-9a-f]{64})(-[0-9a-f]{8})?")
_ROLE = re.compile(r"[a-z]+(-[a-z]+)*(\.[a-z]+)?")


class FileDamaged(Unavailable):
    """A kept file is there and is not what was written."""


class FileGone(Unavailable):
    """A kept file is not there."""


class KeyGone(FileGone):
    """A kept file is there, encrypted, and nobody has its key: it was erased."""


class Store:
    """A folder of files, each under its digest. Several processes may use it at once."""

    def __init__(self, folder: Path, master: MasterKey, encrypted: bool = True) -> None:
        self.folder = folder
        self._master = master
        self._encrypted = encrypted
        self._ready: set[Path] = set()

    def put(self, content: bytes, name: str, known: bytes | None = None) -> KeptFile:
        """
        Keep a file; it is whole and on the disk when this returns.

        `known` is the wrapped key the register has for this digest: then a file that is there is checked and used
        again, and a damaged one written anew. Otherwise the file gets a key of its own.
        Errors: Unavailable with store-unwritable, and nothing half-written is left.
        """
        if not _ROLE.fullmatch(name):
            raise ValueError("a kept file is named by its role")
        digest = hashlib.sha256(content).hexdigest()
        try:
            wrapped = self._put(content, digest, known)
        except OSError as error:
            raise Unavailable(
                "store-unwritable",
                say("the file store refused a file: %(why)s", why=error.strerror or "the disk refused"),
                say("make room or mend the rights of %(folder)s, then repeat", folder=str(self.folder)),
            ) from error
        return KeptFile(name, digest, len(content), wrapped)

    def _put(self, content: bytes, digest: str, known: bytes | None) -> bytes | None:
        shard = self._shard(digest)
        if not self._encrypted and known is None:
            self._place(shard / digest, content, content)
            return None
        key = self._master.unwrap(known, _about(digest)) if known else secrets.token_bytes(KEY_BYTES)
        nonce = secrets.token_bytes(NONCE_BYTES)
        sealed = MAGIC + nonce + AESGCM(key).encrypt(nonce, content, MAGIC + digest.encode())
        try:
            write_new(shard / digest, sealed, self.folder)
        except FileExistsError:
            if not (known and self._opened(shard / digest, digest, key) == content):
                # Another process may be about to register the key of the file that has the name: it is left alone,
                # and this one is found by its own key.
                self._place(shard / f"{digest}-{_tag(key)}", sealed, content, digest, key)
        return known or self._master.wrap(key, _about(digest))

    def _place(self, path: Path, written: bytes, content: bytes, digest: str = "", key: bytes | None = None) -> None:
        """Write a file under a name that means this content; one that is there is checked and, if damaged, replaced."""
        try:
            write_new(path, written, self.folder)
        except FileExistsError:
            if self._opened(path, digest, key) == content:
                os.utime(path)  # nobody takes it now for one that was forgotten
                sync_folder(path.parent)
            else:
                write_over(path, written, self.folder)

    def get(self, file: KeptFile, wrapped_key: bytes | None) -> bytes:
        """
        Read a kept file and prove that it is what was written.

        Errors: FileGone; KeyGone if it is encrypted and there is no key; FileDamaged; Unavailable with
        store-unreadable; and what unwrapping the key raises.
        """
        if not _DIGEST.fullmatch(file.digest):
            raise ValueError("no digest")
        key = self._master.unwrap(wrapped_key, _about(file.digest)) if wrapped_key else None
        shard = self.folder / file.digest[:2]
        sealed = False
        found = False
        for name in (f"{file.digest}-{_tag(key)}", file.digest) if key else (file.digest,):
            content = self._read(shard / name)
            if content is None:
                continue
            found = True
            plain = _decrypted(content, file.digest, key)
            if plain is not None and hashlib.sha256(plain).hexdigest() == file.digest:
                return plain
            sealed = content.startswith(MAGIC) and len(content) >= len(MAGIC) + NONCE_BYTES + _SEAL_BYTES
        raise _absent(file, found=found, sealed=sealed and key is None)

    def _read(self, path: Path) -> bytes | None:
        try:
            return path.read_bytes()
        except FileNotFoundError:
            return None
        except OSError as error:
            raise Unavailable(
                "store-unreadable",
                say("the file store cannot be read: %(why)s", why=error.strerror or "the disk refused"),
                say("mend the disk or the rights of %(folder)s", folder=str(self.folder)),
            ) from error

    def _opened(self, path: Path, digest: str, key: bytes | None) -> bytes | None:
        """Read a file for comparison; None if it cannot be opened with this key."""
        try:
            content = path.read_bytes()
        except OSError:
            return None
        return _decrypted(content, digest, key) if key else content

    def delete(self, digest: str) -> None:
        """
        Delete every file of a digest; that none is there is no fault.

        Errors: Unavailable with store-unwritable.
        """
        try:
            for path in self.paths(digest):
                path.unlink(missing_ok=True)
            if (self.folder / digest[:2]).is_dir():
                sync_folder(self.folder / digest[:2])
        except OSError as error:
            raise Unavailable(
                "store-unwritable",
                say("a file could not be deleted: %(why)s", why=error.strerror or "the disk refused"),
                say("mend the rights of %(folder)s, then repeat", folder=str(self.folder)),
            ) from error

    def paths(self, digest: str) -> tuple[Path, ...]:
        """Find the files of a digest: one, or a second where two processes kept the same content at once."""
        if not _DIGEST.fullmatch(digest):
            raise ValueError("no digest")
        return tuple(sorted((self.folder / digest[:2]).glob(f"{digest}*")))

    def spare(self, digest: str, wrapped_keys: Collection[bytes] | None) -> tuple[Path, ...]:
        """
        Find the files of a digest that nobody can want: no key opens them. None: nobody names the digest.

        Errors: as unwrapping a key.
        """
        if wrapped_keys is None:
            return self.paths(digest)
        keys = [self._master.unwrap(wrapped, _about(digest)) for wrapped in wrapped_keys]
        tags = {f"{digest}-{_tag(key)}" for key in keys}
        first = self._opened(self.folder / digest[:2] / digest, digest, None) or b""
        if not keys or any(_decrypted(first, digest, key) is not None for key in keys):
            tags.add(digest)
        return tuple(path for path in self.paths(digest) if path.name not in tags)

    def digests(self) -> Iterator[str]:
        """Give the digest of each kept file, in order, each once."""
        for shard in sorted(self.folder.glob("[0-9a-f][0-9a-f]")):
            kept = {found[1] for path in shard.iterdir() if (found := _KEPT_NAME.fullmatch(path.name))}
            yield from sorted(kept)

    def strangers(self) -> tuple[Path, ...]:
        """Find what lies in the store and is neither a kept file nor a temporary one."""
        tops = [path for path in sorted(self.folder.glob("*")) if not path.name.startswith(TEMPORARY)]
        shards = [path for path in tops if path.is_dir() and re.fullmatch("[0-9a-f]{2}", path.name)]
        inside = [path for shard in shards for path in sorted(shard.iterdir()) if not _belongs(path)]
        return (*(path for path in tops if path not in shards), *inside)

    def stale(self, now: datetime) -> tuple[Path, ...]:
        """Find temporary files nobody is writing any more: older than an hour."""
        old = []
        for path in sorted(self.folder.glob(f"{TEMPORARY}*")):
            with contextlib.suppress(FileNotFoundError):
                if now.timestamp() - path.stat().st_mtime > STALE.total_seconds():
                    old.append(path)
        return tuple(old)

    def sweep(self, now: datetime) -> int:
        """
        Delete temporary files that a killed process left; give their number.

        Errors: Unavailable with store-unwritable.
        """
        stale = self.stale(now)
        try:
            for path in stale:
                path.unlink(missing_ok=True)
        except OSError as error:
            raise Unavailable(
                "store-unwritable",
                say("a temporary file could not be deleted: %(why)s", why=error.strerror or "the disk refused"),
                say("mend the rights of %(folder)s, then repeat", folder=str(self.folder)),
            ) from error
        return len(stale)

    def _shard(self, digest: str) -> Path:
        """Give the folder of a digest; its own name is durable, whoever made it."""
        shard = self.folder / digest[:2]
        if shard not in self._ready:
            make_folder(self.folder)
            with contextlib.suppress(FileExistsError):
                shard.mkdir(mode=0o700)
            sync_folder(self.folder)
            self._ready.add(shard)
        return shard


def _belongs(path: Path) -> bool:
    return bool(_KEPT_NAME.fullmatch(path.name)) and path.name.startswith(path.parent.name) and path.is_file()


def _about(digest: str) -> str:
    return f"file {digest}"


def _tag(key: bytes) -> str:
    """Tell the files of one digest apart by their keys, without telling anything of a key."""
    return hashlib.sha256(b"docgen tag of a file key" + key).hexdigest()[:8]


def _decrypted(content: bytes, digest: str, key: bytes | None) -> bytes | None:
    """Open a kept file; one that is not encrypted is its own content. None if the key does not open it."""
    if key is None or not content.startswith(MAGIC):
        return content
    nonce, sealed = content[len(MAGIC) :][:NONCE_BYTES], content[len(MAGIC) + NONCE_BYTES :]
    try:
        return AESGCM(key).decrypt(nonce, sealed, MAGIC + digest.encode())
    except (InvalidTag, ValueError):
        return None


def _absent(file: KeptFile, *, found: bool, sealed: bool) -> FileGone | FileDamaged:
    """Say why a file cannot be given: no value of a record, only the role and the digest."""
    named = {"name": file.name, "digest": file.digest[:16]}
    if sealed:
        return KeyGone(
            "file-key-gone",
            say("the file %(name)s, digest %(digest)s…, was erased: its key was destroyed", **named),
            say("nothing brings it back; the register keeps its number and digest"),
        )
    if not found:
        return FileGone(
            "file-gone",
            say("the file %(name)s, digest %(digest)s…, is missing from the store", **named),
            say("take it from a backup: docgen restore; docgen doctor lists all that is missing"),
        )
    return FileDamaged(
        "file-damaged",
        say("the file %(name)s, digest %(digest)s…, is damaged", **named),
        say("take it from a backup: docgen restore; docgen doctor lists all that is damaged"),
    )
