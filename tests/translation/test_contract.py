"""A catalog is whole and true to its source: each thing a translation can lose is found, and a good one passes."""

from __future__ import annotations

import gettext

import pytest
from babel import Locale
from conftest import shipped_world

from docgen.kinds import DocumentKind, read_kind
from docgen.language import Language, read_catalog, read_description
from docgen.problem import Problems, Refused
from docgen.translation.catalog_file import merged, plural_rule, read_entries, write_catalog
from docgen.translation.contract import catalog_faults, sentence_faults
from docgen.translation.sentences import Sentence

DESCRIBED = b"""name: espanol
direction: ltr
date: d MMMM y
day: EEEE d MMMM y
time: HH:mm
quotation: ["\xc2\xab", "\xc2\xbb"]
"""


@pytest.fixture(scope="module")
def spanish() -> Language:
    """Give a language with the rules of Spanish and no sentence yet."""
    described, lacking = read_description("es", DESCRIBED)
    assert described is not None, lacking
    return Language("es", described, read_catalog(b'msgid ""\nmsgstr ""\n'))


@pytest.mark.parametrize(
    ("source", "translated", "fault"),
    [
        ("Take %(dose)s mg.", "Tome %(cantidad)s mg.", "placeholders"),
        ("Page {page} of {pages}", "Página {page}", "placeholders"),
        ("Call **%(phone)s** now.", "Llame ya al %(phone)s.", "marks of bold"),
        ("- heavy bleeding", "sangrado abundante", "marks of a list or heading"),
        ("by ", "por", "spaces at the ends"),
        ("Take 500 mg.", "Tome 50 mg.", "the numbers"),
        ("out of 1,000 people", "de cada 10.000 personas", "the numbers"),
        ("Take 500 mg.", "Tome 500 mL.", "units"),
        ("Call 0800 555 010.", "Llame al 0800 555 011.", "telephone numbers"),
        ("See https://a.example/x.", "Vea https://a.example/y.", "addresses"),
        ("Do you smoke now?", "Usted fuma ahora.", "closing marks"),
        ("the label says “one”", "la etiqueta dice \"uno\"", "its quotation marks are not those of language.yaml"),
        ("left tooth", "diente \u200fizquierdo", "it holds a mark of direction or a character without width"),
    ],
)  # fmt: skip
def test_what_a_translation_loses_is_named(source: str, translated: str, fault: str, spanish: Language) -> None:
    """Each thing that a machine can hold has its own words."""
    found = [one.in_words() for one in sentence_faults(source, translated, spanish)]

    assert any(fault in one for one in found), found


@pytest.mark.parametrize(
    ("source", "translated"),
    [
        ("Dear %(patient)s,", "Estimado/a %(patient)s:"),
        ("No.", "N.º"),
        ("about 1,000 people", "cerca de 1.000 personas"),
        ("about 1,000 people", "cerca de 1000 personas"),
        ("Take 1.5 mL of “%(drug)s”.", "Tome 1,5 mL de «%(drug)s»."),
        ("%(percent)s per cent", "%(percent)s %%"),
        ("**Caution:** %(text)s", "**Precaución:** %(text)s"),
    ],
)
def test_a_true_translation_passes(source: str, translated: str, spanish: Language) -> None:
    """What languages rightly write in another way is no fault."""
    assert [] == [one.in_words() for one in sentence_faults(source, translated, spanish)]


def _sentence(text: str, *more: str) -> Sentence:
    return Sentence(None, (text, *more), ("a note",), ("templates/consent/body.md.j2",))


def _catalog(spanish: Language, *told: tuple[Sentence, tuple[str, ...]]) -> bytes:
    entries = []
    for sentence, forms in told:
        (entry,) = merged({}, (sentence,), _kinds(), spanish)
        entry.string = forms if len(forms) > 1 else forms[0]
        entries.append(entry)
    return write_catalog(entries, spanish)


def _kinds() -> list[DocumentKind]:
    kind = read_kind("consent", shipped_world().templates, Problems())
    assert kind is not None
    return [kind]


def _faults(content: bytes, sentences: list[Sentence], spanish: Language) -> list[str]:
    return [one.in_words() for one in catalog_faults(content, "docgen.po", sentences, _kinds(), spanish)]


