"""
A file, or a number with its check code > passed, failed or indeterminate, with every reason.

Three words, as signature validation has them; what cannot be settled is never called good.
"""

from __future__ import annotations

import hashlib
import hmac
from collections.abc import Iterable, Sequence
from importlib import import_module
from typing import TYPE_CHECKING

from docgen.blocks import printed_number
from docgen.issue.checkpoint import Checkpoint, check_checkpoint
from docgen.issue.entry import Action, Entry, KeptFile, Life
from docgen.issue.store import FileDamaged, FileGone
from docgen.issuing import Office
from docgen.problem import say
from docgen.values import dataclass
from docgen.verdict import FAILED, INDETERMINATE, PASSED, Finding, worst

if TYPE_CHECKING:
    from docgen.signing import Checked


@dataclass(frozen=True)
class Verdict:
    """What is to be thought of a file or a number."""

    findings: tuple[Finding, ...]
    life: Life | None = None

    @property
    def verdict(self) -> str:
        """The worst of what was found."""
        return worst(self.findings)


def verify_file(content: bytes, office: Office, checkpoints: Iterable[Checkpoint] = ()) -> Verdict:
    """Judge a file by the register's digest of it and, if it was signed, by its signature; and the register itself."""
    life = office.register.by_file(hashlib.sha256(content).hexdigest())
    if life is None:
        return Verdict((*_unknown(content, office),))
    number = printed_number(life.number)
    known = Finding("file-known", PASSED, say("the register holds this very file as number %(number)s", number=number))
    findings = [known, *_state(life), *_signature(content, life, office)]
    return Verdict((*findings, *_register(office, checkpoints)), life)


def verify_number(number: int, code: str, office: Office, checkpoints: Iterable[Checkpoint] = ()) -> Verdict:
    """Judge what the register and its store hold under a number, and the check code of a printed page."""
    life = office.register.life(number)
    shown = printed_number(number)
    if life is None:
        gone = Finding("number-unknown", FAILED, say("the register has no document number %(number)s", number=shown))
        return Verdict((gone, *_register(office, checkpoints)))
    findings = [*_state(life)]
    if code:
        findings.append(_code(code, life))
    if not life.erased:
        for file in life.files:
            findings += _kept(file, life, office)
    return Verdict((*findings, *_register(office, checkpoints)), life)


def _code(code: str, life: Life) -> Finding:
    """Compare the code of a page; spaces, hyphens and case do not count."""
    given = "".join(character for character in code.upper() if character.isalnum())
    if life.code and hmac.compare_digest(given.encode(), life.code.encode()):
        return Finding("code-right", PASSED, say("the check code of the page is that of the document"))
    return Finding("code-wrong", FAILED, say("the check code of the page is not that of the document"))


def _state(life: Life) -> Iterable[Finding]:
    """Say what the document is today; a prepared or voided number never was one."""
    number = printed_number(life.number)
    last = life.entries[-1] if life.entries else None
    if life.state in (Action.PREPARED, Action.VOIDED):
        yield Finding("number-unissued", FAILED, say("number %(number)s was never issued", number=number))
    elif life.state is Action.SUPERSEDED:
        new = printed_number(life.successor) if life.successor else "?"
        yield Finding(
            "document-superseded", PASSED, say("it is in force no more: superseded by number %(number)s", number=new)
        )
    elif life.state is Action.WITHDRAWN:
        yield Finding("document-withdrawn", PASSED, say("it is in force no more: it was withdrawn"))
    elif last is not None:
        yield Finding("document-valid", PASSED, say("it is in force (%(state)s)", state=life.state.value))
    if life.erased:
        yield Finding("document-erased", PASSED, say("its content was erased here; number and digests stand"))


