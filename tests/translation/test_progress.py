"""How far a translation is: each sentence a kind may print counts once, as translated, fuzzy or missing."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from docgen.cli import main
from docgen.language import key_of
from docgen.translation.catalog_file import write_catalog
from docgen.translation.progress import progress_of
from tests.translation.desk import catalog_of, kinds, language, messages, sentences


def test_every_needed_sentence_is_counted_in_one_column() -> None:
    """One translated, one fuzzy, one plural with forms missing; the rest is missing."""
    russian = language("ru")
    found = messages("ru", {})
    of_consent = [one for one in sentences() if one.kinds == {"consent"} and len(one.forms) == 1]
    by_key = {key_of(one): one for one in found}
    by_key[of_consent[0].key].string = "x"
    by_key[of_consent[1].key].string = "y"
    by_key[of_consent[1].key].flags.add("fuzzy")
    for one in found:
        if not isinstance(one.id, str):
            one.string = ("один", "", "много", "иного")
    counted = {one.kind: one for one in progress_of(russian, by_key, sentences(), kinds())}
    needed = {kind.name: sum(one.is_needed((kind,)) for one in sentences()) for kind in kinds()}

    assert needed == {name: one.needed for name, one in counted.items()}
    assert (1, 1) == (counted["consent"].translated, counted["consent"].fuzzy)
    assert needed["consent"] - 2 == counted["consent"].missing
    assert (0, 0) == (counted["reply"].translated, counted["reply"].fuzzy)


def test_the_command_prints_a_row_for_each_kind(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """As a table and as JSON, the same; a kind that the language does not offer is not asked for."""
    assert 0 == main(["translate", "start", "da", "--to", str(tmp_path), "--kinds", "aftercare"])
    sentence = next(one for one in sentences() if one.kinds == {"aftercare"})
    catalog_of(tmp_path, "da").write_bytes(write_catalog(messages("da", {sentence.forms[0]: "Dansk"}), language("da")))
    capsys.readouterr()

    assert 0 == main(["translate", "progress", "da", "--locales", str(tmp_path)])
    table = [line.split() for line in capsys.readouterr().out.splitlines()]
    assert 0 == main(["translate", "progress", "da", "--json", "--locales", str(tmp_path)])
    (row,) = json.loads(capsys.readouterr().out)["progress"]
    assert [
        ["language", "kind", "needed", "translated", "fuzzy", "missing"],
        [str(cell) for cell in row.values()],
    ] == table
    assert ("da", "aftercare", 1, row["needed"] - 1) == (
        row["language"],
        row["kind"],
        row["translated"],
        row["missing"],
    )


def test_a_language_that_nobody_began_is_named(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Asking for it is a fault; English needs no translation and is refused as well."""
    assert 1 == main(["translate", "progress", "da", "--locales", str(tmp_path)])
    assert "[language-missing]" in capsys.readouterr().err
    assert 1 == main(["translate", "progress", "en"])
    assert "[language-unknown]" in capsys.readouterr().err
