"""A composed document and its case > the data that go with it, case.json and a FHIR R4 bundle; a referral read back."""

from docgen.exchange.attested import attested
from docgen.exchange.bundle import BUNDLE_NAME, BUNDLE_TYPE, bundle, restated
from docgen.exchange.carried import Scope, carries_exchange, scope_of
from docgen.exchange.case_file import CASE_NAME, CASE_TYPE, case_json, case_mark
from docgen.exchange.inside import files_inside
from docgen.exchange.referral import read_referral
from docgen.exchange.registered import IssuedFile, Phrases, Registered

__all__ = [
    "BUNDLE_NAME",
    "BUNDLE_TYPE",
    "CASE_NAME",
    "CASE_TYPE",
    "IssuedFile",
    "Phrases",
    "Registered",
    "Scope",
    "attested",
    "bundle",
    "carries_exchange",
    "case_json",
    "case_mark",
    "files_inside",
    "read_referral",
    "restated",
    "scope_of",
]
