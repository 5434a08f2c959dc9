"""Small files made by hand, and what two checkers and a reader say of them."""

from __future__ import annotations

import io
import subprocess
from collections.abc import Mapping
from pathlib import Path
from typing import Any

import page as checker
from pypdf import PdfReader
from pypdf.generic import DictionaryObject

from docgen.render.pdf.file import Element, File, Page, Properties
from docgen.render.pdf.file.letters import write_letters
from tests.conftest import need_program

STANDARDS = (checker.ValidationProfile.PDF_UA_1, checker.ValidationProfile.PDF_A_3A)
PROPERTIES = Properties("Two pages", "en", author="Harrowmere Dental Surgery", program="docgen 1", day="2026-03-24")


class OneFont:
    """Fonts of a file that has one, with letters in their usual codes."""

    def __init__(self) -> None:
        self._references: dict[str, str] = {}

    def write(self, file: File) -> None:
        """Add the font."""
        self._references["F1"] = write_letters(file.objects)

    def resources(self) -> Mapping[str, str]:
        """Give the font."""
        return self._references


def new_file(properties: Properties = PROPERTIES) -> tuple[File, Page]:
    """Begin a file and its first page, A4."""
    file = File(properties, OneFont())
    return file, file.page(595.28, 841.89)


def write(page: Page, element: Element, text: str, y: float = 700) -> Element:
    """Write a line of an element."""
    page.put(element, f"BT /F1 12 Tf 1 0 0 1 50 {y} Tm ({text}) Tj ET".encode("cp1252"))
    return element


def faults(content: bytes) -> list[str]:
    """Give what PDF/UA-1 and PDF/A-3a have against a file."""
    reports = (checker.validate_pdf_bytes(content, profile=standard) for standard in STANDARDS)
    return [str(failure) for report in reports for failure in report.failures]


def syntax_faults(content: bytes, folder: Path) -> str:
    """Give what qpdf has against a file; empty if nothing."""
    path = folder / "checked.pdf"
    path.write_bytes(content)
    run = subprocess.run([need_program("qpdf"), "--check", str(path)], capture_output=True, check=False)
    return "" if run.returncode == 0 else (run.stdout + run.stderr).decode("utf-8", "replace")


def read(content: bytes) -> PdfReader:
    """Open a file."""
    return PdfReader(io.BytesIO(content), strict=True)


def catalog(content: bytes) -> DictionaryObject:
    """Give the catalog of a file."""
    return read(content).root_object


def tree_of(content: bytes) -> DictionaryObject:
    """Give the element that holds all."""
    root: Any = catalog(content)["/StructTreeRoot"]
    document: DictionaryObject = root["/K"].get_object()
    return document


def kids(element: DictionaryObject) -> list[Any]:
    """Give what stands directly below an element."""
    below: Any = element.get("/K", [])
    listed = below if isinstance(below, list) else [below]
    return [kid.get_object() for kid in listed]
