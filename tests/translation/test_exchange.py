"""An exchange file is XLIFF 2.0; out and back changes no byte, and what comes back wrong is named and left out."""

from __future__ import annotations

import os
import re
from functools import cache
from pathlib import Path

import pytest
from babel.messages.catalog import Message
from hypothesis import given
from hypothesis import strategies as st
from lxml import etree

from docgen.cli import main
from docgen.language import key_of
from docgen.problem import Refused
from docgen.translation.catalog_file import write_catalog
from docgen.translation.exchange import groups_of, plural_forms, unit_id, write_exchange
from docgen.translation.exchange_file import DEEPEST, LARGEST, NAMESPACE, Element, read_elements
from docgen.translation.exchange_reading import Exchange, Taken, Unit, read_exchange, take
from docgen.translation.inline import FORBIDDEN
from tests.translation.desk import accepted_by_gettext, catalog_of, entries_of, kinds, language, messages, sentences

SCHEMAS = Path("/usr/share/php/Symfony/Component/Translation/Resources/schemas")
"""Of the Debian package php-symfony-translation, which holds those of OASIS."""

NOTHING_DONE = "Your tooth: **%(tooth)s**. Nothing was done here."


class _Beside(etree.Resolver):
    """Finds the schema of xml: attributes beside the other; nothing is fetched."""

    def resolve(self, url: str, pubid: str, context: object) -> object:
        """Give the file of this name."""
        return self.resolve_filename(str(SCHEMAS / Path(url).name), context)


@cache
def schema() -> etree.XMLSchema:
    """Read the schema of OASIS; without it the test is skipped by name, but never where CI is true."""
    file = SCHEMAS / "xliff-core-2.0.xsd"
    if not file.is_file():
        if os.environ.get("CI") == "true":
            pytest.fail("the schema of XLIFF is not installed, and CI skips nothing")
        pytest.skip("needs the Debian package php-symfony-translation")
    parser = etree.XMLParser(no_network=True)
    parser.resolvers.add(_Beside())
    return etree.XMLSchema(etree.parse(file, parser))


def out(tag: str, said: dict[str, str]) -> bytes:
    """Write the exchange file of a catalog."""
    return write_exchange(groups_of(messages(tag, said), sentences(), kinds()), language(tag))


def back(content: bytes, tag: str, said: dict[str, str]) -> Taken:
    """Take an exchange file into a catalog."""
    return take(read_exchange(content, "x.xlf"), messages(tag, said), language(tag))


def entry(taken: Taken, sentence: str) -> Message:
    """Find an entry by its English."""
    return next(one for one in taken.messages if key_of(one)[1] == sentence)


def told(taken: Taken) -> list[tuple[str, str]]:
    """Give code and unit of each problem."""
    return [(one.code, one.path) for one in taken.problems]


@pytest.mark.parametrize("tag", ["es", "ar", "ru", "ja"])
def test_an_exchange_file_fits_the_schema(tag: str) -> None:
    """All kinds, with translations, plurals and both directions; the same catalog gives the same bytes."""
    said = {"You": "«Usted» & <co>", NOTHING_DONE: "Su pieza: **%(tooth)s**. Nada."}
    content = out(tag, said)

    schema().assertValid(etree.fromstring(content))
    assert content == out(tag, said)
    assert [*sorted(kind.name for kind in kinds()), "house"] == re.findall(r'<file id="([^"]+)"', content.decode())


def test_each_sentence_stands_once_with_its_notes() -> None:
    """Every unit has a name of its own, and what the translator's note in the catalog says."""
    root = etree.fromstring(out("es", {}))
    names = [unit.get("id") for unit in root.iter(f"{{{NAMESPACE}}}unit")]
    several = sum(len(one.forms) > 1 for one in sentences())
    notes = {
        unit.get("id"): [note.text for note in unit.iter(f"{{{NAMESPACE}}}note")]
        for unit in root.iter(f"{{{NAMESPACE}}}unit")
    }

    assert len(sentences()) + several == len(names) == len(set(names))
    assert [] == [name for name, held in notes.items() if not held]
    for one in sentences():
        held = notes[unit_id(one.key, 0 if len(one.forms) > 1 else None)]
        assert [*([one.context] if one.context else []), *one.notes] == held[: len(one.notes) + bool(one.context)]


