"""
A database and a master key > the register: what was issued, and what became of it.

The face of `docgen.issue` for commands. An action that returns is durable: the disk has it. Only `prepare` is not
synced by itself: nothing is acknowledged by it, and the entry that issues the number brings it to the disk, so that a
document costs one sync. After a crash of the machine a number that was only prepared may be given out again; who
prepared it is then refused it.
"""

from __future__ import annotations

import contextlib
from collections.abc import Callable, Iterator, Sequence
from contextlib import AbstractContextManager
from dataclasses import replace
from datetime import date, datetime
from types import TracebackType

from docgen.issue import reading
from docgen.issue.chain import Fault, entry_of, written
from docgen.issue.checkpoint import Checkpoint
from docgen.issue.database import Database, Told
from docgen.issue.entry import REASONS, Action, Entry, KeptFile, Life, Paper
from docgen.issue.giving import Made, fits, give, twins_of
from docgen.issue.identity import RegisterIdentity, Wrapping, open_identity
from docgen.issue.inspection import faults
from docgen.issue.life import STANDING
from docgen.issue.refusals import AlreadyIssued, unfit_name, unknown_number
from docgen.issue.schema import bring_up
from docgen.issue.statements import ACCESSES_OF, ADD_ACCESS, DOCUMENT, DROP_FILES, ENTRIES_OF, HEAD, SHARED
from docgen.issue.unavailable import Unavailable
from docgen.issue.walk import chain_faults
from docgen.issue.writing import Pen, pen

Clock = Callable[[], datetime]
"""Gives the moment, aware, in UTC."""
Access = tuple[datetime, str, str]
"""When, who, what."""
_LONGEST_NAME = 200
_JOINERS = dict.fromkeys((0x200C, 0x200D))  # belong to the spelling of names in several scripts


def open_register(url: str, master: Wrapping, now: Clock) -> Register:
    """
    Open the register, which is made on first use and upgraded where an older docgen wrote it.

    `url`: `sqlite:////folder/register.sqlite` or `postgresql+psycopg://…`.
    Errors: Unavailable, for a database that cannot be reached, is not a register or is newer than this program, and
    for another master key than it was written with.
    """
    database = Database(url)
    try:
        bring_up(database)
        return Register(database, open_identity(database, master, now), now)
    except BaseException:
        database.close()
        raise


