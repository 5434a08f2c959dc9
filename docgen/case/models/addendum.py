"""The addendum: which signed note it adds to, and who signs it; what it adds stands in `operation.addenda`."""

from typing import Annotated

from docgen.case.field_types import Day, IntOr, Moment, Person, a_count
from docgen.case.recorded import Recorded, recorded


class SignedAddendum(Recorded):
    """The document that adds to a signed operative note; the note itself is never changed."""

    note_number: Annotated[IntOr, a_count(low=1)] = recorded(
        "Number of the signed operative note in the clinic's register", "S R", "42"
    )
    on: Day = recorded("Day of the addendum", "S", "2026-03-18")
    signed_by: Person = recorded("Id of who signs the addendum", "S", "mh")
    signed_at: Moment = recorded("When it was signed", "S", "2026-03-18T09:05")
