"""
What is known of a tooth > how likely each harmful outcome is, in published figures that name their sources.

The tables hold the figures, the engine only combines them; section 4 of the specification says how.
"""

from docgen.clinical.likelihood.combination import apply_odds_ratio, apply_relative_risk
from docgen.clinical.likelihood.estimate import MEASURED_PROCEDURES, estimate, estimates_of_tooth
from docgen.clinical.likelihood.inputs import UNKNOWN, Inputs, Unanswered
from docgen.clinical.likelihood.ordering import ordering_faults
from docgen.clinical.likelihood.outcome import Applied, BaseUsed, Bound, Estimate, NotUsed, Printed, Reported, Trace
from docgen.clinical.likelihood.printing import frequency_word, print_probability
from docgen.clinical.likelihood.risk_table import RiskRow, missing_must_print, risk_table
from docgen.clinical.likelihood.settings import SETTING_VALUES, RiskSettings, risk_settings

__all__ = [
    "MEASURED_PROCEDURES",
    "SETTING_VALUES",
    "UNKNOWN",
    "Applied",
    "BaseUsed",
    "Bound",
    "Estimate",
    "Inputs",
    "NotUsed",
    "Printed",
    "Reported",
    "RiskRow",
    "RiskSettings",
    "Trace",
    "Unanswered",
    "apply_odds_ratio",
    "apply_relative_risk",
    "estimate",
    "estimates_of_tooth",
    "frequency_word",
    "missing_must_print",
    "ordering_faults",
    "print_probability",
    "risk_settings",
    "risk_table",
]
