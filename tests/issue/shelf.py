"""A register with its store, a few documents in it, and what they say; shared by the tests of backup and doctor."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path

from docgen.issue.entry import Action, Paper
from docgen.issue.erasure import erase
from docgen.issue.folders import Places
from docgen.issue.keys import MasterKey, read_master_key
from docgen.issue.register import Register, open_register
from docgen.issue.store import Store

NOW = datetime(2026, 11, 27, 9, 0, tzinfo=UTC)
CANARY = "Zzyzx Canary"
BY = "M. Holt (sample)"


def clock() -> datetime:
    """Give the moment at which all tests happen."""
    return NOW


def paper(number: int) -> Paper:
    """Give a paper as a command would."""
    return Paper("consent", "3", "en", "clinic", f"{number:064x}", "c" * 64, "t" * 64, (), "2026-11-27", "docgen test")


@dataclass
class Shelf:
    """An installation in use."""

    places: Places
    register: Register
    store: Store
    master: MasterKey

    def issue(self, text: str, *, shared: str = "", key: str = "", note: tuple[tuple[str, str], ...] = ()) -> int:
        """Issue a document with a file of its own, and one that may be the same in others."""
        number = self.register.prepare(paper(len(text)), key or self.register.keyed(text), BY)
        files = [self.store.put(text.encode(), "pdf")]
        if shared:
            files.append(self.store.put(shared.encode(), "reason.txt"))
        self.register.issue(number, files, "ABCDEFGH", BY, note=note)
        return number

    def fill(self) -> None:
        """Let every kind of life occur."""
        one, two, three, four, five = (self.issue(f"{CANARY} {n}", shared="the same") for n in range(5))
        self.register.withdraw(one, "consent_withdrawn", BY, [self.store.put(b"said so", "reason.txt")])
        new = self.register.prepare(paper(len(f"{CANARY} 1")), "key of the new one", BY)
        self.register.issue(
            new, [self.store.put(b"new", "pdf")], "ABCDEFGH", BY, action=Action.SIGNED, supersedes=two,
            reason="corrected",
        )  # fmt: skip
        self.erase(three)
        self.register.hold(four, BY)
        self.register.saw(five, BY, "show")
        self.register.void(self.register.prepare(paper(9), "never", BY), "not_completed", BY)

    def erase(self, number: int) -> None:
        """Erase a document as a command would."""
        erase(self.register, self.store, number, "other", BY, NOW.date(), before_due=True)

    def contents(self) -> dict[tuple[int, str, str], bytes]:
        """Read every file that is kept."""
        return {
            (life.number, file.name, file.digest): self.store.get(file, file.wrapped_key)
            for life in self.register.lives()
            if not life.erased
            for file in life.files
        }

    def told(self) -> list[object]:
        """Give all that the register says: every entry, every life, every access."""
        lives = list(self.register.lives())
        return [*self.register.entries(), *lives, *(self.register.accesses(life.number) for life in lives)]


def shelf_at(folder: Path, address: str = "", *, now: Callable[[], datetime] = clock, encrypted: bool = True) -> Shelf:
    """Open an installation in a folder; the register lies in it unless an address is given."""
    places = Places(folder, address or f"sqlite:///{folder / 'register.sqlite'}")
    master = read_master_key(folder, {}, begun=False)
    return Shelf(places, open_register(places.register, master, now), Store(places.store, master, encrypted), master)
