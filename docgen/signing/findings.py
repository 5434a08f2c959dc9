"""What a check of a signature found > whether it holds, who signed, when, and at which level."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from docgen.problem import Message
from docgen.verdict import Finding, worst


@dataclass(frozen=True)
class Known:
    """What somebody knows of a signature besides its file."""

    since: datetime | None = None
    """When the register took in the file as it ended with this signature; it proves that the signature existed then."""
    level: str = ""
    """The level of LEVELS it was made with; a signature that has less was tampered with."""


NOTHING = Known()


@dataclass(frozen=True)
class Checked:
    """Whether the signatures of a file hold, and why or why not; what is said of one is said of the first."""

    findings: tuple[Finding, ...]
    signer: str = ""
    """The name on the signer's certificate; nothing proves it unless the verdict is passed."""
    signer_digest: str = ""
    """SHA-256 of the signer's certificate, hex."""
    signer_key: str = ""
    """SHA-256 of the signer's public key, hex."""
    signed_at: datetime | None = None
    """What the signature says itself; see `proved_at`."""
    proved_at: datetime | None = None
    """Not later than this it was there: by a time stamp, or by what the register knew."""
    level: str = ""
    """The highest level of LEVELS that the file reaches; empty without a sound signature."""
    whole_file: bool = False
    """True if the last signature covers every byte but its own, and those can be written in one way only."""
    open_field: str = ""
    """The field that was left to a second signature, if one was."""
    second: Checked | None = None
    """What was found of the second signature; the findings above have it too."""

    @property
    def verdict(self) -> str:
        """The worst of what was found."""
        return worst(self.findings)

    @property
    def reasons(self) -> tuple[Message, ...]:
        """Why the verdict is what it is."""
        return tuple(one.message for one in self.findings if one.verdict == self.verdict)

    @property
    def codes(self) -> tuple[str, ...]:
        """The same as stable names."""
        return tuple(one.code for one in self.findings if one.verdict == self.verdict)
