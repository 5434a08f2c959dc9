"""Reads the words back out of a PDF, a Word file and a review text, each by its own means."""

import io
import re
import zipfile
from collections import Counter
from collections.abc import Callable, Iterator, Set
from dataclasses import replace
from itertools import pairwise
from typing import Any

from lxml import etree
from pypdf import PdfReader

from docgen.blocks import Block, Danger, Document, Figure, Section, Span, Table, Together, Words, plain
from docgen.render.words import PrintedWords, document_words, split_words
from tests.render.spoken import caption_of
from tests.render.tree import fold, read_tagged

W = "{http://schemas.openxmlformats.org/wordprocessingml/2006/main}"
R = "{http://schemas.openxmlformats.org/officeDocument/2006/relationships}"


def page_words(pdf: bytes) -> list[tuple[str, ...]]:
    """Give the words of each page of a PDF, in the order of its content."""
    texts = [page.extract_text() for page in PdfReader(io.BytesIO(pdf)).pages]
    return [split_words([text.replace(" \u060c", "\u060c ")]) for text in texts]  # pypdf turns an Arabic comma round


_SIGN = re.compile(r"(?<=\S)\s+(?=[\u060c\u061b:](?:\s|$))")
"""The blank that a reader sees between an Arabic word of a drawing and the sign that ends it: two objects, one word."""

PageReader = Callable[[bytes], list[tuple[str, ...]]]
"""Gives the words of each page of a PDF."""


def pdf_words(pdf: bytes, document: Document, read: PageReader = page_words) -> PrintedWords:
    """
    Take head and foot off each page, and table heads that a new page repeats; what is left is the body.

    Where a figure is drawn, the words on it stand in place of its sentences: they are read, and the sentences given.
    """
    printed, known = document_words(as_drawn(document, pdf)), document_words(document)
    body = _without_furniture([_rejoined(page, printed) for page in read(pdf)], printed, document, tuple)
    return PrintedWords(known.head, known.running_head, known.body if body == printed.body else body, known.foot)


def as_drawn(document: Document, pdf: bytes) -> Document:
    """Give a document whose figures have for sentences the words on them and their caption, where the PDF draws."""
    if not any(_figures(document)):
        return document
    labels = {
        fold(elem.alt or ""): _SIGN.sub("", " ".join(elem.pieces)) for elem in read_tagged(pdf).root.below("Figure")
    }
    return replace(document, sections=tuple(_section_as_drawn(section, labels) for section in document.sections))


def _figures(part: Document | Danger | Together) -> Iterator[Figure]:
    for block in part.blocks:
        if isinstance(block, Figure):
            yield block
        if isinstance(block, Danger | Together):
            yield from _figures(block)


def _section_as_drawn(section: Section, labels: dict[str, str]) -> Section:
    return replace(section, blocks=tuple(_block_as_drawn(block, labels) for block in section.blocks))


def _block_as_drawn(block: Block, labels: dict[str, str]) -> Block:
    if isinstance(block, Danger | Together):
        return replace(block, blocks=tuple(_block_as_drawn(inner, labels) for inner in block.blocks))
    text = labels.get(fold(plain(block.alt))) if isinstance(block, Figure) else None
    if not isinstance(block, Figure) or text is None:
        return block
    return replace(block, instead=((Span(text),), caption_of(block)))


def _rejoined(page: tuple[str, ...], known: PrintedWords) -> tuple[str, ...]:
    """Put words together again that a line broke where it may: after a hyphen, beside a slash."""
    parts = ((*known.head, *known.body), known.running_head, known.foot)
    whole = {word for part in parts for word in part}
    apart = {pair for part in parts for pair in pairwise(part)}  # "& :" stays two words where "&:" is one elsewhere
    words: list[str] = []
    for word in page:
        for count in range(min(3, len(words)), 0, -1):
            tail = words[-count:]
            ends = all(not one[-1].isalnum() for one in tail) or not word[0].isalnum()
            if "".join((*tail, word)) in whole and ends and not apart.issuperset(pairwise((*tail, word))):
                words[-count:] = ["".join((*tail, word))]
                break
        else:
            words.append(word)
    return tuple(words)


def pdf_letters(pdf: bytes, document: Document, read: PageReader = page_words) -> str:
    """Give the body without any space: words that a line had to cut are whole again."""
    printed, known = document_words(as_drawn(document, pdf)), document_words(document)
    body = _without_furniture(["".join(words) for words in read(pdf)], printed, document, "".join)
    return "".join(known.body) if body == "".join(printed.body) else body


