"""A document and its case > the files that go inside its PDF: case.json and bundle.json, or none."""

from __future__ import annotations

from collections.abc import Mapping

from docgen.blocks import DATA, SOURCE, Attachment, Document
from docgen.case import Case
from docgen.exchange.bundle import BUNDLE_NAME, BUNDLE_TYPE, bundle
from docgen.exchange.carried import carries_exchange, scope_of
from docgen.exchange.case_file import CASE_NAME, CASE_TYPE, case_json, case_mark
from docgen.exchange.registered import Phrases, Registered
from docgen.facts import Result
from docgen.kinds import DocumentKind

BUNDLE_WORDS = "FHIR R4 document bundle of this document"


def files_inside(
    case: Case,
    kind: DocumentKind,
    stated: Mapping[str, Result],
    document: Document,
    registered: Registered,
    phrases: Phrases,
    *,
    dated: bool = True,
) -> tuple[Attachment, ...]:
    """
    Make the files that go inside one document's PDF; none where `carries_exchange` says no.

    `registered` without files: a PDF cannot hold its own digest.
    """
    if not carries_exchange(kind, document.origin.copy, case):
        return ()
    content = case_json(case, scope_of(kind, case, stated, dated=dated))
    told = bundle(case, kind, stated, document, registered, phrases, dated=dated)
    return (
        Attachment(CASE_NAME, CASE_TYPE, content, case_mark(content, kind.name), SOURCE),
        Attachment(BUNDLE_NAME, BUNDLE_TYPE, told, BUNDLE_WORDS, DATA),
    )