class Register:
    """What was issued; several threads and processes may use it at once. Every method may raise Unavailable."""

    def __init__(self, database: Database, identity: RegisterIdentity, now: Clock) -> None:
        self.database = database
        self.identity = identity
        self._now = now
        self._taken: dict[int, str] = {}

    def __enter__(self) -> Register:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        self.close()

    def close(self) -> None:
        """Close every connection."""
        self.database.close()

    def keyed(self, *parts: str) -> str:
        """Digest words with the register's own key (HMAC-SHA256, hex): equal words are found, and not read."""
        return self.identity.keyed(*parts)

    def check_code(self, *parts: str) -> str:
        """Give the eight characters by which a printed page is checked."""
        return self.identity.check_code(*parts)

    # What happens to a number.

    def prepare(self, paper: Paper, key: str, by: str) -> int:
        """
        Take the next number for a document that is going to be composed.

        It survives the end of this process; not being synced, it may be lost with the machine, and then nothing stands
        on it. Preparations an hour old are voided by the next writer.
        Errors: Refused with who-unfit.
        """
        return self.prepare_pack([(paper, key)], by)[0]

    def prepare_pack(self, wanted: Sequence[tuple[Paper, str]], by: str) -> tuple[int, ...]:
        """Take the next numbers for the documents of a pack, each with its idempotency key; else as `prepare`."""
        with self._pen(by, synced=False) as lent:
            entries = [lent.take(paper, key, by) for paper, key in wanted]
        self._taken.update((entry.number, entry.digest) for entry in entries)
        return tuple(entry.number for entry in entries)

    def issue(
        self,
        number: int,
        files: Sequence[KeptFile],
        code: str,
        by: str,
        *,
        action: Action = Action.ISSUED,
        supersedes: int | None = None,
        reason: str = "",
        note: tuple[tuple[str, str], ...] = (),
    ) -> Entry:
        """
        Issue a number with its files; with `supersedes`, another gives up its place in the same transaction.

        Errors: AlreadyIssued, if a document of the same key stands meanwhile: then this number is voided. Refused as
        `issue_pack`.
        """
        (came,) = self.issue_pack([Made(number, files, code, action, supersedes, reason, note)], by)
        if isinstance(came, Life):
            raise AlreadyIssued(came)
        return came

    def issue_pack(self, pack: Sequence[Made], by: str) -> tuple[Entry | Life, ...]:
        """
        Issue several numbers with their files in one transaction: all of them or, on an error, none.

        Where a document of the same key stands meanwhile its life is given, and the number is voided.
        Errors: Refused with number-unknown, number-lost, number-state, successor-unfit or who-unfit.
        """
        numbers = tuple(dict.fromkeys(number for one in pack for number in one.numbers))
        with self._pen(by, numbers, twins_of(pack)) as lent:
            came = list(give(pack, lent, self._taken, by))
        for one in pack:
            self._taken.pop(one.number, None)
        return tuple(one if isinstance(one, Entry) else self._known(one) for one in came)

    def void(self, number: int, reason: str, by: str) -> Entry:
        """Give up a number that was prepared. Errors: Refused with number-unknown, number-state or who-unfit."""
        entry = self._follow(number, Action.VOIDED, reason, by)
        self._taken.pop(number, None)
        return entry

    def supersede(self, number: int, successor: int, reason: str, by: str, files: Sequence[KeptFile] = ()) -> Entry:
        """
        Put a valid number of the same record and kind in the place of another.

        Errors: Refused with number-unknown, number-state, successor-unfit or who-unfit.
        """
        _ask_reason(reason)
        with self._pen(by, (number, successor)) as lent:
            fits(lent.standing(number), lent.standing(successor), *STANDING)
            return lent.follow(number, Action.SUPERSEDED, by, successor=successor, reason=reason, files=tuple(files))

    def withdraw(self, number: int, reason: str, by: str, files: Sequence[KeptFile] = ()) -> Entry:
        """Take a document back. Errors: Refused with number-unknown, number-state or who-unfit."""
        return self._follow(number, Action.WITHDRAWN, reason, by, files)

    def countersign(self, number: int, files: Sequence[KeptFile], by: str, note: tuple[tuple[str, str], ...]) -> Entry:
        """Keep what a second person signed too; once, and it stays signed. Errors: Refused, as `erase`."""
        with self._pen(by, (number,), [(ENTRIES_OF, {"number": number})]) as lent:
            lent.recall(number, lent.rest[0])
            return lent.follow(number, Action.COUNTERSIGNED, by, files=tuple(files), note=note)

    def hold(self, number: int, by: str, files: Sequence[KeptFile] = ()) -> Entry:
        """Keep a document from being erased. Errors: Refused, as `erase`."""
        with self._pen(by, (number,)) as lent:
            return lent.follow(number, Action.HELD, by, files=tuple(files))

    def release(self, number: int, by: str, files: Sequence[KeptFile] = ()) -> Entry:
        """End a hold. Errors: Refused with number-unknown, number-state or who-unfit."""
        with self._pen(by, (number,)) as lent:
            return lent.follow(number, Action.RELEASED, by, files=tuple(files))

    def erase(self, number: int, reason: str, by: str) -> tuple[KeptFile, ...]:
        """
        Destroy the keys of a number's files; its entries, with their digests, stay.

        Gives the files nobody else has, which the store may now delete. Backups keep what they hold.
        Errors: Refused with number-unknown, number-state, number-held, number-erased or who-unfit.
        """
        _ask_reason(reason)
        further: list[Told] = [(ENTRIES_OF, {"number": number}), (SHARED, {"number": number})]
        with self._pen(by, (number,), further) as lent:
            entries, shared = lent.rest
            lent.follow(number, Action.ERASED, by, reason=reason)
            lent.tell(DROP_FILES, {"number": number})
        with contextlib.suppress(Unavailable), self.database.connected() as raw:
            self.database.trips.scrub(raw)  # it is erased already; this only leaves fewer traces on the disk
        named = [file for body, digest in entries for file in entry_of(body, digest).files]
        return tuple(file for file in dict.fromkeys(named) if (file.digest,) not in shared)

    # What the register knows.

    def life(self, number: int) -> Life | None:
        """Tell the life of a number; None for one that was never given out."""
        with self.database.reading() as asked:
            return reading.life(asked, number)

    def standing(self, key: str) -> Life | None:
        """Find the valid document of an idempotency key."""
        with self.database.reading() as asked:
            return reading.standing(asked, key)

    def by_file(self, digest: str) -> Life | None:
        """Find the document a file belongs to, by its SHA-256 (hex); None for a file the register never held."""
        with self.database.reading() as asked:
            number = reading.number_of_file(asked, digest)
            life = reading.life(asked, number) if number else None
        return life if life and any(file.digest == digest for file in life.files) else None

    def lives(
        self, kind: str = "", state: str = "", record_digest: str = "", since: date | None = None
    ) -> Iterator[Life]:
        """Tell the lives that fit, by number; `since`: the first day of issue that is wanted."""
        return reading.lives(self.database, kind, state, record_digest, since)

    def entries(self, after: int = 0) -> Iterator[Entry]:
        """Give the entries behind a place of the chain, in order."""
        return reading.entries(self.database, after)

    def head(self) -> tuple[int, str]:
        """Give place and digest of the last entry; 0 and the digest of the beginning, where there is none."""
        with self.database.reading() as asked:
            seq, digest, *_ = asked.rows(HEAD)[0]
        return seq, digest

    def file_key(self, digest: str) -> bytes | None:
        """Find the wrapped key of a file; None if it is erased or not encrypted."""
        with self.database.reading() as asked:
            return reading.file_key(asked, digest)

    def digests(self) -> tuple[str, ...]:
        """Give the digests of all files that are still kept, in order."""
        with self.database.reading() as asked:
            return reading.digests(asked)

    def saw(self, number: int, by: str, what: str) -> None:
        """Note that somebody saw or took something. Errors: Refused with number-unknown or who-unfit."""
        _ask_name(by)
        with self.database.writing([(DOCUMENT, {"number": number})], synced=True) as writing:
            if not writing.answers[0]:
                raise unknown_number(number)
            writing.tell(ADD_ACCESS, {"at": written(self._now()), "number": number, "who": by, "what": what})

    def accesses(self, number: int) -> tuple[Access, ...]:
        """Give the access log of a number, in order."""
        with self.database.reading() as asked:
            rows = asked.rows(ACCESSES_OF, number=number)
        return tuple((datetime.fromisoformat(at), who, what) for at, who, what in rows)

    def checkpoint(self) -> Checkpoint:
        """Sign the head of the chain, to be kept elsewhere."""
        seq, digest = self.head()
        mine = self.identity
        bare = Checkpoint(mine.register, seq, digest, written(self._now()), mine.public_key, "")
        return replace(bare, signature=mine.sign(bare.statement).hex())

    def faults(self) -> tuple[Fault, ...]:
        """Say all that is wrong with chain, schema and triggers; nothing, if all is well."""
        return faults(self.database, self.identity)

    def chain_faults(self) -> tuple[Fault, ...]:
        """Say where the chain and its head are not as docgen wrote them; quick, for whoever checks one document."""
        return chain_faults(self.database, self.identity)

    def _pen(
        self, by: str, numbers: tuple[int, ...] = (), further: Sequence[Told] = (), *, synced: bool = True
    ) -> AbstractContextManager[Pen]:
        _ask_name(by)
        return pen(self.database, self.identity, self._now(), numbers, further, synced=synced)

    def _follow(self, number: int, action: Action, reason: str, by: str, files: Sequence[KeptFile] = ()) -> Entry:
        _ask_reason(reason)
        with self._pen(by, (number,)) as lent:
            return lent.follow(number, action, by, reason=reason, files=tuple(files))

    def _known(self, number: int) -> Life:
        life = self.life(number)
        assert life is not None  # noqa: S101 - a number of the register, found in a transaction before
        return life


def _ask_name(by: str) -> None:
    if not by.strip() or not by.translate(_JOINERS).isprintable() or len(by) > _LONGEST_NAME:
        raise unfit_name(by.strip())


def _ask_reason(reason: str) -> None:
    if reason not in REASONS:
        raise ValueError("a reason is one of REASONS")