def _without_furniture(pages: list[Any], known: PrintedWords, document: Document, made: Callable[..., Any]) -> Any:
    """
    Compare the head and foot of each page and give the rest; pages are tuples of words, or strings of letters.

    A page may repeat the head of a table or the band of a danger box that the page before began.
    """
    heads = [made(split_words(map(plain, words))) for words in _repeated(document)]
    first, whole, body = made(known.head), made((*known.head, *known.body)), made(())
    for number, words in enumerate(pages, 1):
        line = document.furniture.page.replace("{page}", str(number)).replace("{pages}", str(len(pages)))
        head = made(known.running_head if number > 1 else ())
        foot = made((*known.foot, *split_words([line])))
        assert head == words[: len(head)]
        assert foot == words[len(words) - len(foot) :]
        inner = words[len(head) : len(words) - len(foot)]
        for repeated in heads if number > 1 else []:
            if repeated and inner[: len(repeated)] == repeated and inner != whole[len(body) : len(body) + len(inner)]:
                inner = inner[len(repeated) :]
                break
        body += inner
    assert first == body[: len(first)]
    return body[len(first) :]


def _repeated(part: Document | Danger | Together) -> Iterator[tuple[Words, ...]]:
    """Give what a page may repeat."""
    for block in part.blocks:
        if isinstance(block, Table):
            yield block.header
        if isinstance(block, Danger):
            yield (block.title,)
        if isinstance(block, Danger | Together):
            yield from _repeated(block)


def docx_words(content: bytes, document: Document | None = None) -> PrintedWords:
    """
    Read the parts of a Word file: body, heads of the first and the other pages, foot without its page line.

    What a figure of the document says of itself is read too; the strips of a table say what its numbers say.
    """
    figures = {fold(plain(figure.alt)) for figure in _figures(document)} if document else set()
    with zipfile.ZipFile(io.BytesIO(content)) as package:
        parts = {name: etree.fromstring(package.read(name)) for name in package.namelist() if name.endswith(".xml")}
        links = etree.fromstring(package.read("word/_rels/document.xml.rels"))
    numbers = _ordered(parts["word/numbering.xml"])
    targets = {link.get("Id"): f"word/{link.get('Target')}" for link in links}
    main = parts["word/document.xml"]
    furniture = {
        (etree.QName(reference).localname, reference.get(f"{W}type")): _words(
            parts[targets[reference.get(f"{R}id")]], {}
        )
        for reference in main.iter(f"{W}headerReference", f"{W}footerReference")
    }
    assert furniture["footerReference", "first"] == furniture["footerReference", "default"]
    return PrintedWords(
        furniture["headerReference", "first"],
        furniture["headerReference", "default"],
        _words(main[0], numbers, figures),
        furniture["footerReference", "default"],
    )


def _ordered(numbering: etree._Element) -> dict[str, bool]:
    kinds = {
        one.get(f"{W}abstractNumId"): one.find(f".//{W}numFmt").get(f"{W}val")
        for one in numbering.iter(f"{W}abstractNum")
    }
    return {
        one.get(f"{W}numId"): kinds[one.find(f"{W}abstractNumId").get(f"{W}val")] == "decimal"
        for one in numbering.iter(f"{W}num")
    }


def _words(part: etree._Element, ordered: dict[str, bool], figures: Set[str] = frozenset()) -> tuple[str, ...]:
    """Read paragraphs in the order of the file; count numbered ones as Word does; a figure is its own words."""
    counted: Counter[str] = Counter()
    texts = []
    for paragraph in part.iter(f"{W}p"):
        style = paragraph.find(f"{W}pPr/{W}pStyle")
        if style is not None and style.get(f"{W}val") in ("PageLine", "FigureCaption"):
            continue
        number = paragraph.find(f"{W}pPr/{W}numPr/{W}numId")
        pictures = (picture.get("descr") for picture in paragraph.iter("{*}docPr"))
        text = " ".join(words for words in pictures if fold(words) in figures)
        if number is not None and ordered[number.get(f"{W}val")]:
            counted[number.get(f"{W}val")] += 1
            text = f"{counted[number.get(f'{W}val')]}. "
        for piece in paragraph.iter(f"{W}t", f"{W}br", f"{W}tab"):
            if piece.getparent().find(f"{W}rPr/{W}rStyle[@{W}val='PageNumber']") is not None:
                continue
            in_run = piece.getparent().tag == f"{W}r"
            text += (piece.text or "") if piece.tag == f"{W}t" else " " if in_run else ""
        texts.append(_read_out(text))
    return split_words(texts)


def text_words(content: bytes) -> PrintedWords:
    """Read a review text: its marks say what stands where."""
    parts: dict[str, list[str]] = {"HEAD": [], "FOOT": [], "PAGE": [], "IMAGE": [], "LABEL": [], "ALT": [], "body": []}
    mark = ""
    for line in content.decode().split("\n")[1:]:
        found = re.match(r"^(?:  )?([A-Z]+[0-9]?)(?: |$)", line)
        text = line[found.end() :] if found else line
        if found:
            mark = found[1]
        if found and mark == "SEC":
            text = text.partition("│")[2]
        parts.get(mark, parts["body"]).append(_read_out(text.replace("│", " ").replace("↵", " ")))
    return PrintedWords(split_words(parts["HEAD"]), (), split_words(parts["body"]), split_words(parts["FOOT"]))


def _read_out(text: str) -> str:
    return text.replace("☐", "[ ] ").replace("☒", "[x] ")
