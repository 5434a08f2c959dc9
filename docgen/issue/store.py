"""
Bytes > a file kept under its digest, encrypted with a key of its own, whole or not there at all.

Apart from the register: it knows digests and keys, and neither numbers nor names. No file name tells anything.
"""

from __future__ import annotations

import contextlib
import hashlib
import re
import secrets
from collections.abc import Collection, Iterable, Iterator
from concurrent.futures import ThreadPoolExecutor
from datetime import datetime
from pathlib import Path

from docgen.issue.durable import TEMPORARY, locked, rests, write_new
from docgen.issue.entry import KeptFile
from docgen.issue.folders import make_folder, sync_folder
from docgen.issue.keys import KEY_BYTES, MasterKey
from docgen.issue.losses import FileDamaged as FileDamaged
from docgen.issue.losses import FileGone as FileGone
from docgen.issue.losses import KeyGone as KeyGone
from docgen.issue.losses import absent
from docgen.issue.sealing import is_sealed, proved, seal, tag_of
from docgen.issue.unavailable import Unavailable
from docgen.problem import Refused, say

PLAIN = b"\x00"
"""Begins what stands in the place of a key where there is none, and not the first file of a digest is meant."""
_AT_ONCE = 8
_LOCK = ".lock"
_DIGEST = re.compile(r"[0-9a-f]{64}")
_KEPT_NAME = re.compile(r"([0-9a-f]{64})(-[0-9a-f]{8})?")
_ROLE = re.compile(r"[a-z]+(-[a-z]+)*(\.[a-z]+)?")


