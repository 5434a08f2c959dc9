"""A referral's PDF begins a new case: what is taken over, what is not, and that no hostile file does harm."""

from __future__ import annotations

import hashlib
import io
import json
import subprocess
import sys
import zlib
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pikepdf
import pypdf
import pytest
from bundles import issued, one
from conftest import ISSUED_ON, shipped_world
from hypothesis import given
from hypothesis import strategies as st

from docgen.case import Case, Source, read_case
from docgen.case.characters import bad_character, is_blank
from docgen.cli import main
from docgen.exchange import case_mark, files_inside, read_referral
from docgen.exchange.pdf_reader import MOST_BYTES, WORKER, embedded_case
from docgen.exchange.pdf_worker import MOST_MEMORY, MOST_SECONDS, find_case
from docgen.exchange.referral import AGAIN, ASKED
from docgen.exchange.yaml_text import record_lines
from docgen.generate import house_style
from docgen.problem import Problems, Refused
from docgen.render import pdf
from tests.render.file.making import new_file, write
from tests.seeded import seeded

FOLDERS = shipped_world().templates
REFERRALS = sorted(set(ISSUED_ON) - {"pellingrove", "tamarholt", "brackenfold", "ostermill"})
CANARY = "Zzyzx Canary"
WHOLE = {
    "record": {"language": "en", "sample": "yes", "tooth_notation": "fdi"},
    "patient": {"family_name": CANARY, "given_names": CANARY},
    "referral": {"on": "2026-02-20", "teeth": ["38"], "problem": CANARY},
}


def _file(content: bytes, mark: str | None = None, *, times: int = 1, name: str = "case.json") -> bytes:
    """Make a small PDF with a file inside."""
    file, page = new_file()
    write(page, file.root.child("H1"), "Title")
    for number in range(times):
        told = case_mark(content, "referral") if mark is None else mark
        file.attach(f"{number}{name}", "application/json", content, told, "Source")
    return file.content()


def _holding(tree: Any, **more: Any) -> bytes:
    return _file(json.dumps({**tree, **more} if isinstance(tree, dict) else tree).encode())


def _codes(call: Callable[[], object]) -> list[str]:
    with pytest.raises(Refused) as refused:
        call()
    assert CANARY not in "".join(problem.in_words() for problem in refused.value.problems)
    return [problem.code for problem in refused.value.problems]


def _read(text: str) -> tuple[Case, set[tuple[str, str]]]:
    problems = Problems()
    case = read_case(Source("case.yaml", text.encode()), None, None, problems)
    return case, {(problem.code, problem.path) for problem in problems}


@pytest.mark.parametrize("example", REFERRALS)
def test_the_letter_of_an_example_begins_a_case(example: str) -> None:
    """All that is not ours comes over unchanged; what is ours stands empty, and nothing else is wrong."""
    told = one(example, "referral")
    inside = files_inside(told.case, told.kind, told.stated, told.document, issued(told.case), told.phrases)
    text = read_referral(pdf.render(told.document, house_style(shipped_world()), attached=inside), FOLDERS)
    case, wrong = _read(text)
    held = told.held()
    groups = ("patient", "referrer", "physician", "guardian", "escort", "medical", "teeth", "imaging", "referral")
    lost = [
        path
        for group in groups
        for path in _leaves(held, group)
        if path not in ASKED and not path.endswith("].file") and case.value(path) != held.value(path)
    ]

    assert [] == lost
    assert {("empty-field", path) for path in ASKED} == wrong
    assert (None, None) == (case.value("clinic.name"), case.value("practitioners"))


def _leaves(case: Case, group: str) -> list[str]:
    """Name every recorded path of a group that holds a value."""
    found, ahead = [], [(group, getattr(case.fields, group))]
    while ahead:
        path, value = ahead.pop()
        if hasattr(value, "recorded_names"):
            ahead += [(f"{path}.{name.rstrip('_')}", getattr(value, name)) for name in value.recorded_names]
        elif isinstance(value, tuple) and value and hasattr(value[0], "recorded_names"):
            ahead += [(f"{path}[{number}]", item) for number, item in enumerate(value)]
        elif value is not None:
            found.append(path)
    return found


