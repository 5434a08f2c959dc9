"""A case and an order > numbered, signed, kept documents; a number > its copy, its end, its erasure."""

from docgen.issuing.copies import copy_of
from docgen.issuing.issue import issue
from docgen.issuing.life import erase, hold, release, supersede, withdraw
from docgen.issuing.office import Issued, IssuedPack, Office, Order, record_digest
from docgen.issuing.packs import bound, pack_of
from docgen.issuing.reasons import reasons_of

__all__ = [
    "Issued",
    "IssuedPack",
    "Office",
    "Order",
    "bound",
    "copy_of",
    "erase",
    "hold",
    "issue",
    "pack_of",
    "reasons_of",
    "record_digest",
    "release",
    "supersede",
    "withdraw",
]
