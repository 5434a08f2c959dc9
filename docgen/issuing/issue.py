"""
The files of a case and an order > numbered documents, kept and entered in the register; or Refused, and no trace.

The number is on the page before the file exists; one that is not used in the end is voided, visibly.
"""

from __future__ import annotations

import contextlib
import hashlib
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import date
from itertools import chain, islice
from zoneinfo import ZoneInfo

from docgen.blocks import Attachment, Document, printed_number
from docgen.compose.issued import Stamp, spoken, stamped, words_of
from docgen.examine import Asked, CaseFiles, Wish, World
from docgen.exchange import (
    BUNDLE_NAME,
    CASE_NAME,
    IssuedFile,
    Phrases,
    Registered,
    bundle,
    case_json,
    files_inside,
    scope_of,
)
from docgen.facts import Known
from docgen.generate import ENDINGS, Ready, compose_all, rendered
from docgen.issue.entry import Action, KeptFile, Life
from docgen.issue.giving import Made
from docgen.issue.retention import retention_of, setting_of
from docgen.issuing.gates import refuse_standing, refuse_unread
from docgen.issuing.office import Issued, IssuedPack, Office, Order, key_of, paper_of
from docgen.issuing.reasons import REASON, reason_file
from docgen.kept import to_bytes

DOCUMENT = "document.json"
"""The composed document itself, for copies that carry a mark later."""
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
    more: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    """What the PDF's renderer is told besides."""
    action: Action = Action.ISSUED
    note: tuple[tuple[str, str], ...] = ()


@dataclass(frozen=True)
class Task:
    """One document that is to be issued, and all that it takes."""

    one: Asked
    document: Document
    ready: Ready
    formats: tuple[str, ...]
    office: Office
    order: Order
    finish: Finish = field(default_factory=Finish)

    @property
    def key(self) -> str:
        """The idempotency key."""
        return key_of(self.one, self.document, self.ready.seen, self.office.register, self.order)

    @property
    def note(self) -> tuple[tuple[str, str], ...]:
        """What the entry keeps beside the files: how long they are kept, and the clinic's time zone."""
        case, stated = self.ready.seen.case, self.one.stated.results
        known = stated.get("retention_until")
        until = known.value if isinstance(known, Known) and isinstance(known.value, date) else None
        kept = retention_of(until, case.setting(setting_of(self.one.kind.name)), self.one.request.issued_on)
        return (*self.finish.note, *kept.note, (ZONE, str(case.value("clinic.time_zone"))))


def issue(
    files: CaseFiles, wish: Wish, world: World, today: Callable[[ZoneInfo], date], office: Office, order: Order
) -> IssuedPack:
    """
    Issue every document that is asked for; all are composed before any gets a number.

    Errors: Refused, with every problem found; OutputError, if store or database fail.
    """
    ready = compose_all(files, wish, world, today, refuse_unread)
    refuse_standing(ready.documents, ready.seen, office, order)
    tasks = [Task(one, document, ready, wish.formats, office, order) for one, document in ready.documents.values()]
    return IssuedPack(issue_pack(tasks), notes=ready.seen.problems.notes, left_out=ready.seen.left_out)


def issue_pack(tasks: Sequence[Task]) -> list[Issued]:
    """
    Number, stamp, set, keep and enter the documents of one order: all or none; what stands by its key is given again.

    Errors: Refused; OutputError. Then every number that was taken is voided.
    """
    known = [task.office.register.standing(task.key) for task in tasks]
    new = [task for task, life in zip(tasks, known, strict=True) if life is None]
    issued = iter(_issue_new(new) if new else ())
    return [next(issued) if life is None else again(life, task.office) for task, life in zip(tasks, known, strict=True)]


def _issue_new(tasks: Sequence[Task]) -> list[Issued]:
    """Issue documents of one order that no key stands for yet: two transactions, whatever their number."""
    office, order = tasks[0].office, tasks[0].order
    register = office.register
    _, head = register.head()
    numbers = register.prepare_pack([(paper_of(one.one, one.document, register), one.key) for one in tasks], order.by)
    with _voiding(numbers, office, order):
        made = [_made(number, head, task) for number, task in zip(numbers, tasks, strict=True)]
        came = register.issue_pack(_kept(numbers, made, tasks), order.by)
    return [
        again(life, office) if isinstance(life, Life) else _issued(life.number, files, office)
        for life, (files, _) in zip(came, made, strict=True)
    ]


