"""An issued document says its number, day and check code; one that is over says so; its words stay what they were."""

from __future__ import annotations

import subprocess
import sys
from collections.abc import Callable
from dataclasses import replace
from datetime import date
from functools import cache
from pathlib import Path

import pytest
import zxingcpp
from bidi import get_display
from conftest import ISSUED_ON, ROOT, example_files, shipped_world
from PIL import Image
from render.composed import documents
from render.samples import PATIENT, words

from docgen.blocks import MARK_CODES, Choice, Document, Mark, Section, Words, plain, printed_number
from docgen.compose.issued import Stamp, spoken, stamped, superseded, withdrawn, words_of
from docgen.generate import Wish, generate
from docgen.kept import from_bytes, to_bytes
from docgen.language import Catalog, Language, read_language
from docgen.problem import Problems, Refused
from docgen.render import text
from docgen.render.style import read_style
from docgen.shipped import shipped_folder

GOLDEN = Path(__file__).parent / "golden" / "issued"
WORLD = shipped_world()
STAMP = Stamp(42, "AB2D7FGH", date(2026, 3, 24), "ab" * 32)


@cache
def language(tag: str) -> Language:
    """Read a shipped language."""
    found = read_language(tag, WORLD.locales, Problems())
    assert found is not None
    return found


@cache
def composed(example: str, tag: str, *kinds: str) -> dict[str, Document]:
    """Compose documents of an example in a language; without a tag, in those of record and reader."""
    on = ISSUED_ON[example]
    copies = ("patient",) if tag == "ar" else ()
    wish = Wish(kinds, on=on, language=tag, formats=(), copies=copies)
    return dict(generate(example_files(example), wish, WORLD, lambda _zone: on).documents)


def languages_of(document: Document) -> list[Language]:
    """Read the languages of a document, as whoever stamps it does."""
    return [language(tag) for tag in spoken(document)]


def issued(document: Document, stamp: Stamp = STAMP) -> Document:
    """Stamp a document in its languages."""
    return stamped(document, stamp, languages_of(document))


def over(document: Document) -> Document:
    """Supersede and withdraw a document."""
    return withdrawn(superseded(document, 43, languages_of(document)), date(2026, 5, 3), languages_of(document))


def foot(document: Document) -> list[str]:
    """Give the lines of a foot; a narrow space is a space, and marks of direction are left out."""
    return _simple(document.furniture.foot)


def said(document: Document) -> list[str]:
    """Give what stands above the title of an issued document, likewise."""
    return _simple(document.furniture.issue.said)


def _simple(lines: tuple[Words, ...]) -> list[str]:
    texts = (plain(line) for line in lines)
    return [text.replace("\u202f", " ").replace("\u200e", "").replace("\u00a0", " ") for text in texts]


ISSUED = {
    "fenwright": ("en", ()),
    "holloway": ("ar", ("consent",)),
    "wexholm": ("es", ()),
    "solana": ("", ("consent", "referral")),
}
"""Examples whose issued documents are golden: English, Arabic in large print, Spanish, and one in two languages."""


@pytest.mark.parametrize("example", ISSUED)
def test_the_review_texts_of_issued_documents_are_golden(example: str, request: pytest.FixtureRequest) -> None:
    """Of each text that part which issuing changes: head and marks, and the foot; superseded and withdrawn as well."""
    style = read_style(shipped_folder("templates") / "_house")
    for name, document in composed(example, ISSUED[example][0], *ISSUED[example][1]).items():
        spoken_here, made = languages_of(document), issued(document)
        marked = {
            "issued": made,
            "superseded": superseded(made, 43, spoken_here),
            "withdrawn": withdrawn(made, date(2026, 5, 3), spoken_here),
        }
        shown = []
        for state, one in marked.items():
            short = replace(one, sections=(), origin=replace(one.origin, editions=(), settings=()))
            shown.append(f"{state}\n{text.render(short, style).decode()}")
        golden = GOLDEN / f"{name}.txt"
        if request.config.getoption("--accept"):
            golden.write_text("\n".join(shown), "utf-8")
        assert golden.read_text("utf-8") == "\n".join(shown), name