def test_a_whole_catalog_has_no_fault(spanish: Language) -> None:
    """Header, forms and notes as the program writes them are what it asks for."""
    one, many = _sentence("Your tooth"), _sentence("%(n)s day", "%(n)s days")
    content = _catalog(spanish, (one, ("Su diente",)), (many, ("%(n)s día", "%(n)s días")))

    assert [] == _faults(content, [one, many], spanish)


@pytest.mark.parametrize(
    ("old", "new", "fault"),
    [
        (b"charset=UTF-8", b"charset=ISO-8859-1", "the header must name the character set UTF-8"),
        (b"Language: es", b"Language: fr", "the header must name the language es"),
        (b"plural=(n != 1)", b"plural=(n > 1)", "the header must have the plural forms of CLDR"),
        (b"#. a note\n", b"", "it has no note for the translator"),
        (b"#: templates", b"#, fuzzy\n#: templates", "it is fuzzy"),
        (b'msgstr "Su diente"', b'msgstr ""', "it has no translation"),
        (b'msgid "Your tooth"', b'msgid "Your jaw"', "it is not in the catalog"),
        (b'msgid "Your tooth"', b'msgid "Your jaw"', "no document prints it"),
        (b'msgid "Your tooth"', b'#~ msgid "old"\n#~ msgstr "viejo"\n\nmsgid "Your tooth"', "is obsolete"),
    ],
)
def test_a_catalog_that_is_not_whole_is_told(old: bytes, new: bytes, fault: str, spanish: Language) -> None:
    """Each gap of header and entries is found."""
    one = _sentence("Your tooth")
    content = _catalog(spanish, (one, ("Su diente",)))
    assert old in content

    found = _faults(content.replace(old, new, 1), [one], spanish)

    assert any(fault in words for words in found), found


def test_what_is_no_catalog_is_refused_with_its_line(spanish: Language) -> None:
    """A broken file names the line."""
    with pytest.raises(Refused) as refused:
        _faults(b'msgid ""\nmsgstr ""\n\nmsgid "a\n', [], spanish)

    (problem,) = refused.value.problems
    assert ("file-unreadable", "docgen.po") == (problem.code, problem.place.file if problem.place else "")


def test_a_changed_sentence_becomes_fuzzy_and_a_dead_one_goes(spanish: Language) -> None:
    """Merging keeps what is true, offers what was near, and drops what no document prints."""
    old = _sentence("Do not rinse on the first day."), _sentence("Old news."), _sentence("Bleeding")
    content = _catalog(
        spanish, (old[0], ("No se enjuague el primer día.",)), (old[1], ("Viejo.",)), (old[2], ("Sangrado",))
    )
    today = [_sentence("Do not rinse on the first two days."), _sentence("Bleeding")]

    changed, kept = merged(read_entries(content, "docgen.po"), today, _kinds(), spanish)

    assert (True, "No se enjuague el primer día.") == (changed.fuzzy, changed.string)
    assert ["Do not rinse on the first day."] == changed.previous_id
    assert (False, "Sangrado") == (kept.fuzzy, kept.string)


def test_writing_what_was_read_changes_no_byte(spanish: Language) -> None:
    """A merge without news leaves the file as it is."""
    one, many = _sentence("Your tooth"), _sentence("%(n)s day", "%(n)s days")
    content = _catalog(spanish, (one, ("Su diente",)), (many, ("%(n)s día", "%(n)s días")))

    again = write_catalog(merged(read_entries(content, "docgen.po"), [one, many], _kinds(), spanish), spanish)

    assert content == again


@pytest.mark.parametrize(("tag", "number"), [("es", 2), ("ar", 6), ("pl", 3), ("zh", 1)])
def test_plural_forms_are_those_of_cldr(tag: str, number: int) -> None:
    """The rule in the header chooses as CLDR's data does, for every whole number to 1,000 (Babel's copy of CLDR)."""
    described, _ = read_description(tag, DESCRIBED)
    assert described is not None
    language = Language(tag, described, read_catalog(b'msgid ""\nmsgstr ""\n'))
    forms, expression = plural_rule(language)
    chosen = gettext.c2py(expression)
    by_rule: dict[str, set[int]] = {}
    for whole in range(1001):
        by_rule.setdefault(Locale(tag).plural_form(whole), set()).add(chosen(whole))

    assert number == forms
    assert all(len(places) == 1 for places in by_rule.values())
    assert len(by_rule) == len({place for places in by_rule.values() for place in places})
