"""The form of the bench: what one document needed is free when it is made, so that memory stays flat."""

from __future__ import annotations

import gc

from docgen.render import pdf
from tests.bench.cases import form_case
from tests.bench.form import form
from tests.bench.make import house_style


def test_a_document_leaves_nothing_to_the_garbage_collector() -> None:
    """A file that holds itself would stay, with all its pages, until the collector comes by."""
    style = house_style()
    pdf.render(form(form_case(0)), style)
    document = form(form_case(1))
    gc.collect()
    gc.disable()
    try:
        pdf.render(document, style)
        assert 0 == gc.collect()
    finally:
        gc.enable()
