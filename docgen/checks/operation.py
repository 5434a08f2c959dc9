"""What was done: what was tested, told, counted, and what is unusual enough to be confirmed."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from typing import Any

from docgen.answer import Answer
from docgen.checks.look import Check, Finding, Lift, Look
from docgen.clinical.teeth import tooth_class, tooth_jaw
from docgen.problem import Message, Severity, say

TAKING_OUT = ("removal", "coronectomy", "root_removal")
LOST_OR_BROKEN = ("fragment_lost", "instrument_broken", "other")


def _rows(look: Look) -> Iterator[tuple[str, Any, str]]:
    """Go through the teeth that were worked on, with their FDI numbers."""
    for path, row in look.items("operation.procedures"):
        tooth = look.fdi(row.tooth)
        if tooth is not None and row.performed not in (None, "not_done"):
            yield path, row, tooth


def _baseline(look: Look) -> Iterator[Finding]:
    if not any(tooth_class(tooth) == "lower_third" for _, _, tooth in _rows(look)):
        return
    for name in ("lip", "tongue"):
        path = f"operation.baseline.{name}"
        if look.case.value(path) == "not_tested":
            yield _note(path, say("%(path)s was not tested before the injection", path=path), say("say why"))


def _sinus_test(look: Look) -> Iterator[Finding]:
    for path, row, tooth in _rows(look):
        upper = tooth_class(tooth) in ("upper_third", "upper_posterior")
        if upper and row.performed in TAKING_OUT and row.sinus_test == "not_done":
            yield _note(
                f"{path}.sinus_test",
                say("%(path)s: an upper back tooth was taken out without the test", path=f"{path}.sinus_test"),
                say("say why"),
            )


def _fragment_told(look: Look) -> Iterator[Finding]:
    for path, row, _ in _rows(look):
        left = [f"{path}.fragment"] if look.case.value(f"{path}.fragment.site") not in (None, *Answer) else []
        faults = row.complications if isinstance(row.complications, tuple) else ()
        left += [f"{path}.complications[{n}]" for n, fault in enumerate(faults) if fault.code == "fragment_left"]
        for item in left:
            if look.case.value(f"{item}.patient_told") is not True:
                yield Finding(
                    f"{item}.patient_told",
                    say("%(path)s is not yes, but a fragment was left", path=f"{item}.patient_told"),
                    say("tell the patient, then record it"),
                )


def _counts(look: Look) -> Iterator[Finding]:
    operation = look.case.fields.operation
    explained = any(
        fault.code in LOST_OR_BROKEN and fault.action
        for _, row in look.items("operation.procedures")
        for fault in (row.complications if isinstance(row.complications, tuple) else ())
    )
    paths = ["operation.counts"] if operation.counts not in (None, "complete") else []
    if operation.throat_gauze is True and operation.throat_gauze_out is not True:
        paths.append("operation.throat_gauze_out")
    for path in paths:
        yield Finding(
            path,
            say("%(path)s does not say that everything is out", path=path),
            say(
                "find it, or record the imaging done: add the complication fragment_lost, instrument_broken or other "
                "with its action"
            ),
            can_be_departed_from=explained,
        )


def _emphysema(look: Look) -> Iterator[Finding]:
    for path, row, _ in _rows(look):
        if row.handpiece == "air_driven" and row.lingual_flap_raised is True:
            yield _note(
                f"{path}.handpiece",
                say("%(path)s: air-driven with the lingual flap raised", path=f"{path}.handpiece"),
                say("confirm it; the leaflet gets the line on crackling puffiness"),
            )


def _sutures(look: Look) -> Iterator[Finding]:
    usual = look.tables.table("usual-practice")
    for path, _, tooth in _rows(look):
        count = look.case.value(f"{path}.sutures.count")
        if isinstance(count, int) and count != usual.row(f"sutures_{tooth_jaw(tooth)}").whole("value"):
            yield _note(
                f"{path}.sutures.count",
                say("%(path)s is not the usual number of stitches", path=f"{path}.sutures.count"),
                say("confirm the number"),
            )


def _past_furcation(look: Look) -> Iterator[Finding]:
    for path, row, _ in _rows(look):
        if row.sectioned_to == "past_furcation":
            yield _note(
                f"{path}.sectioned_to",
                say("%(path)s: the cut went past the furcation", path=f"{path}.sectioned_to"),
                say("confirm it"),
            )


def _curetted(look: Look) -> Iterator[Finding]:
    at_risk = look.known("canal_at_risk") or {}
    for path, row, tooth in _rows(look):
        if row.follicle == "curetted" and at_risk.get(tooth) is True:
            yield _note(
                f"{path}.follicle",
                say("%(path)s: the socket was curetted although the nerve canal is close", path=f"{path}.follicle"),
                say("confirm it"),
            )


def _intraligamentary(look: Look) -> Iterator[Finding]:
    usual = look.tables.table("usual-practice")
    gauge, window = usual.row("intraligamentary_gauge").whole("value"), usual.row("intraligamentary_window")
    for path, item in look.items("operation.injections"):
        if item.technique != "intraligamentary":
            continue
        if isinstance(item.needle_gauge, int) and item.needle_gauge != gauge:
            name = f"{path}.needle_gauge"
            yield _note(name, say("%(path)s is unusual for this technique", path=name), say("confirm it"))
        seconds = item.seconds
        if isinstance(seconds, int) and not window.number("low") <= Fraction(seconds) <= window.number("high"):
            name = f"{path}.seconds"
            yield _note(name, say("%(path)s is unusual for this technique", path=name), say("confirm it"))


def _syringe_upper(look: Look) -> Iterator[Finding]:
    if look.known("upper_socket_only") is True and look.case.fields.aftercare.syringe_given is True:
        yield Finding(
            "aftercare.syringe_given",
            say("aftercare.syringe_given is yes, but only upper teeth were taken out"),
            say("set aftercare.syringe_given: no"),
        )


def _result_ownerless(look: Look) -> Iterator[Finding]:
    for path, item in look.items("operation.specimens"):
        if item.result_owner is None:
            yield Finding(
                f"{path}.result_owner",
                say("%(path)s is missing: nobody answers for the result", path=f"{path}.result_owner"),
                say("name who does"),
            )


def _note(path: str, what: Message, fix: Message) -> Finding:
    return Finding(path, what, fix, Severity.NOTE)


NOTE = Severity.NOTE

OPERATION = (
    Check("baseline-untested", _baseline, NOTE, of_operation=True),
    Check("sinus-test", _sinus_test, NOTE, of_operation=True),
    Check("fragment-told", _fragment_told, kinds=("aftercare", "reply"), of_operation=True),
    Check("counts-incomplete", _counts, kinds=("operative-note",), of_operation=True, departure=Lift.NOTE),
    Check("emphysema", _emphysema, NOTE, of_operation=True),
    Check("suture-unusual", _sutures, NOTE, of_operation=True),
    Check("section-past-furcation", _past_furcation, NOTE, of_operation=True),
    Check("curetted-near-nerve", _curetted, NOTE, of_operation=True),
    Check("intraligamentary-unusual", _intraligamentary, NOTE, of_operation=True),
    Check("syringe-upper", _syringe_upper, kinds=("aftercare",), of_operation=True),
    Check("result-ownerless", _result_ownerless, of_operation=True),
)
