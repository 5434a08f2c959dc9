"""A composed document and its case > the data that go with it, case.json and a FHIR R4 bundle; a referral read back."""

from docgen.exchange.bundle import BUNDLE_NAME, BUNDLE_TYPE, bundle
from docgen.exchange.carried import Scope, carries_exchange, scope_of
from docgen.exchange.case_file import CASE_NAME, CASE_TYPE, case_json, case_mark
from docgen.exchange.issued import Issue, IssuedFile, Phrases

__all__ = [
    "BUNDLE_NAME",
    "BUNDLE_TYPE",
    "CASE_NAME",
    "CASE_TYPE",
    "Issue",
    "IssuedFile",
    "Phrases",
    "Scope",
    "bundle",
    "carries_exchange",
    "case_json",
    "case_mark",
    "scope_of",
]