def _kept(numbers: Sequence[int], made: Sequence[tuple[dict[str, bytes], str]], tasks: Sequence[Task]) -> list[Made]:
    """Keep the files of all documents at once, for the disk syncs them together."""
    office, order = tasks[0].office, tasks[0].order
    beside = {REASON: reason_file(order.words)} if order.words else {}
    parts = [list({**files, **beside}.items()) for files, _ in made]
    kept = iter(office.store.put_all(chain.from_iterable(parts)))
    return [
        Made(
            number,
            tuple(islice(kept, len(part))),
            code,
            task.finish.action,
            order.supersedes,
            order.reason,
            task.note,
        )
        for number, part, (_, code), task in zip(numbers, parts, made, tasks, strict=True)
    ]


def _issued(number: int, files: Mapping[str, bytes], office: Office) -> Issued:
    life = office.register.life(number)
    assert life is not None  # noqa: S101 (it was entered just now)
    return Issued(life, shown_files(life, files))


def _made(number: int, head: str, task: Task) -> tuple[dict[str, bytes], str]:
    """Set the numbered document in all forms; gives the files by role, and the check code."""
    register, origin, ready = task.office.register, task.document.origin, task.ready
    code = register.check_code(str(number), origin.kind, origin.record, words_of(task.document))
    stamp = Stamp(number, code, task.one.request.issued_on, head)
    document = stamped(task.document, stamp, [ready.seen.languages[name] for name in spoken(task.document)])
    registered = Registered(
        register.identity.register, number, task.office.now(), task.finish.action.value, replaces=task.order.supersedes
    )
    attached = _inside(task, document, registered) if task.order.carries else ()
    made: dict[str, bytes] = {}
    for form in task.formats:
        if form == "pdf":
            content = rendered(document, form, ready.style, attached=attached, **task.finish.more)
            made[form] = task.finish.pdf(content, document)
        else:
            made[form] = rendered(document, form, ready.style)
    made[DOCUMENT] = to_bytes(document)
    return made | _beside(task, document, registered, made), code


def _phrases(task: Task) -> Phrases:
    return Phrases(task.ready.words, task.ready.seen.languages[task.one.request.language])


def _inside(task: Task, document: Document, registered: Registered) -> tuple[Attachment, ...]:
    """Make the data that go inside the PDF; none for a patient's copy. No file can hold its own digest."""
    case, one = task.ready.seen.case, task.one
    return files_inside(
        case, one.kind, one.stated.results, document, registered, _phrases(task), dated=one.request.dated
    )


def _beside(task: Task, document: Document, registered: Registered, made: Mapping[str, bytes]) -> dict[str, bytes]:
    """Make the data that are kept beside the files: what it used of the case, and a bundle with their digests."""
    case, one = task.ready.seen.case, task.one
    if one.kind.exchange is None:
        return {}
    files = tuple(
        IssuedFile(form, MIME[form], hashlib.sha256(content).hexdigest(), len(content))
        for form, content in made.items()
        if form in MIME
    )
    registered = replace(registered, files=files)
    told = bundle(case, one.kind, one.stated.results, document, registered, _phrases(task), dated=one.request.dated)
    used = case_json(case, scope_of(one.kind, case, one.stated.results, dated=one.request.dated))
    return {CASE_NAME: used, BUNDLE_NAME: told}


@contextlib.contextmanager
def _voiding(numbers: Sequence[int], office: Office, order: Order) -> Iterator[None]:
    """Void numbers that came to nothing; if even that fails, the next write of the register does it."""
    try:
        yield
    except BaseException:
        for number in numbers:
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
    for file in life.current:
        yield file, office.store.get(file, file.wrapped_key)


def shown_files(life: Life, made: Mapping[str, bytes]) -> dict[str, bytes]:
    """Name the files that leave the clinic: by number and kind, never by a person; none twice, once countersigned."""
    paper = life.paper
    parts = [printed_number(life.number), *((paper.kind, paper.copy, *paper.language.split(", ")) if paper else ())]
    parts += ["countersigned" for entry in life.entries if entry.action is Action.COUNTERSIGNED]
    stem = "-".join(part for part in parts if part)
    return {f"{stem}.{ENDINGS[form]}": content for form, content in made.items() if form in ENDINGS}