def test_the_head_says_that_nobody_proved_the_sender() -> None:
    """Before any value stands that the sender is not proved, what was taken, and what is to be done."""
    text = read_referral(_holding(WHOLE), FOLDERS)
    head = text.split("\n\n")[0]

    assert "NOBODY HAS PROVED WHO SENT IT" in head
    assert "record, patient, referral" in head
    assert all(path in head for path in ASKED)
    assert CANARY not in head
    assert f"  # {AGAIN['record']}" not in text
    assert f"# {AGAIN['record']}\nrecord:\n" in text


def test_nothing_of_the_receiving_clinic_can_be_sent() -> None:
    """A file that brings settings, people, a consent or an operation brings them in vain."""
    more = {
        "settings": {"la.regime": {"value": "us_label", "by": "x", "on": "2026-01-01"}},
        "clinic": {"name": "Mine"},
        "practitioners": [{"id": "mh", "name": "Mine"}],
        "consent": {"signed_at": {"patient": "2026-03-03T15:40"}},
        "operation": {"signed_by": "mh"},
        "departures": [{"code": "inr-missing"}],
        "medical": {"allergies": "none", "checked_by": "mh", "checked_on": "2026-02-20"},
    }
    text = read_referral(_holding(WHOLE, **more), FOLDERS)

    assert not any(
        line.startswith(tuple(f"{group}:" for group in more if group != "medical")) for line in text.split("\n")
    )
    assert "mh" not in text
    assert "  allergies: none\n" in text


def test_a_field_of_a_newer_docgen_is_named_and_left_out() -> None:
    """What this docgen does not know is said in the head, by its name alone."""
    text = read_referral(_holding(WHOLE, aura={"color": CANARY}, medical={"mood": "good"}), FOLDERS)

    assert "does not know it: aura, medical.mood." in text
    assert text.count(CANARY) == 3


@pytest.mark.parametrize(
    ("tree", "code"),
    [
        ({**WHOLE, "medical": {"allergies": [{"substance": "latex", "group": "rubber"}]}}, "bad-value"),
        ({**WHOLE, "patient": {"family_name": f"{CANARY}\u202e"}}, "bad-character"),
        ({**WHOLE, "referral": {"on": "2026-02-30"}}, "bad-value"),
        ({**WHOLE, "patient": {"family_name": "x" * 300}}, "too-long"),
        ([], "bad-value"),
    ],
)
def test_a_record_with_a_fault_begins_no_case(tree: Any, code: str) -> None:
    """An allergy that cannot be read is not left out in silence."""
    assert code in _codes(lambda: read_referral(_holding(tree), FOLDERS))


def _bomb() -> bytes:
    """Pack 64 MB of nothing into a file of ours, where the case should be."""
    return _file(b"0" * (64 << 20), f"docgen case 1; referral; sha-256 {'0' * 64}")


def _deep() -> bytes:
    return _file(b'{"a":' * 60_000 + b"1" + b"}" * 60_000)


def _many() -> bytes:
    return _file(b'{"record":{' + b",".join(b'"k%d":"v"' % n for n in range(60_000)) + b"}}")


def _edited(change: Callable[[pikepdf.Pdf], None], **saved: Any) -> bytes:
    file, out = pikepdf.open(io.BytesIO(_holding(WHOLE))), io.BytesIO()
    change(file)
    file.save(out, **saved)
    return out.getvalue()


def _stream(file: pikepdf.Pdf) -> Any:
    return file.Root.AF[0].EF.F


