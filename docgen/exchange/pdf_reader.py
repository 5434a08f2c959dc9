"""
A stranger's PDF > the case inside it, or every reason why not.

The file is opened by another program with limits (`pdf_worker`); this one never parses it.
"""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

from docgen.problem import Message, Problem, Refused, say

WORKER = Path(__file__).with_name("pdf_worker.py")
MOST_BYTES = 20 << 20
"""Of a PDF that is looked at; ours have 0.1 MB."""

MOST_SECONDS = 30

_ANOTHER = say("ask the sender for the file again, or type the case from the page")
_REASONS: dict[int, tuple[str, Message, Message]] = {
    11: ("referral-unreadable", say("the PDF is locked with a password"), say("ask the sender for an open file")),
    12: (
        "referral-without-data",
        say("the PDF holds no data of docgen"),
        say("type the case from the page: docgen start --kind referral gives a blank one"),
    ),
    13: ("referral-unreadable", say("the PDF holds more than one case, and nobody can say which counts"), _ANOTHER),
    14: ("referral-unreadable", say("the data in the PDF are larger than a case can be"), _ANOTHER),
    15: ("referral-altered", say("the data in the PDF are not what the PDF says they are"), _ANOTHER),
    16: ("referral-unreadable", say("the PDF was made by a newer docgen"), say("bring docgen up to date")),
}
_BROKEN = (
    "referral-unreadable",
    say("the file cannot be read as a PDF: it is damaged, or made to do harm"),
    _ANOTHER,
)
_NO_PARSER = (
    "extra-missing",
    say("reading a referral needs a part of docgen that is not installed"),
    say("install it with: pip install 'docgen[exchange]'"),
)


def embedded_case(file: bytes) -> tuple[str, bytes]:
    """
    Take the case out of a PDF: the kind of its document, and its JSON, whose digest is the one the PDF names.

    Errors: Refused with referral-unreadable, referral-without-data, referral-altered or extra-missing.
    """
    if len(file) > MOST_BYTES:
        raise _refused(_BROKEN)
    call = [sys.executable, "-P", str(WORKER)]
    try:
        done = subprocess.run(call, input=file, capture_output=True, timeout=MOST_SECONDS, check=False)  # noqa: S603 (our own program; the stranger's bytes are its input alone)
    except subprocess.TimeoutExpired:
        raise _refused(_BROKEN) from None
    if done.returncode != 0:
        is_bare = done.returncode == 1 and b"No module named 'pypdf'" in done.stderr
        raise _refused(_NO_PARSER if is_bare else _REASONS.get(done.returncode, _BROKEN))
    kind, _, content = done.stdout.partition(b"\n")
    return kind.decode(), content


def _refused(reason: tuple[str, Message, Message]) -> Refused:
    code, what, fix = reason
    return Refused([Problem(code, "", what, fix)])
