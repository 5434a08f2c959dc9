"""A language is begun from its tag alone: what CLDR knows of it stands in its folder, and no Python is written."""

from __future__ import annotations

from datetime import date, time
from pathlib import Path

import pytest
from babel import Locale
from conftest import shipped_world

from docgen.cli import main
from docgen.language import language_names, name_of, read_language
from docgen.problem import Problems, Refused
from docgen.readability import index_names
from docgen.translation.begin import begin_language
from tests.translation.desk import accepted_by_gettext, catalog_of, entries_of, kinds, language, sentences

TAGS = (
    "ar",
    "da",
    "de",
    "es",
    "fa",
    "fr",
    "hi",
    "hu",
    "it",
    "ja",
    "pl",
    "pt-BR",
    "ru",
    "sr-Latn",
    "ta",
    "th",
    "vi",
    "zh-Hant",
)


@pytest.mark.parametrize("tag", TAGS)
def test_the_description_of_a_language_is_whole(tag: str) -> None:
    """Name and direction are CLDR's, a date holds day, month and year, and the clock has 24 hours."""
    one, locale = language(tag), Locale.parse(tag, sep="-")
    day = one.date(date(2026, 3, 9)).replace("\u00a0", " ")

    assert locale.get_display_name(locale) == one.description.name
    assert {"right-to-left": "rtl", "left-to-right": "ltr"}[locale.character_order] == one.direction
    assert locale == one.locale
    assert "9" in day
    assert "2026" in day
    assert locale.months["format"]["wide"][3] in day or locale.months["stand-alone"]["wide"][3] in day
    assert len(day) < len(one.date(date(2026, 3, 9), weekday=True))
    assert one.time(time(15, 7)).startswith("15")
    assert all(one.description.offers(kind.name) for kind in kinds())


@pytest.mark.parametrize("tag", ["th", "fa", "ja", "zh-Hant"])
def test_no_era_stands_in_a_date(tag: str) -> None:
    """CLDR writes one for some calendars; our years are those of the common era."""
    assert "G" not in language(tag).description.date
    assert "G" not in language(tag).description.day


@pytest.mark.parametrize("tag", ["xx", "en", "../es", "es/..", "", "es-", "klingon", "en-XA"])
def test_a_tag_that_is_no_language_is_refused(tag: str) -> None:
    """It is named, and no folder is made of it."""
    with pytest.raises(Refused) as refused:
        begin_language(tag, (), (), ())

    assert ["language-unknown"] == [one.code for one in refused.value.problems]


def test_the_indices_the_table_has_are_named() -> None:
    """The translator need not look into the tables; none is chosen for a language without one."""
    indices = index_names(shipped_world().tables)
    text = begin_language("da", ("consent",), indices, ("left", "right")).decode()

    assert all(name in text for name in indices)
    assert "#  left: []" in text
    assert "\nreadability: none\n" in text


def test_a_folder_is_all_a_language_needs(tmp_path: Path) -> None:
    """Its catalog holds the sentences of the kinds it is for, each with a note and without a translation."""
    assert 0 == main(["translate", "start", "da", "--to", str(tmp_path), "--kinds", "consent,aftercare"])
    problems = Problems()
    danish = read_language("da", [tmp_path], problems)
    wanted = {
        one.key for one in sentences() if one.is_needed([k for k in kinds() if k.name in ("consent", "aftercare")])
    }

    assert danish is not None
    assert () == tuple(problems)
    assert ("da",) == language_names([tmp_path])
    assert (True, False) == (danish.description.offers("consent"), danish.description.offers("reply"))
    assert wanted == entries_of(tmp_path, "da").keys()
    assert {} == danish.catalog.entries
    assert [] == [key for key, one in entries_of(tmp_path, "da").items() if not one.auto_comments]
    assert "" == accepted_by_gettext(catalog_of(tmp_path, "da"))


def test_what_is_begun_is_not_written_over(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """A second start leaves every byte alone, whichever of the two files is there."""
    start = ["translate", "start", "da", "--to", str(tmp_path)]
    assert 0 == main(start)
    catalog, described = catalog_of(tmp_path, "da"), tmp_path / "da" / "language.yaml"
    described.write_text("name: mine\n", "utf-8")
    before = catalog.read_bytes()

    assert 1 == main(start)
    assert "[file-exists]" in capsys.readouterr().err
    assert ("name: mine\n", before) == (described.read_text("utf-8"), catalog.read_bytes())
    described.unlink()
    assert 1 == main(start)
    assert not described.exists()


def test_a_kind_that_is_none_begins_nothing(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """The name is refused before a folder is made."""
    assert 3 == main(["translate", "start", "da", "--to", str(tmp_path / "new"), "--kinds", "consent,letter"])
    assert "[kind-unknown]" in capsys.readouterr().err
    assert not (tmp_path / "new").exists()


@pytest.mark.parametrize(("tag", "name"), [("es", "Spanish"), ("rom", "Romany"), ("en-XA", "en-XA"), ("hmn", "Hmong")])
def test_every_language_has_a_name_to_print(tag: str, name: str) -> None:
    """CLDR names more languages than it describes; a reader of one of these gets a document, not a crash."""
    assert name == name_of(tag, Locale("en"))