def _object_stream_bomb() -> bytes:
    """Write a file whose cross-reference stream unpacks to 128 MB."""
    packed = zlib.compress(b"\0" * (128 << 20), 9)
    head = b"%PDF-1.7\n1 0 obj\n<</Type/XRef/Size 9/W[1 4 2]/Root 2 0 R/Filter/FlateDecode/Length "
    return head + b"%d>>\nstream\n%b\nendstream\nendobj\nstartxref\n9\n%%%%EOF\n" % (len(packed), packed)


def _loop() -> bytes:
    """Write a file whose cross-reference table says that the one before it is itself."""
    return b"%PDF-1.7\nxref\n0 1\n0000000000 65535 f \ntrailer\n<</Size 1/Root 1 0 R/Prev 9>>\nstartxref\n9\n%%EOF\n"


def _associated_with_itself(file: pikepdf.Pdf) -> None:
    own = file.make_indirect(pikepdf.Array())
    own.append(own)
    file.Root.AF = own


HOSTILE: dict[str, tuple[Callable[[], bytes], str]] = {
    "nothing": (lambda: b"", "referral-unreadable"),
    "words": (lambda: b"%PDF-1.7\n" + CANARY.encode() * 100, "referral-unreadable"),
    "too large": (lambda: b"%PDF-1.7\n" + b"0" * MOST_BYTES, "referral-unreadable"),
    "locked": (
        lambda: _edited(lambda f: None, encryption=pikepdf.Encryption(owner="o", user="")),
        "referral-unreadable",
    ),
    "two cases": (lambda: _file(json.dumps(WHOLE).encode(), times=2), "referral-unreadable"),
    "wrong digest": (
        lambda: _file(json.dumps(WHOLE).encode(), case_mark(b"{}", "referral")),
        "referral-altered",
    ),
    "a newer mark": (lambda: _file(b"{}", f"docgen case 2; referral; sha-256 {'0' * 64}"), "referral-unreadable"),
    "no mark": (lambda: _file(json.dumps(WHOLE).encode(), "case.json"), "referral-without-data"),
    "another kind": (
        lambda: _file(json.dumps(WHOLE).encode(), case_mark(json.dumps(WHOLE).encode(), "operative-note")),
        "referral-without-data",
    ),
    "an unknown kind": (lambda: _file(b"{}", case_mark(b"{}", "spell-book")), "referral-without-data"),
    "a bomb": (_bomb, "referral-unreadable"),
    "a bomb below the objects": (_object_stream_bomb, "referral-unreadable"),
    "a loop of tables": (_loop, "referral-unreadable"),
    "a list that holds itself": (lambda: _edited(_associated_with_itself), "referral-without-data"),
    "deep JSON": (_deep, "too-deep"),
    "many keys": (_many, "too-large"),
    "no JSON": (lambda: _file(b"\xff\xfe"), "not-utf8"),
    "a file elsewhere": (
        lambda: _edited(lambda f: _stream(f).__setitem__("/F", pikepdf.String("/etc/passwd"))),
        "referral-unreadable",
    ),
    "another packing": (
        lambda: _edited(
            lambda f: _stream(f).write(b"414243>", filter=pikepdf.Name.ASCIIHexDecode),
            compress_streams=False,
            stream_decode_level=pikepdf.StreamDecodeLevel.none,
        ),
        "referral-unreadable",
    ),
}  # fmt: skip


@pytest.mark.parametrize("name", HOSTILE)
def test_a_hostile_file_is_refused_by_name(name: str) -> None:
    """Each is refused in words that hold nothing of it, and nothing is written."""
    make, code = HOSTILE[name]
    file = make()

    assert code in _codes(lambda: read_referral(file, FOLDERS))


def _found(file: bytes) -> bytes | None:
    """Give the case in a file, or None if it is refused for whatever reason."""
    try:
        return find_case(file)[1]
    except Exception:
        return None


