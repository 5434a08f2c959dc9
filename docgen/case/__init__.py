"""A case record and the clinic's files > one frozen, typed case, with a place for every path (gate 1: shape)."""

from docgen.case.approvals import append_approval, read_approvals
from docgen.case.case import Approval, Case
from docgen.case.own import OWN_TYPES, own_leaf
from docgen.case.read import read_case
from docgen.case.schema import case_schema, clinic_schema
from docgen.case.settings import Setting, SettingSpec, find_setting, setting_specs
from docgen.case.specs import FieldSpec, field_specs
from docgen.case.tree import Source

__all__ = [
    "OWN_TYPES",
    "Approval",
    "Case",
    "FieldSpec",
    "Setting",
    "SettingSpec",
    "Source",
    "append_approval",
    "case_schema",
    "clinic_schema",
    "field_specs",
    "find_setting",
    "own_leaf",
    "read_approvals",
    "read_case",
    "setting_specs",
]
