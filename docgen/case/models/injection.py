"""An injection of local anesthetic, as planned and as given."""

from typing import Annotated

from docgen.case.field_types import (
    NA,
    NK,
    NONE,
    Day,
    DecimalOr,
    IntOr,
    Line,
    Moment,
    TextOr,
    a_code,
    a_count,
    a_number,
    a_positive,
)
from docgen.case.recorded import Recorded, recorded


class PlannedInjection(Recorded):
    """What is to be injected."""

    inn: Line = recorded("INN name of the local anesthetic", "S", "lidocaine")
    percent: Annotated[DecimalOr, a_number(high="100", above_low=True)] = recorded("Strength in percent", "S", "2")
    vasoconstrictor: Annotated[TextOr, a_code("epinephrine levonordefrin felypressin", NONE)] = recorded(
        "What narrows the vessels", "S", "epinephrine"
    )
    dilution: Annotated[IntOr, a_count(NA, low=1)] = recorded("80000 means 1:80,000", "S", "80000")
    volume_ml: Annotated[DecimalOr, a_positive()] = recorded("Volume in mL", "S", "2.2")
    cartridge_ml: Annotated[DecimalOr, a_positive()] = recorded("Volume of one cartridge in mL", "S", "2.2")
    technique: Annotated[TextOr, a_code("block infiltration intraligamentary other")] = recorded(
        "How it is injected", "S", "block"
    )
    site: Line = recorded("Where it is injected", "S", "left inferior alveolar nerve")


class Injection(PlannedInjection):
    """What was injected."""

    at: Moment = recorded("When it was injected", "S", "2026-03-17T09:55")
    needle_gauge: Annotated[IntOr, a_count(low=1)] = recorded("Gauge of the needle", "S", "27")
    seconds: Annotated[IntOr, a_count(NK, low=1)] = recorded("How long the injection took", "S", "60")
    aspiration: Annotated[TextOr, a_code("negative positive_moved", NA)] = recorded(
        "Whether blood came back", "S", "negative"
    )
    batch: Line = recorded("Batch of the cartridge", "S", "LX-2201")
    expiry: Day = recorded("Last day of use of the cartridge", "S", "2027-05-31")