def test_the_foot_says_number_day_and_check_code_where_it_said_not_issued() -> None:
    """The other lines stay as they were, in their places; the copy is still said."""
    document = composed("fenwright", "en", "aftercare")["HM-2026-0117-aftercare-patient-en"]
    before, after = foot(document), foot(issued(document))
    line = "Number 000042, issued on 24 March 2026, check code AB2D 7FGH. Patient's copy."

    assert ["Not issued. Made on 24 March 2026. Patient's copy."] == [one for one in before if one not in after]
    assert [line if one.startswith("Not issued.") else one for one in before] == after


@pytest.mark.parametrize(
    ("example", "tag", "kind", "line"),
    [
        (
            "wexholm",
            "es",
            "referral",
            "Número 000042, emitido el 24 de marzo de 2026, código de verificación AB2D 7FGH.",
        ),
        ("holloway", "ar", "consent", "الرقم 000042، تاريخ الإصدار: 24 مارس 2026، رمز التحقق AB2D 7FGH. نسخة المريض."),
    ],
)
def test_the_foot_speaks_the_language_of_the_document(example: str, tag: str, kind: str, line: str) -> None:
    """Number and code are the same in each; the day is written as the language writes it."""
    for document in composed(example, tag, kind).values():
        assert [line] == [one for one in foot(issued(document)) if "000042" in one]


@pytest.mark.parametrize("code", ["2345ABCD", "AB2D7FGH", "22223333", "A2222333", "2222A333"])
def test_a_check_code_reads_from_left_to_right_in_arabic(code: str) -> None:
    """Digits alone would change places with the letters after them."""
    (document,) = composed("holloway", "ar", "consent").values()
    (line,) = (line for line in issued(document, replace(STAMP, code=code)).furniture.foot if "000042" in plain(line))
    shown = get_display(plain(line), base_dir="R").replace("\u200e", "")

    assert f"{code[:4]}\u202f{code[4:]}" in shown
    assert shown.index(code[:4]) < shown.index("000042")


def test_a_document_in_two_languages_says_it_in_both() -> None:
    """Above the title: the clinic's language first, then the reader's, which is marked as such; below, the clinic's."""
    document = composed("solana", "", "consent")["VC-2026-0061-consent-patient-en-es"]
    made = issued(document)

    assert ("en", "es") == spoken(document)
    assert ["Number 000042, issued on 24 March 2026, check code AB2D 7FGH. Patient's copy."] == [
        line for line in foot(made) if "000042" in line
    ]
    assert [
        "Number 000042, issued on 24 March 2026, check code AB2D 7FGH.",
        "Número 000042, emitido el 24 de marzo de 2026, código de verificación AB2D 7FGH.",
    ] == said(made)
    assert [{None}, {"es"}] == [{span.language for span in line} for line in made.furniture.issue.said]
    assert [
        Mark("superseded", "SUPERSEDED BY 000043", across="SUPERSEDED"),
        Mark("superseded", "SUSTITUIDO POR 000043", language="es"),
    ] == [mark for mark in superseded(made, 43, languages_of(made)).furniture.marks if mark.code == "superseded"]


@pytest.mark.parametrize(("example", "tag", "kind"), [("fenwright", "en", "consent"), ("holloway", "ar", "consent")])
def test_what_is_read_of_the_issue_is_no_part_of_the_words_it_is_a_code_of(example: str, tag: str, kind: str) -> None:
    """Number and code cannot be words of the document: it had none when they were made; nor can a mark of its end."""
    for document in composed(example, tag, kind).values():
        made = issued(document)
        assert words_of(document) == words_of(made) == words_of(over(made))
        assert made.furniture.issue == over(made).furniture.issue
        assert made == from_bytes(to_bytes(made))


@pytest.mark.parametrize(("number", "printed"), [(1, "000001"), (42, "000042"), (1234567, "1234567")])
def test_a_number_has_six_digits_at_least(number: int, printed: str) -> None:
    """A longer one is printed whole."""
    assert printed == printed_number(number) == issued(PATIENT, replace(STAMP, number=number)).furniture.issue.number


