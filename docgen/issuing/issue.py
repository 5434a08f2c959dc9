"""
The files of a case and an order > numbered documents, kept and entered in the register; or Refused, and no trace.

The number is on the page before the file exists; one that is not used in the end is voided, visibly.
"""

from __future__ import annotations

import contextlib
import hashlib
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field, replace
from datetime import date
from zoneinfo import ZoneInfo

from docgen.blocks import Attachment, Document
from docgen.compose.issued import Stamp, spoken, stamped, words_of
from docgen.examine import Asked, CaseFiles, Wish, World
from docgen.exchange import BUNDLE_NAME, IssuedFile, Phrases, Registered, bundle, files_inside
from docgen.facts import Known
from docgen.generate import ENDINGS, Ready, compose_all, rendered
from docgen.issue.entry import Action, KeptFile, Life
from docgen.issue.refusals import AlreadyIssued
from docgen.issue.retention import Retention, retention_of, setting_of
from docgen.issuing.gates import refuse_standing, refuse_unread
from docgen.issuing.office import Issued, IssuedPack, Office, Order, key_of, paper_of
from docgen.kept import to_bytes

DOCUMENT = "document.json"
"""The composed document itself, for copies that carry a mark later."""
REASON = "reason.txt"
ZONE = "time_zone"
"""Name in the note of an entry: the clinic's time zone, by which later days are told."""
MIME = {
    "pdf": "application/pdf",
    "docx": "application/vnd.openxmlformats-officedocument.wordprocessingml.document",
}


@dataclass(frozen=True)
class Finish:
    """What happens to the PDF before it is kept; a plain issue does nothing."""

    pdf: Callable[[bytes, Document], bytes] = lambda content, document: content
    more: Mapping[str, str] = field(default_factory=dict)
    """What the PDF's renderer is told besides."""
    action: Action = Action.ISSUED
    note: tuple[tuple[str, str], ...] = ()


def issue(
    files: CaseFiles, wish: Wish, world: World, today: Callable[[ZoneInfo], date], office: Office, order: Order
) -> IssuedPack:
    """
    Issue every document that is asked for; all are composed before any gets a number.

    Errors: Refused, with every problem found; OutputError, if store or database fail.
    """
    ready = compose_all(files, wish, world, today, refuse_unread)
    refuse_standing(ready.documents, ready.seen, office, order)
    pack = IssuedPack(notes=ready.seen.problems.notes, left_out=ready.seen.left_out)
    for one, document in ready.documents.values():
        pack.issued.append(issue_one(one, document, ready, wish.formats, office, order))
    return pack


def issue_one(
    one: Asked,
    document: Document,
    ready: Ready,
    formats: tuple[str, ...],
    office: Office,
    order: Order,
    finish: Finish = Finish(),
) -> Issued:
    """Number, stamp, set, keep and enter one document; the same key gives what was issued before."""
    key = key_of(one, document, ready.seen, office.register, order)
    if life := office.register.standing(key):
        return again(life, office)
    number = office.register.prepare(paper_of(one, document, office.register), key, order.by)
    with _voiding(number, office, order):
        made, code = _made(number, one, document, ready, formats, office, order, finish)
        kept = office.store.put_all(made)
        if order.words:
            kept.append(office.store.put(order.words.encode(), REASON))
        try:
            office.register.issue(
                number,
                kept,
                code,
                order.by,
                action=finish.action,
                supersedes=order.supersedes,
                reason=order.reason,
                note=(
                    *finish.note,
                    *_retention(one, ready).note,
                    (ZONE, str(ready.seen.case.value("clinic.time_zone"))),
                ),
            )
        except AlreadyIssued as other:
            return again(other.life, office)
    life = office.register.life(number)
    assert life is not None  # noqa: S101 (it was entered just now)
    return Issued(life, shown_files(life, made))


