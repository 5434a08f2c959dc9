"""
The field a first signature leaves to a second one > how a PDF says so, and which changes of a PDF are ours at all.

Apart from signing and checking, because what the one writes the other must find, to the letter.
"""

from __future__ import annotations

from collections.abc import Iterable

from pyhanko.pdf_utils import generic
from pyhanko.pdf_utils.incremental_writer import IncrementalPdfFileWriter
from pyhanko.pdf_utils.reader import PdfFileReader
from pyhanko.sign.diff_analysis import (
    CatalogModificationRule,
    DSSCompareRule,
    FormUpdatingRule,
    ModificationLevel,
    SigFieldModificationRule,
    StandardDiffPolicy,
    XrefStreamRule,
)
from pyhanko.sign.fields import FieldMDPAction, FieldMDPSpec, MDPPerm, enumerate_sig_fields
from pyhanko.sign.validation.pdf_embedded import EmbeddedPdfSignature

from docgen.signing.fields import ARCHIVE_FIELD

OURS = StandardDiffPolicy(
    [
        CatalogModificationRule(ignored_keys=frozenset(("/AcroForm", "/DSS"))),
        XrefStreamRule().as_qualified(ModificationLevel.LTA_UPDATES),
        DSSCompareRule().as_qualified(ModificationLevel.LTA_UPDATES),
    ],
    FormUpdatingRule([SigFieldModificationRule()]),
    ignore_orphaned_objects=False,
)
"""
What an update of ours can change: a prepared field is signed, evidence is kept. pyHanko's own policy also lets metadata
change, fields be made and other fields be filled.
"""


def leave_open(writer: IncrementalPdfFileWriter, field: generic.DictionaryObject, name: str) -> bool:
    """
    Let the signature of a field lock all others but one, and that one lock the rest once it is signed.

    The archive's fields stay open: a viewer that knows no time stamps counts them as filled. Gives False if there is
    no such field, or it is signed.
    """
    free = {found: reference for found, _, reference in enumerate_sig_fields(writer.prev, filled_status=False)}
    if name == field["/T"] or name not in free:
        return False
    archive = [found for found in free if not persons([found])]
    here = generic.IndirectObject(free[name].idnum, free[name].generation, writer)
    _lock(writer, here.get_object(), archive)["/P"] = generic.NumberObject(MDPPerm.NO_CHANGES.value)
    writer.mark_update(here)
    _lock(writer, field, [name, *archive])
    return True


def _lock(
    writer: IncrementalPdfFileWriter, field: generic.DictionaryObject, but: list[str]
) -> generic.DictionaryObject:
    """Let the signature of a field lock all fields but some."""
    spec = FieldMDPSpec(FieldMDPAction.EXCLUDE, but) if but else FieldMDPSpec(FieldMDPAction.ALL)
    lock = spec.as_sig_field_lock()
    field["/Lock"] = writer.add_object(lock)
    return lock


def open_field(reader: PdfFileReader, first: EmbeddedPdfSignature) -> str:
    """Name the field that the first signature of a file leaves open, signed by now or not; "" for none."""
    spec = first.fieldmdp
    if first.docmdp_level != MDPPerm.FILL_FORMS or spec is None or spec.action != FieldMDPAction.EXCLUDE:
        return ""
    names = persons(spec.fields or [])
    return next((found for found, _, _ in enumerate_sig_fields(reader) if names == {found}), "")


def closes(second: EmbeddedPdfSignature) -> bool:
    """Tell whether a second signature locks every field but the archive's, and forbids all other changes."""
    spec = second.fieldmdp
    if second.docmdp_level != MDPPerm.NO_CHANGES or spec is None or spec.action == FieldMDPAction.INCLUDE:
        return False
    return not persons(spec.fields or [])


def persons(names: Iterable[str]) -> set[str]:
    """Take the fields of the archive out of names of fields."""
    return {name for name in names if not name.startswith(ARCHIVE_FIELD)}