def test_the_day_of_issue_is_the_date_of_the_files() -> None:
    """Files carry the day they were issued, and the digest that the register ended in."""
    made = issued(PATIENT, replace(STAMP, on=date(2026, 4, 1)))

    assert "2026-04-01" == made.origin.issued_on
    assert ("AB2D7FGH", "ab" * 32) == (made.furniture.issue.code, made.furniture.issue.head)


def test_a_document_can_be_stamped_again() -> None:
    """A second stamp takes the place of the first: nothing of it is left."""
    document = composed("solana", "", "consent")["VC-2026-0061-consent-patient-en-es"]
    other = Stamp(7, "QQQQ2222", date(2026, 4, 30), "cd" * 32)

    assert issued(document, other) == issued(issued(document), other)


def test_a_document_without_the_line_gets_it_at_the_end_of_its_foot() -> None:
    """A foot that says nothing of an issue, such as one of an earlier program, still gets its number."""
    assert [*foot(PATIENT), "Number 000042, issued on 24 March 2026, check code AB2D 7FGH."] == foot(issued(PATIENT))


def test_marks_stand_in_the_order_of_the_page_and_once() -> None:
    """Filled marks first, then the outline of the unsigned copy; a mark that is set again replaces itself."""
    made = issued(PATIENT)
    spoken_here = languages_of(made)
    marked = withdrawn(superseded(superseded(made, 43, spoken_here), 44, spoken_here), date(2026, 5, 3), spoken_here)

    assert list(MARK_CODES) == [mark.code for mark in marked.furniture.marks]
    assert (
        Mark("superseded", "SUPERSEDED BY 000044", across="SUPERSEDED"),
        Mark("withdrawn", "WITHDRAWN (3\u00a0May 2026)", across="WITHDRAWN"),
    ) == marked.furniture.marks[2:4]
    assert [True, True, True, True, False] == [mark.filled for mark in marked.furniture.marks]


@pytest.mark.parametrize("tag", ["en", "es", ""])
def test_words_are_the_same_before_and_after_all_that_happens_to_a_document(tag: str) -> None:
    """Number, marks, and years in the store change no word of it; so its check code can be reckoned at any time."""
    for document in composed("solana", tag).values():
        said, spoken_here = words_of(document), languages_of(document)
        made = issued(document)
        later = (made, issued(document, replace(STAMP, number=999999)), superseded(made, 43, spoken_here))

        assert said
        for one in (*later, withdrawn(made, date(2026, 5, 3), spoken_here)):
            assert said == words_of(one) == words_of(from_bytes(to_bytes(one)))


def test_words_hold_the_title_the_person_and_every_section_and_nothing_of_the_page() -> None:
    """What is in the head, the foot and the marks is not among them."""
    lines = words_of(PATIENT).split("\n")

    assert [
        "Looking after yourself after surgery",
        "Orla Fenwright",
        "Born 19\u00a0November\u00a02001",
        "No. P-20417",
    ] == lines[:4]
    assert "[x] I took it" in lines
    assert "[ ] send later" in lines
    assert "Sketch of both jaws." in lines
    furniture = PATIENT.furniture
    for part in (plain(furniture.clinic), plain(furniture.contact), "UNSIGNED COPY", *map(plain, furniture.foot)):
        assert part not in lines


CHANGES: dict[str, Callable[[Document], Document]] = {
    "title": lambda one: replace(one, title=words("Other")),
    "person": lambda one: replace(one, furniture=replace(one.furniture, person=(words("Other"),))),
    "a section": lambda one: replace(one, sections=one.sections[:-1]),
    "the order": lambda one: replace(one, sections=one.sections[::-1]),
    "a tick": lambda one: replace(
        one, sections=(Section("C1", (), (Choice(words("Q"), (words("a"), words("b")), 1),)),)
    ),
    "no tick": lambda one: replace(one, sections=(Section("C1", (), (Choice(words("Q"), (words("a"), words("b"))),)),)),
}


def test_every_change_of_what_is_said_changes_the_words() -> None:
    """Another person, another tick, another order: another check code."""
    said = {name: words_of(change(PATIENT)) for name, change in CHANGES.items()}

    assert len(CHANGES) + 1 == len({words_of(PATIENT), *said.values()})