def test_a_flipped_file_gives_the_case_or_nothing() -> None:
    """Of 600 files with one byte changed, each gives the very case or is refused."""
    content = json.dumps(WHOLE).encode()
    file, chance = _file(content), seeded(6)
    found = []
    for _ in range(600):
        place = chance.randrange(len(file))
        found.append(_found(file[:place] + bytes([file[place] ^ (1 << chance.randrange(8))]) + file[place + 1 :]))

    assert {None, content} == set(found)


def test_a_cut_file_gives_nothing() -> None:
    """A PDF that was cut anywhere is not repaired and not read."""
    file = _holding(WHOLE)

    assert {None} == {_found(file[:end]) for end in range(0, len(file) - 8, 97)}


def test_a_file_that_was_signed_or_added_to_is_still_read() -> None:
    """A later revision, as a signature makes one, does not hide the data."""
    writer = pypdf.PdfWriter(io.BytesIO(_holding(WHOLE)), incremental=True)
    writer.add_metadata({"/Note": "added"})
    out = io.BytesIO()
    writer.write(out)

    assert ("referral", json.dumps(WHOLE).encode()) == embedded_case(out.getvalue())


@given(st.text(min_size=1, max_size=60))
def test_whatever_somebody_typed_reads_back_as_typed(typed: str) -> None:
    """No character of a text becomes markup, a comment or another value of the YAML."""
    tree = {"record": {"language": "en"}, "referral": {"problem": typed, "on": "2026-02-20"}}
    source = Source("case.json", json.dumps(tree).encode(), is_json=True)
    before = read_case(source, None, None, Problems()).value("referral.problem")
    after = _read("\n".join(record_lines(tree, {}, {})))[0].value("referral.problem")

    assert before == after
    assert before is not None or bad_character(typed, many_lines=True) is not None or is_blank(typed)


def test_the_command_writes_a_case_and_never_over_another(tmp_path: Path, capfdbinary: Any) -> None:
    """The text goes to standard output, or to a file that is not there yet."""
    file, out = tmp_path / "letter.pdf", tmp_path / "new" / "case.yaml"
    file.write_bytes(_holding(WHOLE))

    assert 0 == main(["start", "--from-referral", str(file)])
    shown = capfdbinary.readouterr().out
    assert 0 == main(["start", "--from-referral", str(file), "--out", str(out)])
    assert shown == out.read_bytes()
    out.write_text("mine", "utf-8")
    assert 1 == main(["start", "--from-referral", str(file), "--out", str(out)])
    assert "mine" == out.read_text("utf-8")
    assert 1 == main(["start", "--from-referral", str(tmp_path / "none.pdf")])


def test_the_reader_of_strangers_files_has_limits() -> None:
    """Memory, time and what it may write are bounded before it reads, whatever the parser bounds itself."""
    asked = "import resource as r, pdf_worker as w; w._limit(); "
    asked += "print(*(r.getrlimit(one)[0] for one in (r.RLIMIT_AS, r.RLIMIT_CPU, r.RLIMIT_FSIZE)))"
    call = [sys.executable, "-c", asked]
    done = subprocess.run(call, cwd=WORKER.parent, capture_output=True, text=True, check=True)

    assert f"{MOST_MEMORY} {MOST_SECONDS} 0" == done.stdout.strip()


def test_a_missing_parser_is_said(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Without the extra the message says what to install."""
    (tmp_path / "pypdf.py").write_text("raise ModuleNotFoundError(\"No module named 'pypdf'\")", "utf-8")
    monkeypatch.setenv("PYTHONPATH", str(tmp_path))

    assert ["extra-missing"] == _codes(lambda: read_referral(_holding(WHOLE), FOLDERS))


def test_a_digest_is_no_signature() -> None:
    """Whoever makes a file can make its mark: a right digest proves nothing but that no byte was lost."""
    forged = json.dumps({**WHOLE, "patient": {"family_name": "Nobody"}}).encode()
    mark = f"docgen case 1; referral; sha-256 {hashlib.sha256(forged).hexdigest()}"

    assert "NOBODY HAS PROVED WHO SENT IT" in read_referral(_file(forged, mark), FOLDERS)