class Store:
    """A folder of files, each under its digest. Several processes may use it at once."""

    def __init__(self, folder: Path, master: MasterKey, encrypted: bool = True) -> None:
        self.folder = folder
        self._master = master
        self._encrypted = encrypted
        self._ready: set[Path] = set()

    def put(self, content: bytes, name: str) -> KeptFile:
        """
        Keep a file; it is whole and on the disk when this returns.

        It is never shared: the same content kept twice lies there twice, each with a key of its own, so that erasing
        one document takes nothing from another, not even from one that is being issued at this moment.
        Errors: Unavailable with store-unwritable, and nothing half-written is left.
        """
        if not _ROLE.fullmatch(name):
            raise ValueError("a kept file is named by its role")
        digest = hashlib.sha256(content).hexdigest()
        try:
            wrapped = self._put_sealed(content, digest) if self._encrypted else self._put_plain(content, digest)
        except OSError as error:
            raise self._unwritable(error) from error
        return KeptFile(name, digest, len(content), wrapped)

    def put_all(self, contents: Iterable[tuple[str, bytes]]) -> list[KeptFile]:
        """
        Keep several files, each with its role, at once: the disk syncs them together, which is far quicker.

        Errors: as `put`; then none of them is kept.
        """
        with ThreadPoolExecutor(max_workers=_AT_ONCE) as pool:
            waiting = [pool.submit(self.put, content, name) for name, content in contents]
        failed = next((error for one in waiting if (error := one.exception())), None)
        if failed is None:
            return [one.result() for one in waiting]
        for one in waiting:
            if one.exception() is None:
                with contextlib.suppress(Unavailable):
                    self.delete(one.result().digest, one.result().wrapped_key)
        raise failed

    @contextlib.contextmanager
    def keeping(self, contents: Iterable[tuple[str, bytes]]) -> Iterator[tuple[KeptFile, ...]]:
        """
        Keep files for an entry of the register, and take them away if it is refused.

        After a fault of the disk nobody knows whether they are named. Errors: as `put`.
        """
        files = tuple(self.put_all(contents))
        try:
            yield files
        except Refused:
            for file in files:
                self.delete(file.digest, file.wrapped_key)
            raise

    def _put_sealed(self, content: bytes, digest: str) -> bytes:
        key = secrets.token_bytes(KEY_BYTES)
        sealed = seal(content, digest, key)
        try:
            write_new(self._shard(digest) / digest, sealed, self.folder)
        except FileExistsError:
            write_new(self._shard(digest) / f"{digest}-{tag_of(key)}", sealed, self.folder)
        return self._master.wrap(key, about(digest))

    def _put_plain(self, content: bytes, digest: str) -> bytes | None:
        try:
            write_new(self._shard(digest) / digest, content, self.folder)
        except FileExistsError:
            tag = secrets.token_bytes(4)
            write_new(self._shard(digest) / f"{digest}-{tag.hex()}", content, self.folder)
            return PLAIN + tag
        return None

    def get(self, file: KeptFile, wrapped_key: bytes | None) -> bytes:
        """
        Read a kept file and prove that it is what was written.

        Errors: FileGone; KeyGone if it is encrypted and there is no key; FileDamaged; Unavailable with
        store-unreadable; and what unwrapping the key raises.
        """
        if not _DIGEST.fullmatch(file.digest):
            raise ValueError("no digest")
        key = self._key(file.digest, wrapped_key)
        sealed = found = False
        for path in self._places(file.digest, wrapped_key, key):
            content = self._read(path)
            if content is None:
                continue
            found = True
            plain = proved(content, file.digest, key)
            if plain is not None:
                return plain
            sealed = is_sealed(content)
        raise absent(file, found=found, sealed=sealed and key is None)

    def _key(self, digest: str, wrapped: bytes | None) -> bytes | None:
        return self._master.unwrap(wrapped, about(digest)) if wrapped and wrapped[:1] != PLAIN else None

    def _places(self, digest: str, wrapped: bytes | None, key: bytes | None) -> tuple[Path, ...]:
        """Say where a file can lie: the second of its digest has a tag in its name."""
        first = self.folder / digest[:2] / digest
        if key:
            return first.with_name(f"{digest}-{tag_of(key)}"), first
        return (first.with_name(f"{digest}-{wrapped[1:].hex()}"),) if wrapped else (first,)

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

    def delete(self, digest: str, wrapped_key: bytes | None = None) -> None:
        """
        Delete the file this key opens (None: the one that is not encrypted), and no other of the digest.

        That none is there is no fault. A backup that is running is waited for.
        Errors: Unavailable with store-unwritable.
        """
        try:
            for path in self.own(digest, wrapped_key):
                with locked(self.folder / _LOCK, alone=True):
                    path.unlink(missing_ok=True)
                sync_folder(path.parent)
        except OSError as error:
            raise self._unwritable(error) from error

    @contextlib.contextmanager
    def undisturbed(self) -> Iterator[None]:
        """
        Let nothing be deleted meanwhile, so that what a register names can be copied.

        Errors: OSError.
        """
        make_folder(self.folder)
        with locked(self.folder / _LOCK, alone=False):
            yield

    def own(self, digest: str, wrapped_key: bytes | None) -> tuple[Path, ...]:
        """
        Find the file a key opens (None: the one that is not encrypted, damaged or not); at most one.

        Errors: Unavailable with store-unreadable; what unwrapping the key raises.
        """
        if not _DIGEST.fullmatch(digest):
            raise ValueError("no digest")
        key = self._key(digest, wrapped_key)
        for path in self._places(digest, wrapped_key, key):
            content = self._read(path)
            if content is None:
                continue
            if proved(content, digest, key) is not None or (key is None and not is_sealed(content)):
                return (path,)
        return ()

    def spare(self, digest: str, wrapped_keys: Collection[bytes | None]) -> tuple[Path, ...]:
        """
        Find the files of a digest that none of its keys opens: nobody can want them.

        Errors: as `own`.
        """
        wanted = {path for wrapped in wrapped_keys for path in self.own(digest, wrapped)}
        return tuple(path for path in self.paths(digest) if path not in wanted)

    def paths(self, digest: str) -> tuple[Path, ...]:
        """Find the files of a digest: as often as the same content was kept."""
        if not _DIGEST.fullmatch(digest):
            raise ValueError("no digest")
        found = sorted((self.folder / digest[:2]).glob(f"{digest}*"))
        return tuple(path for path in found if _KEPT_NAME.fullmatch(path.name))

    def digests(self) -> Iterator[str]:
        """Give the digest of each kept file, in order, each once."""
        for shard in sorted(self.folder.glob("[0-9a-f][0-9a-f]")):
            kept = {found[1] for path in shard.iterdir() if (found := _KEPT_NAME.fullmatch(path.name))}
            yield from sorted(kept)

    def strangers(self) -> tuple[Path, ...]:
        """Find what lies in the store and is neither a kept file nor a temporary one."""
        seen = [path for path in sorted(self.folder.glob("*")) if path.name != _LOCK]
        tops = [path for path in seen if not path.name.startswith(TEMPORARY)]
        shards = [path for path in tops if path.is_dir() and re.fullmatch("[0-9a-f]{2}", path.name)]
        inside = [path for shard in shards for path in sorted(shard.iterdir()) if not _belongs(path)]
        return (*(path for path in tops if path not in shards), *inside)

    def stale(self, now: datetime) -> tuple[Path, ...]:
        """Find temporary files nobody is writing any more: older than an hour."""
        return rests(self.folder, now)

    def sweep(self, now: datetime) -> int:
        """
        Delete temporary files that a killed process left; give their number.

        Errors: Unavailable with store-unwritable.
        """
        return self.discard(self.stale(now))

    def discard(self, paths: Iterable[Path]) -> int:
        """
        Delete files of the store by their paths; give their number.

        Errors: Unavailable with store-unwritable.
        """
        count = 0
        try:
            for path in paths:
                path.unlink(missing_ok=True)
                count += 1
        except OSError as error:
            raise self._unwritable(error) from error
        return count

    def is_open(self, path: Path) -> bool:
        """
        Tell whether a file of the store can be read without a key.

        Errors: Unavailable with store-unreadable.
        """
        content = self._read(path)
        return content is not None and not is_sealed(content)

    def _unwritable(self, error: OSError) -> Unavailable:
        return Unavailable(
            "store-unwritable",
            say("the file store cannot be written: %(why)s", why=error.strerror or "the disk refused"),
            say("make room or mend the rights of %(folder)s, then repeat", folder=str(self.folder)),
        )

    def _shard(self, digest: str) -> Path:
        """Give the folder of a digest; its own name is durable, whoever made it."""
        shard = self.folder / digest[:2]
        if shard not in self._ready:
            make_folder(self.folder)
            shard.mkdir(mode=0o700, exist_ok=True)
            sync_folder(self.folder)
            self._ready.add(shard)
        return shard


def _belongs(path: Path) -> bool:
    return bool(_KEPT_NAME.fullmatch(path.name)) and path.name.startswith(path.parent.name) and path.is_file()


def about(digest: str) -> str:
    """Say what the key of a file is wrapped for."""
    return f"file {digest}"