def test_codes_are_protected() -> None:
    """A placeholder is one code, bold is a pair around its words; both say what they stand for."""
    text = out("es", {NOTHING_DONE: "Pieza **%(tooth)s**: nada."}).decode()
    (unit,) = re.findall(rf'<unit id="{unit_id((None, NOTHING_DONE))}">.*?</unit>', text)
    codes = '<originalData><data id="d1">**</data><data id="d2">%(tooth)s</data></originalData>'
    bold = re.search(r"<target>Pieza (<pc [^>]*>)(<ph [^>]*/>)</pc>: nada.</target>", unit)

    assert codes in unit
    assert bold is not None
    assert {'dataRefStart="d1"', 'dataRefEnd="d1"', 'type="fmt"', 'subType="xlf:b"'} < set(bold[1][:-1].split())
    assert {'dataRef="d2"', 'disp="%(tooth)s"', 'canDelete="no"'} < set(bold[2][:-2].split())
    assert 'state="translated"' in unit
    assert "{page}" not in re.sub(r'<data .*?</data>|disp=".*?"', "", text)


@pytest.mark.parametrize(
    ("tag", "forms"),
    [
        ("ja", ["0, 1, 2, 3, 4, 5, … (CLDR: other)"]),
        ("es", ["1 (CLDR: one)", "0, 2, 3, 4, 5, 6, … (CLDR: other)"]),
        ("ru", [
            "1, 21, 31, 41, 51, 61, … (CLDR: one)",
            "2, 3, 4, 22, 23, 24, … (CLDR: few)",
            "0, 5, 6, 7, 8, 9, … (CLDR: many)",
        ]),
        ("ar", [
            "0 (CLDR: zero)", "1 (CLDR: one)", "2 (CLDR: two)", "3, 4, 5, 6, 7, 8, … (CLDR: few)",
            "100, 101, 102, 200 (CLDR: other)", "11, 12, 13, 14, 15, 16, … (CLDR: many)",
        ]),
    ],
)  # fmt: skip
def test_a_plural_says_which_numbers_each_form_is_for(tag: str, forms: list[str]) -> None:
    """One unit a form: examples and the category of CLDR, by which translators know it."""
    plural = next(one for one in sentences() if len(one.forms) > 1)
    text = out(tag, {}).decode()
    units = [
        re.search(rf'<unit id="{unit_id(plural.key, n)}">.*?</unit>', text)
        for n in range(len(plural_forms(language(tag))))
    ]

    assert [f"for these numbers: {form}" for form in forms] == [
        note for unit in units if unit for note in re.findall(r'<note category="plural">(.*?)</note>', unit[0])
    ]


SAID = {"You": "Usted", NOTHING_DONE: "Su pieza: **%(tooth)s**. Nada se hizo.", "Born": "Nació"}


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """Give a Spanish catalog, part of it translated and one sentence fuzzy."""
    assert 0 == main(["translate", "start", "es", "--to", str(tmp_path)])
    found = messages("es", SAID)
    for one in found:
        if one.id == "Born":
            one.flags.add("fuzzy")
            one.previous_id = ["Was born"]
        if not isinstance(one.id, str):
            one.string = one.id
    catalog_of(tmp_path, "es").write_bytes(write_catalog(found, language("es")))
    return tmp_path


def test_out_and_back_changes_no_byte(folder: Path) -> None:
    """Through files and the command; a fuzzy entry stays fuzzy, with what it was."""
    file, catalog = folder / "es.xlf", catalog_of(folder, "es")
    before = catalog.read_bytes()
    assert 0 == main(["translate", "export", "es", "--in", str(folder), "--to", str(file)])
    assert 0 == main(["translate", "import", str(file), "--in", str(folder)])

    assert before == catalog.read_bytes()
    assert b'#| msgid "Was born"' in before