def _signature(content: bytes, life: Life, office: Office) -> Iterable[Finding]:
    """Judge the signatures of a PDF that was signed when it was issued, or countersigned since."""
    entries = {entry.action: entry for entry in life.entries}
    signed, counter = entries.get(Action.SIGNED), entries.get(Action.COUNTERSIGNED)
    if signed is None or not content.startswith(b"%PDF"):
        return
    digest = hashlib.sha256(content).hexdigest()
    has_second = counter is not None and any(file.digest == digest for file in counter.files)
    checked = _checked(content, office, (signed, counter) if counter and has_second else (signed,))
    if checked is None:
        yield _NO_SIGNING
        return
    yield from checked.findings
    if has_second and not _begins_as_signed(content, signed):
        words = say("the countersigned file does not begin with the file that was signed first")
        yield Finding("second-other-file", FAILED, words)
    elif counter and not has_second:
        yield Finding("countersigned-since", PASSED, say("the supervisor has signed since; the register has that file"))
    elif checked.open_field and not has_second:
        yield Finding("countersign-missing", PASSED, say("the supervisor's signature is still missing"))


def _begins_as_signed(content: bytes, signed: Entry) -> bool:
    """Tell whether a file is a continuation of the one that was signed first."""
    return any(
        file.name == "pdf" and hashlib.sha256(content[: file.size]).hexdigest() == file.digest for file in signed.files
    )


def _checked(content: bytes, office: Office, entries: Sequence[Entry] = ()) -> Checked | None:
    """
    Check the signatures of a file; None where the library for it is not installed.

    `entries`: those that tell of its first and its second signature.
    """
    try:
        signing = import_module("docgen.signing")  # an extra
    except ModuleNotFoundError:
        return None
    trust = signing.read_trust(office.trust) if office.trust else signing.NO_TRUST
    known = [signing.Known(one.at, dict(one.note).get("level", "")) for one in entries]
    first, second = [*known, signing.Known(), signing.Known()][:2]
    checked: Checked = signing.check_pdf(
        content, trust, now=office.now(), known_since=first.since, expect_level=first.level, second=second
    )
    return checked


_NO_SIGNING = Finding(
    "signature-unread",
    INDETERMINATE,
    say("the signature was not looked at: docgen is installed here without signing (docgen[sign])"),
)


def _unknown(content: bytes, office: Office) -> Iterable[Finding]:
    """Judge a file the register does not hold: a good signature alone cannot say that it was issued."""
    checked = _checked(content, office) if content.startswith(b"%PDF") else None
    if checked is None or not checked.signer:
        yield Finding(
            "file-unknown",
            FAILED,
            say(
                "the register does not hold this file: it was not issued here, or it was changed; a pack is checked by"
                " the numbers and codes on its pages"
            ),
        )
        return
    yield from checked.findings
    how_bad = INDETERMINATE if checked.verdict == PASSED else FAILED
    yield Finding(
        "file-unknown", how_bad, say("the register does not hold this file; whoever signed it must be asked for it")
    )


def _kept(file: KeptFile, life: Life, office: Office) -> Iterable[Finding]:
    """Read a file out of the store, and judge it."""
    try:
        content = office.store.get(file, file.wrapped_key)
    except FileGone:
        yield Finding("file-gone", FAILED, say("the store has lost the file %(name)s", name=file.name))
    except FileDamaged:
        yield Finding("file-damaged", FAILED, say("the file %(name)s in the store is damaged", name=file.name))
    else:
        yield Finding("file-kept", PASSED, say("the file %(name)s in the store is whole", name=file.name))
        yield from _signature(content, life, office)


def _register(office: Office, checkpoints: Iterable[Checkpoint]) -> Iterable[Finding]:
    """Judge the register itself: its chain, and the checkpoints somebody kept elsewhere."""
    faults = office.register.chain_faults()
    for fault in faults:
        yield Finding(fault.code, FAILED, fault.what)
    if not faults:
        yield Finding("chain-whole", PASSED, say("the chain of the register is whole"))
    for checkpoint in checkpoints:
        against = check_checkpoint(office.register, checkpoint)
        for fault in against:
            yield Finding(fault.code, FAILED, fault.what)
        if not against:
            yield Finding(
                "checkpoint-agrees",
                PASSED,
                say("the register agrees with the checkpoint of entry %(seq)s", seq=checkpoint.seq),
            )