def decoded(rows: tuple[str, ...]) -> zxingcpp.Barcode:
    """Read a square code with a decoder that knows nothing of its maker."""
    side = len(rows) + 8
    image = Image.new("L", (side, side), 255)
    for y, row in enumerate(rows):
        for x, module in enumerate(row):
            image.putpixel((x + 4, y + 4), 0 if module == "1" else 255)
    (found,) = zxingcpp.read_barcodes(image.resize((side * 4, side * 4)))
    return found


@pytest.mark.parametrize("number", [1, 42, 999999, 1234567, 10**9, 10**14])
@pytest.mark.parametrize("code", ["AB2D7FGH", "22222222", "ZZZZZZZZ", "234567AB"])
def test_the_square_holds_number_and_check_code_and_nothing_else(number: int, code: str) -> None:
    """An independent decoder reads it; a quarter of it may be lost, and of long numbers a seventh at least."""
    issue = issued(PATIENT, replace(STAMP, number=number, code=code)).furniture.issue
    found = decoded(issue.square)

    assert (zxingcpp.BarcodeFormat.QRCode, f"{printed_number(number)} {code}") == (found.format, found.text)
    assert found.ec_level in ("M", "Q", "H")
    assert "Q" == found.ec_level or number > 9_999_999
    assert (21 if number < 10**11 else 25) == len(issue.square)


def test_another_encoder_makes_a_square_of_the_same_size() -> None:
    """Two encoders may choose another mask, and agree on version, level and text."""
    issue = issued(PATIENT).furniture.issue
    other = zxingcpp.create_barcode("000042 AB2D7FGH", zxingcpp.BarcodeFormat.QRCode, ec_level="Q")
    image = Image.fromarray(other.to_image(scale=1, add_quiet_zones=False))

    assert (len(issue.square), len(issue.square)) == image.size
    assert ("000042 AB2D7FGH", "Q") == (other.text, decoded(issue.square).ec_level)


def test_a_catalog_without_the_sentence_is_refused() -> None:
    """English words do not slip into a page of another language: a clinic's own catalog must say it."""
    found = language("es")
    entries = {key: forms for key, forms in found.catalog.entries.items() if "issued on" not in key[1]}
    lacking = replace(found, catalog=Catalog(entries, found.catalog.kinds, found.catalog.plural), missing={"old": None})
    document = composed("wexholm", "es", "referral")["WX-2026-0026-referral-es"]

    with pytest.raises(Refused) as refused:
        stamped(document, STAMP, [lacking])
    (problem,) = refused.value.problems
    assert "language-missing" == problem.code
    assert "es: Number %(number)s, issued on %(date)s" in problem.in_words()
    assert "old" not in problem.in_words()
    assert [mark.words for mark in superseded(document, 43, [lacking]).furniture.marks if mark.across] == [
        "SUSTITUIDO POR 000043"
    ]


def test_a_document_that_is_made_and_not_issued_loads_no_maker_of_square_codes(tmp_path: Path) -> None:
    """`docgen make` needs neither a register nor what it stands on, and templates of ours no Markdown library."""
    case = str(ROOT / "examples/fenwright/case.yaml")
    call = [
        sys.executable,
        "-X",
        "importtime",
        "-m",
        "docgen",
        "make",
        case,
        "--on",
        "2026-03-24",
        "--out",
        str(tmp_path),
    ]
    done = subprocess.run(call, cwd=ROOT, capture_output=True, text=True)
    loaded = {line.rpartition("|")[2].strip().split(".")[0] for line in done.stderr.splitlines() if "|" in line}

    assert 0 == done.returncode
    assert set() == loaded & {"segno", "sqlalchemy", "alembic", "cryptography", "pyhanko", "psycopg", "markdown_it"}


def test_no_document_that_is_not_issued_has_a_square() -> None:
    """`make` leaves no trace: no number, no code, no line that says issued."""
    for document in documents("fenwright").values():
        assert document.furniture.issue is None
        assert ["Not issued."] == [line[:11] for line in foot(document) if "ssued" in line]
