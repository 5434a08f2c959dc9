"""
The PDF of a referral made by another docgen clinic > the text of a new case, as far as it may be taken over.

Everything in the file is a stranger's word: it is read by the same gate as any record, only fields a referral may carry
are taken, and the head of the new case says that nobody has proved who sent it.
"""

from __future__ import annotations

from collections.abc import Iterator

from docgen.case import Case, Source, read_case
from docgen.exchange.carried import Scope, Tree, carried
from docgen.exchange.case_file import CASE_NAME
from docgen.exchange.pdf_reader import embedded_case
from docgen.exchange.yaml_text import record_lines
from docgen.kinds import DocumentKind, TemplateFolders, read_kind
from docgen.problem import Problem, Problems, Refused, say

OURS = ("clinic", "practitioners", "letterhead", "settings", "own", "files")
"""Groups that belong to whoever holds the record, never to who sent a letter."""

ELSEWHERE = ("imaging[].file",)
"""Fields that point to something only the sender has."""

MOST_NAMED = 20

ASKED = {
    "record.id": "yours: a new id of this clinic",
    "patient.identifier": "yours: the number of the patient at this clinic",
    "medical.checked_on": "the day on which you asked the patient again",
    "medical.checked_by": "the id of who asked",
}
"""Fields of this clinic that a new case begins with empty."""

AGAIN = {
    "record": "The sender's notation of teeth and language: every number and text below is meant in them.",
    "medical": "Ask the patient all of this again; it is what the sender wrote.",
    "imaging": "Look at the images yourself: the PDF of a letter holds none.",
    "teeth": "The sender's findings. Compare number, side and jaw with the image and the mouth.",
}
"""What stands above a group that was taken over."""


def read_referral(file: bytes, folders: TemplateFolders) -> str:
    """
    Read a referral's PDF and give the YAML of a new case.

    Errors: Refused with what `embedded_case` refuses, referral-without-data for another kind of document, or every
    fault of the record inside.
    """
    name, content = embedded_case(file)
    problems = Problems()
    kind = read_kind(name, folders, Problems())
    if kind is None or not kind.moment.startswith("referral."):
        what = say("the data in the PDF are those of another kind of document, not of a referral")
        fix = say("only a referral begins a new case; type the case from the page")
        raise Refused([Problem("referral-without-data", "", what, fix)])
    case = read_case(Source(CASE_NAME, content, is_json=True), None, None, problems)
    faults = [problem for problem in problems if problem.code != "unknown-field"]
    if faults or not case.readable:
        raise Refused(faults)
    tree = _taken(case, kind)
    unknown = tuple(dict.fromkeys(problem.path for problem in problems))
    return "".join(f"{line}\n" for line in (*_head(tree, unknown), *record_lines(tree, ASKED, AGAIN)))


def _taken(case: Case, kind: DocumentKind) -> dict[str, Tree]:
    """Keep what a referral may say and what is not this clinic's own."""
    patterns = dict.fromkeys((kind.moment, *kind.optional, *(p for one in kind.requires for p in one.fields)))
    allowed = tuple(
        p for p in patterns if p.split(".")[0].removesuffix("[]") not in OURS and p not in (*ASKED, *ELSEWHERE)
    )
    return carried(case, Scope(allowed))


def _head(tree: dict[str, Tree], unknown: tuple[str, ...]) -> Iterator[str]:
    """Say where the case comes from, and what is left to do, before anybody reads a value."""
    yield "# A new case, begun from the data inside a referral's PDF (docgen start --from-referral)."
    yield "#"
    yield "# NOBODY HAS PROVED WHO SENT IT. docgen checked no signature and no sender: anybody can make such a file."
    yield "# Compare every line with the printed letter, and call the sender on a number you know."
    yield "#"
    yield f"# Taken over as the sender wrote it: {', '.join(tree)}."
    yield f"# Not taken over, for you to fill in: {', '.join(ASKED)}."
    yield "# Clinic, people and settings are those of your own clinic.yaml; image files come another way."
    yield "# To be asked or measured again before you rely on it: health, medicines, allergies, weight, images, teeth."
    if unknown:
        named = ", ".join(unknown[:MOST_NAMED]) + (" …" if len(unknown) > MOST_NAMED else "")
        yield f"# Left out, because this docgen does not know it: {named}."
    yield ""