def test_a_changed_target_arrives(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """So does one for a sentence that had none; how many is said, and msgfmt takes the catalog."""
    file = folder / "es.xlf"
    assert 0 == main(["translate", "export", "es", "--in", str(folder), "--to", str(file)])
    text = file.read_text("utf-8").replace("<target>Usted</target>", '<target>Tú &amp; <mrk id="m">yo</mrk></target>')
    text = text.replace(
        '<segment state="initial"><source>Born</source><target>Nació</target>',
        '<segment state="translated"><source>Born</source><target>Fecha de nacimiento</target>',
    )
    file.write_text(text, "utf-8")
    capsys.readouterr()

    assert 0 == main(["translate", "import", str(file), "--in", str(folder)])
    entries = entries_of(folder, "es")
    assert "2 of them changed; 0 left out" in capsys.readouterr().err
    assert "Tú & yo" == entries[None, "You"].string
    assert ("Fecha de nacimiento", False, []) == (
        entries[None, "Born"].string,
        entries[None, "Born"].fuzzy,
        entries[None, "Born"].previous_id,
    )
    assert "" == accepted_by_gettext(catalog_of(folder, "es"))


def test_one_kind_alone_goes_out(folder: Path) -> None:
    """With the words that every kind may print; a kind the language does not offer is refused, and no file is lost."""
    file = folder / "one.xlf"
    export = ["translate", "export", "es", "--in", str(folder), "--to", str(file), "--kind"]
    assert 0 == main([*export, "aftercare"])
    content = file.read_bytes()
    needed = [one for one in sentences() if one.is_needed([kind for kind in kinds() if kind.name == "aftercare"])]

    schema().assertValid(etree.fromstring(content))
    assert ["aftercare", "house"] == re.findall(r'<file id="([^"]+)"', content.decode())
    assert len(needed) <= content.count(b"<unit ")
    assert 3 == main([*export, "letter"])
    assert 1 == main([*export, "consent"])
    assert content == file.read_bytes()


def _unit_of(sentence: str, target: str, *, source: str = "", state: str = "translated") -> Exchange:
    unit = Unit(unit_id((None, sentence)), source or sentence, target, state != "initial", 7)
    return Exchange("x.xlf", "es", (unit,))


@pytest.mark.parametrize(
    ("target", "fault"),
    [
        ("Su pieza: **%(diente)s**. Nada.", "placeholders differ"),
        ("Su pieza. Nada.", "placeholders differ"),
        ("Su pieza: **%(tooth)s**, %(tooth)s. Nada.", "placeholders differ"),
        ("Su pieza: %(tooth)s. Nada.", "marks of bold differ"),
        ("Su pieza: ** %(tooth)s **. Nada.", "a bold part is empty"),
        ("**** Su pieza: %(tooth)s. Nada.", "a bold part is empty"),
        ("Su pieza: **%(tooth)s**. Nada a las 5.", "the numbers differ"),
    ],
)
def test_a_translation_that_lost_something_is_not_taken(target: str, fault: str) -> None:
    """The unit and the sentence are named, and the catalog keeps what it had."""
    taken = take(_unit_of(NOTHING_DONE, target), messages("es", SAID), language("es"))
    (problem,) = taken.problems

    assert [("exchange-faulty", unit_id((None, NOTHING_DONE)))] == told(taken)
    assert NOTHING_DONE in problem.in_words()
    assert fault in problem.in_words()
    assert (0, 0, SAID[NOTHING_DONE]) == (taken.sentences, taken.changed, entry(taken, NOTHING_DONE).string)


@pytest.mark.parametrize(("sentence", "source"), [("Nobody prints this.", ""), ("You", "Thou")])
def test_an_older_sentence_is_named_and_not_taken(sentence: str, source: str) -> None:
    """Whether the templates have changed since, or somebody changed the English in the file."""
    taken = take(_unit_of(sentence, "Otra cosa", source=source), messages("es", SAID), language("es"))

    assert [("exchange-outdated", unit_id((None, sentence)))] == told(taken)
    assert (source or sentence) in next(iter(taken.problems)).in_words()
    assert (0, "Usted") == (taken.changed, entry(taken, "You").string)


def test_what_a_tool_calls_initial_is_fuzzy() -> None:
    """It is kept for the translator to go on with, and prints nowhere."""
    taken = take(_unit_of("You", "Usted mismo", state="initial"), messages("es", SAID), language("es"))

    assert ("Usted mismo", True) == (entry(taken, "You").string, entry(taken, "You").fuzzy)
    assert (1, []) == (taken.changed, told(taken))


def test_a_sentence_that_stands_twice_is_named() -> None:
    """The first is taken; the second cannot overwrite it unseen."""
    first, second = (_unit_of("You", words).units[0] for words in ("Usted mismo", "Tú"))
    taken = take(Exchange("x.xlf", "es", (first, second)), messages("es", SAID), language("es"))

    assert [("exchange-faulty", first.id)] == told(taken)
    assert "Usted mismo" == entry(taken, "You").string


def test_a_plural_is_taken_whole_or_not_at_all() -> None:
    """A form without translation would print nothing for its numbers, so its absence is named."""
    plural = next(one for one in sentences() if len(one.forms) > 1)
    units = [
        Unit(unit_id(plural.key, n), form, f"{form}", True, 1)
        for n, form in enumerate((plural.forms[0], plural.forms[1]))
    ]
    whole, half = (
        take(Exchange("x.xlf", "es", tuple(some)), messages("es", {}), language("es")) for some in (units, units[:1])
    )

    assert (plural.forms, []) == (entry(whole, plural.forms[0]).string, told(whole))
    assert (("", ""), [("exchange-faulty", units[0].id)]) == (entry(half, plural.forms[0]).string, told(half))
    assert units[1].id in next(iter(half.problems)).in_words()
    assert (0, 0) == (half.sentences, half.changed)


def _file(units: str, head: str = "", language: str = "es", version: str = "2.0") -> bytes:
    return (
        f'<?xml version="1.0"?>{head}<xliff xmlns="{NAMESPACE}" version="{version}" srcLang="en" trgLang="{language}">'
        f'<file id="f">{units}</file></xliff>'
    ).encode()


def _simple(target: str, data: str = "", sentence: str = "You") -> str:
    return (
        f'<unit id="{unit_id((None, sentence))}">{data}<segment state="translated"><source>{sentence}</source>'
        f"<target>{target}</target></segment></unit>"
    )


LAUGHS = '<!DOCTYPE x [<!ENTITY a "ha"><!ENTITY b "&a;&a;&a;&a;">]>'


@pytest.mark.parametrize(
    ("content", "why"),
    [
        (_file(_simple("&b;"), LAUGHS), "document type"),
        (_file(_simple("&b;"), '<!DOCTYPE x [<!ENTITY b SYSTEM "file:///etc/hostname">]>'), "document type"),
        (_file(_simple("x"), '<!DOCTYPE x SYSTEM "http://127.0.0.1/x.dtd">'), "document type"),
        (_file(_simple("&b;")), "no XML"),
        (_file(_simple("\x01")), "no XML"),
        (b"", "no XML"),
        (b"<xliff/>", "not XLIFF 2"),
        (_file(_simple("x"), version="1.2"), "not XLIFF 2"),
        (_file(_simple("x"), language=""), "translates out of en"),
        (_file("<group id='g'>" * DEEPEST + "</group>" * DEEPEST), "too deep"),
        (b" " * (LARGEST + 1), "megabytes"),
    ],
)
def test_a_file_that_is_not_what_it_says_is_refused(content: bytes, why: str) -> None:
    """Before anything in it is believed: no entity expands, nothing is fetched, nothing is kept of it."""
    with pytest.raises(Refused) as refused:
        read_exchange(content, "x.xlf")

    (problem,) = refused.value.problems
    assert "file-unreadable" == problem.code
    assert why in problem.in_words()


@pytest.mark.parametrize("tag", ["../../es", "/es", "fr"])
def test_the_language_of_a_file_is_no_path(folder: Path, tag: str, capsys: pytest.CaptureFixture[str]) -> None:
    """What a stranger wrote as the target language must be a language that was begun."""
    file = folder / "es" / "x.xlf"
    file.write_bytes(_file(_simple("x"), language=tag))

    assert 1 == main(["translate", "import", str(file), "--in", str(folder)])
    assert "[language-missing]" in capsys.readouterr().err


@pytest.mark.parametrize(
    ("target", "fault"),
    [
        ('<ph id="1" dataRef="d9"/>', "a code without originalData"),
        ('<ph id="1"/>', "a code without originalData"),
        ('<cp hex="0000"/>', "<cp>"),
        ('<b xmlns="urn:other">x</b>', "<urn:other b>"),
    ],
)
def test_what_no_sentence_can_hold_is_named(target: str, fault: str) -> None:
    """A code that lost its meaning, a control character, a stranger's element."""
    taken = back(_file(_simple(target)), "es", SAID)

    assert [("exchange-faulty", unit_id((None, "You")))] == told(taken)
    assert fault in next(iter(taken.problems)).in_words()
    assert "Usted" == entry(taken, "You").string


def test_what_tools_do_with_a_unit_is_understood() -> None:
    """They part it into segments, split pairs, set marks of their own and groups around units."""
    source = NOTHING_DONE
    data = '<originalData><data id="a">**</data><data id="b">%(tooth)s</data></originalData>'
    ours = '<sc id="1" dataRef="a"/><ph id="2" dataRef="b"/><ec startRef="1" dataRef="a"/>'
    unit = (
        f'<group id="g"><unit id="{unit_id((None, source))}">{data}'
        f'<segment state="final"><source>Your tooth: {ours}.</source><target>Su <sm id="3"/>pieza<em startRef="3"/>:'
        f" {ours}.</target></segment><ignorable><source> </source></ignorable>"
        '<segment state="reviewed"><source>Nothing was done here.</source><target>Nada.</target></segment>'
        "</unit></group>"
    )
    taken = back(_file(unit), "es", {})

    assert ([], "Su pieza: **%(tooth)s**. Nada.") == (told(taken), entry(taken, source).string)


PIECES = ("**", "%(a)s", "%(b)s", "{page}", "%%", "]]>", *"ab ×é؟ق\n\t\r*%(){}<>&\"'[]_\\0١\u00a0\u2028")
TEXTS = st.lists(st.sampled_from(PIECES), min_size=1).map("".join)


@given(TEXTS, TEXTS, st.one_of(st.none(), TEXTS))
def test_any_sentence_comes_back_to_the_letter(source: str, target: str, context: str | None) -> None:
    """Marks, quotes, blanks, ends of lines and broken pairs of bold, in source, target and context."""
    message = Message(source, target, context=context, auto_comments=["a <note>"])
    content = write_exchange({"house": [message]}, language("ar"))
    (unit,) = read_exchange(content, "x.xlf").units

    assert (source, target, True, "") == (unit.source, unit.target, unit.is_final, unit.fault)
    assert unit_id((context, source)) == unit.id


@given(st.text(min_size=1), st.text(min_size=1))
def test_any_text_comes_back_or_is_refused(source: str, target: str) -> None:
    """What XML cannot hold is refused with a name, never written wrong; all else comes back, and fits the schema."""
    message = Message(source, target)
    if FORBIDDEN.search(source + target):
        with pytest.raises(Refused) as refused:
            write_exchange({"house": [message]}, language("es"))
        assert ["catalog-faulty"] == [one.code for one in refused.value.problems]
        return
    content = write_exchange({"house": [message]}, language("es"))
    (unit,) = read_exchange(content, "x.xlf").units

    assert (source, target) == (unit.source, unit.target)
    schema().assertValid(etree.fromstring(content))


@given(st.binary(max_size=200))
def test_any_bytes_are_read_or_refused(content: bytes) -> None:
    """No file makes the program fail in another way."""
    try:
        found: object = read_elements(content, "x.xlf")
    except Refused as refused:
        found = [one.code for one in refused.problems]

    assert ["file-unreadable"] == found or isinstance(found, Element)