def _retention(one: Asked, ready: Ready) -> Retention:
    """Say how long the register is to keep a document: as its page says, or as the clinic set for its kind."""
    known = one.stated.results.get("retention_until")
    until = known.value if isinstance(known, Known) and isinstance(known.value, date) else None
    return retention_of(until, ready.seen.case.setting(setting_of(one.kind.name)), one.request.issued_on)


def _made(
    number: int,
    one: Asked,
    document: Document,
    ready: Ready,
    formats: tuple[str, ...],
    office: Office,
    order: Order,
    finish: Finish,
) -> tuple[dict[str, bytes], str]:
    """Set the numbered document in all forms; gives the files by role, and the check code."""
    register, origin = office.register, document.origin
    code = register.check_code(str(number), origin.kind, origin.record, words_of(document))
    _, head = register.head()
    stamp = Stamp(number, code, one.request.issued_on, head)
    numbered = stamped(document, stamp, [ready.seen.languages[name] for name in spoken(document)])
    telling = _Telling(one, numbered, ready, Registered(register.identity.register, number, office.now()))
    telling = replace(telling, registered=replace(telling.registered, replaces=order.supersedes))
    attached = telling.inside() if order.carries else ()
    made: dict[str, bytes] = {}
    for form in formats:
        if form == "pdf":
            content = rendered(numbered, form, ready.style, attached=attached, **finish.more)
            made[form] = finish.pdf(content, numbered)
        else:
            made[form] = rendered(numbered, form, ready.style)
    made[DOCUMENT] = to_bytes(numbered)
    return made | telling.kept(made, finish.action.value), code


@dataclass(frozen=True)
class _Telling:
    """What the data of one document are made of."""

    one: Asked
    document: Document
    ready: Ready
    registered: Registered

    @property
    def phrases(self) -> Phrases:
        return Phrases(self.ready.words, self.ready.seen.languages[self.one.request.language])

    def inside(self) -> tuple[Attachment, ...]:
        """Make what goes inside the PDF; nothing for a patient's copy."""
        one = self.one
        return files_inside(
            self.ready.seen.case,
            one.kind,
            one.stated.results,
            self.document,
            self.registered,
            self.phrases,
            dated=one.request.dated,
        )

    def kept(self, made: Mapping[str, bytes], state: str) -> dict[str, bytes]:
        """Make the bundle that is kept beside the files, with a reference to each by its digest."""
        one = self.one
        if one.kind.exchange is None:
            return {}
        files = tuple(
            IssuedFile(form, MIME[form], hashlib.sha256(content).hexdigest(), len(content))
            for form, content in made.items()
            if form in MIME
        )
        registered = replace(self.registered, state=state, files=files)
        case, stated = self.ready.seen.case, one.stated.results
        told = bundle(case, one.kind, stated, self.document, registered, self.phrases, dated=one.request.dated)
        return {BUNDLE_NAME: told}


@contextlib.contextmanager
def _voiding(number: int, office: Office, order: Order) -> Iterator[None]:
    """Void a number that came to nothing; if even that fails, the next write of the register does it."""
    try:
        yield
    except BaseException:
        with contextlib.suppress(Exception):
            office.register.void(number, "not_completed", order.by)
        raise


def again(life: Life, office: Office) -> Issued:
    """Give a document that was issued before, out of the store."""
    return Issued(
        life, shown_files(life, {file.name: content for file, content in kept_files(life, office)}), again=True
    )


def kept_files(life: Life, office: Office) -> Iterator[tuple[KeptFile, bytes]]:
    """Read the files of a document out of the store; each is checked against its digest."""
    for file in life.files:
        yield file, office.store.get(file, file.wrapped_key)


def shown_files(life: Life, made: Mapping[str, bytes]) -> dict[str, bytes]:
    """Name the files that leave the clinic: by number and kind, never by a person."""
    paper = life.paper
    parts = [f"{life.number:06d}", *((paper.kind, paper.copy, *paper.language.split(", ")) if paper else ())]
    stem = "-".join(part for part in parts if part)
    return {f"{stem}.{ENDINGS[form]}": content for form, content in made.items() if form in ENDINGS}
