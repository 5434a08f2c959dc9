"""Checkpoints: what a register said once is held against it, and a lost tail or an old database shows."""

from __future__ import annotations

import json
import shutil
from dataclasses import replace
from datetime import datetime
from pathlib import Path

import pytest
from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey

from docgen.issue.checkpoint import Checkpoint, check_checkpoint, read_checkpoint
from docgen.issue.register import open_register
from issue.registers import Desk


def codes(desk: Desk, checkpoint: Checkpoint) -> list[str]:
    """Say what is wrong with a register by a checkpoint."""
    return [fault.code for fault in check_checkpoint(desk.register, checkpoint)]


def test_a_register_that_only_grew_agrees_with_every_checkpoint(desk: Desk) -> None:
    """From the empty register on."""
    checkpoints = []
    for _ in range(3):
        checkpoints.append(desk.register.checkpoint())
        desk.issued()

    assert [0, 2, 4] == [checkpoint.seq for checkpoint in checkpoints]
    assert [[], [], []] == [codes(desk, checkpoint) for checkpoint in checkpoints]


def test_a_checkpoint_is_text_that_comes_back(desk: Desk) -> None:
    """It can be kept anywhere: in a mail, on paper, in another system."""
    desk.issued()
    checkpoint = desk.register.checkpoint()

    assert checkpoint == read_checkpoint(checkpoint.as_text())
    assert checkpoint.as_text().isascii()
    assert checkpoint.is_signed


@pytest.mark.parametrize(
    "text", ["", "[]", "{}", "null", '{"form": "docgen checkpoint 1"}', "[" * 100_000, '{"form":"x","seq":1}']
)
def test_other_text_is_no_checkpoint(text: str) -> None:
    """It is refused as a whole."""
    with pytest.raises(ValueError, match=r".*"):
        read_checkpoint(text)


def test_a_checkpoint_with_a_wrong_or_further_field_is_none(desk: Desk) -> None:
    """Nothing stands in it that is not signed."""
    told = json.loads(desk.register.checkpoint().as_text())
    for change in ({"seq": "1"}, {"seq": True}, {"digest": 1}, {"further": "x"}):
        with pytest.raises(ValueError, match="no checkpoint"):
            read_checkpoint(json.dumps({**told, **change}))


def test_every_word_of_a_checkpoint_is_signed(desk: Desk) -> None:
    """A changed one is forged, and so is one signed by another key."""
    desk.issued()
    checkpoint = desk.register.checkpoint()
    other = Ed25519PrivateKey.generate()
    bare = replace(checkpoint, public_key=other.public_key().public_bytes_raw().hex())
    resigned = replace(bare, signature=other.sign(bare.statement).hex())
    forged = [
        replace(checkpoint, register="0" * 32),
        replace(checkpoint, seq=1),
        replace(checkpoint, digest="0" * 64),
        replace(checkpoint, at="2026-01-01T00:00:00.000000+00:00"),
        replace(checkpoint, public_key="00"),
        replace(checkpoint, signature="00" * 64),
        replace(checkpoint, signature="no hex"),
    ]

    assert {("checkpoint-forged",)} == {tuple(codes(desk, one)) for one in forged}
    assert resigned.is_signed
    assert codes(desk, resigned) == ["checkpoint-forged"]


def test_a_checkpoint_of_another_register_is_foreign(desk: Desk, tmp_path: Path) -> None:
    """It says nothing about this one."""
    with open_register(f"sqlite:///{tmp_path / 'other.sqlite'}", desk.master, desk.clock) as other:
        assert codes(desk, other.checkpoint()) == ["checkpoint-foreign"]


def test_an_old_database_put_back_is_seen(made_sqlite: Path, tmp_path: Path, desk: Desk) -> None:
    """Its chain is whole; only the checkpoint knows that there was more, even after it has grown again."""
    path, old = tmp_path / "r.sqlite", tmp_path / "old.sqlite"
    shutil.copyfile(made_sqlite, path)
    with Desk(f"sqlite:///{path}", desk.master) as now:
        now.issued()
        now.run("PRAGMA wal_checkpoint(TRUNCATE)")
        shutil.copyfile(path, old)
        now.issued("lost")
        checkpoint = now.register.checkpoint()
    for one in tmp_path.glob("r.sqlite*"):
        one.unlink()
    shutil.copyfile(old, path)
    with Desk(f"sqlite:///{path}", desk.master) as back:
        assert back.codes == []
        assert codes(back, checkpoint) == ["chain-shorter"]
        back.clock.moment = datetime.fromisoformat(checkpoint.at)
        back.issued("another")
        assert back.codes == []
        assert codes(back, checkpoint) == ["chain-rewritten"]
