"""A patient nobody could miss goes through every command: her name is in no log, message, file name or kept byte."""

from __future__ import annotations

import logging
import os
import shutil
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest
from conftest import EXAMPLES, ROOT

from docgen.cli import main
from tests.signing.pki import PASSWORD, authority, curve
from tests.signing.pki import issue as certified

NAME, BIRTHDAY, STREET = "Zzyzxcanary", "1911-11-19", "Quuxcanary Lane"
SECRETS = (NAME, NAME.upper(), NAME.lower(), BIRTHDAY, STREET)
CODES = [0, 0, 6, 0, 6, 1, 1, 1, 1, 0, 1, 1, 0, 4, 4, *[0] * 11]
"""What each route ends with: none of them is silent because it did nothing."""


@pytest.fixture
def clinic(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Set up a clinic of its own, with the patient in its case and every folder of the program below it."""
    home = tmp_path / "clinic"
    shutil.copytree(EXAMPLES / "fenwright", home)
    text = (home / "case.yaml").read_text("utf-8")
    for old, new in (("family_name: Fenwright", f"family_name: {NAME}"), ("Ms Fenwright", f"Ms {NAME}")):
        assert old in text
        text = text.replace(old, new)
    text = text.replace("2001-11-19", BIRTHDAY).replace("3 Mill Lane", f"3 {STREET}")
    (home / "case.yaml").write_text(text, "utf-8")
    for name in ("HOME", "XDG_CACHE_HOME", "XDG_DATA_HOME", "XDG_CONFIG_HOME", "TMPDIR"):
        (tmp_path / name).mkdir()
        monkeypatch.setenv(name, str(tmp_path / name))
    monkeypatch.setenv("DOCGEN_BY", "R. Desk")
    monkeypatch.chdir(home)
    return home


def _unsigned(home: Path) -> str:
    """Write the case without the signature of its note, for `sign`."""
    lines = (home / "case.yaml").read_text("utf-8").splitlines()
    start = next(number for number, line in enumerate(lines) if line.startswith("operation:"))
    kept = [
        line
        for number, line in enumerate(lines)
        if number < start or not line.startswith(("  signed_by", "  signed_at"))
    ]
    (home / "unsigned.yaml").write_text("\n".join(kept) + "\n", "utf-8")
    return "unsigned.yaml"


def _routes(home: Path) -> Iterator[list[str]]:
    """Name every command with what it can meet, faults among them."""
    on = ["--on", "2026-03-24"]
    yield ["check", "case.yaml", *on]
    yield ["make", "case.yaml", *on, "--kind", "reply", "--format", "pdf,docx,text,pack", "--out", "made"]
    yield ["make", "case.yaml", *on, "--kind", "reply", "--out", "case.yaml/made"]
    yield ["issue", "case.yaml", *on, "--kind", "reply,referral", "--out", "issued"]
    yield ["issue", "case.yaml", *on, "--kind", "reply", "--out", "case.yaml/issued"]
    yield ["issue", "case.yaml", *on, "--kind", "reply", "--supersedes", "9", "--reason", "corrected"]
    broken = (home / "case.yaml").read_text("utf-8").replace(f"family_name: {NAME}", f"family_name: [{NAME}]")
    (home / "broken.yaml").write_text(broken.replace(BIRTHDAY, "1911-11-99 " + NAME), "utf-8")
    yield ["check", "broken.yaml", *on]
    yield ["issue", "broken.yaml", *on]
    (home / "torn.yaml").write_text(f"patient: {{family_name: '{NAME}\n", "utf-8")
    yield ["issue", "torn.yaml", *on]
    key = certified("Maren Holt", curve(), authority().issuer).file(home)
    (home / "password").write_text(PASSWORD)
    words = ["--p12", str(key), "--password-file", "password", "--out", "signed"]
    yield ["sign", _unsigned(home), *words, "--as", "mh"]
    yield ["sign", "case.yaml", *words]
    yield ["countersign", "case.yaml", *words]
    issued = sorted((home / "issued").glob("*.pdf"))
    yield ["verify", str(issued[0])]
    (home / "changed.pdf").write_bytes(issued[0].read_bytes().replace(b"Type", b"Tyqe", 1))
    yield ["verify", "changed.pdf"]
    yield ["verify", "1", "--code", "AAAAAAAA"]
    yield ["register", "list", "--record", "HM-2026-0117"]
    yield ["register", "show", "1", "--out", "copies", "--accesses"]
    yield ["register", "pack", "1", "2", "--out", "packs"]
    yield ["register", "withdraw", "1", "--reason", "entered_in_error", "--words", f"{NAME} was told"]
    yield ["register", "show", "1", "--out", "marked", "--exchange"]
    yield ["register", "export"]
    yield ["register", "checkpoint"]
    yield ["start", "--from-referral", str(next((home / "issued").glob("*referral*.pdf"))), "--out", "new.yaml"]
    yield ["backup", "saved", "--with-key"]
    yield ["restore", "saved", "--data", "restored"]
    yield ["doctor"]


def test_no_command_tells_the_patients_name(
    clinic: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str], caplog: pytest.LogCaptureFixture
) -> None:
    """Messages, logs, file names, and what register, store and backup hold: the name is in none of them."""
    caplog.set_level(logging.DEBUG)
    told: dict[str, str] = {}
    codes: list[int] = []
    for words in _routes(clinic):
        code, said = _alone(words) if words[0] == "doctor" else (main(words), "")
        caught = capsys.readouterr()
        told[" ".join(words)] = f"{caught.err}\n{caught.out}\n{said}"
        codes.append(code)
    assert codes == CODES, [said for said, code in zip(told.values(), codes, strict=False) if code == 70]
    names = "\n".join(str(path.relative_to(tmp_path)) for path in tmp_path.rglob("*"))
    told |= {"file names": names, "logs": "\n".join(record.getMessage() for record in caplog.records)}

    assert [] == [(where, secret) for where, said in told.items() for secret in SECRETS if secret in said]
    assert [] == list(_kept_in_plain(tmp_path))
    assert [] == list((tmp_path / "TMPDIR").iterdir())


def _alone(words: list[str]) -> tuple[int, str]:
    """Run a command in a process of its own: a doctor looks at the process too, and this one has run other tests."""
    environment = {**os.environ, "PYTHONPATH": str(ROOT)}
    program = [sys.executable, "-m", "docgen", *words]
    done = subprocess.run(program, capture_output=True, text=True, env=environment)
    return done.returncode, done.stdout + done.stderr


def _kept_in_plain(folder: Path) -> Iterator[tuple[str, str]]:
    """Look into every byte that register, store, backup and caches keep."""
    kept = [folder / "XDG_DATA_HOME", folder / "XDG_CACHE_HOME", folder / "clinic/saved", folder / "clinic/restored"]
    for path in (one for place in kept for one in place.rglob("*") if one.is_file()):
        content = path.read_bytes()
        for secret in SECRETS:
            if secret.encode() in content or secret.encode("utf-16-le") in content:
                yield path.name, secret
