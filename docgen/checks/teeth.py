"""The four lists of teeth against each other, against the findings, and numbers against words."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from docgen.answer import Answer
from docgen.checks.look import Check, Finding, Lift, Look
from docgen.clinical.position import winter_class
from docgen.clinical.teeth import tooth_class, tooth_jaw, tooth_side
from docgen.problem import Severity, say

ITEM_LISTS = ("teeth", "plan.procedures", "operation.procedures")
DECISIONS = ("referral.teeth[]", "plan.procedures[].tooth", "consent.teeth[]", "operation.procedures[].tooth")
TAKING_OUT = ("removal", "coronectomy", "root_removal")


def _side_mismatch(look: Look) -> Iterator[Finding]:
    for name in ITEM_LISTS:
        for path, item in look.items(name):
            tooth = look.fdi(item.tooth)
            if tooth is None:
                continue
            side_differs = item.side is not None and item.side != tooth_side(tooth)
            jaw_differs = item.jaw is not None and item.jaw != tooth_jaw(tooth)
            if side_differs or jaw_differs:
                word = f"{path}.side" if side_differs else f"{path}.jaw"
                yield Finding(
                    f"{path}.tooth",
                    say("%(path)s and %(word)s name different teeth", path=f"{path}.tooth", word=word),
                    say("look at the image and correct the number or the word, whichever is wrong"),
                )


def _unknown(look: Look) -> Iterator[Finding]:
    known = look.teeth("teeth[].tooth")
    if known is None:
        return
    numbers = {tooth for _, tooth in known}
    for pattern in DECISIONS:
        for path in look.case.expand(pattern):
            tooth = look.fdi(look.case.value(path))
            if tooth is not None and tooth not in numbers:
                yield Finding(
                    path,
                    say("the tooth of %(path)s has no findings under teeth", path=path),
                    say("add the tooth under teeth, or correct the number"),
                )


def _twice(look: Look) -> Iterator[Finding]:
    for pattern in ("teeth[].tooth", *DECISIONS):
        first: dict[str, str] = {}
        for path in look.case.expand(pattern):
            tooth = look.fdi(look.case.value(path))
            if tooth is None:
                continue
            if tooth in first:
                yield Finding(
                    path,
                    say("%(path)s names the same tooth as %(first)s", path=path, first=first[tooth]),
                    say("keep one, or correct the number"),
                )
            first.setdefault(tooth, path)


def _absent(look: Look) -> Iterator[Finding]:
    absent = {look.fdi(item.tooth): path for path, item in look.items("teeth") if item.present == "absent"}
    for path, item in look.items("plan.procedures"):
        found = absent.get(look.fdi(item.tooth)) if item.tooth else None
        if found and look.fdi(item.tooth):
            yield Finding(
                f"{path}.tooth",
                say(
                    "%(path)s proposes a tooth that %(present)s calls absent",
                    path=f"{path}.tooth",
                    present=f"{found}.present",
                ),
                say("look at the image, then correct the number or the finding"),
            )


def _agreed_differ(look: Look) -> Iterator[Finding]:
    agreed, proposed = look.teeth("consent.teeth[]"), look.teeth("plan.procedures[].tooth")
    if look.case.fields.record.tooth_notation is None:  # whatever it is, two numbers of one notation are two teeth
        agreed, proposed = _as_written("consent.teeth[]", look), _as_written("plan.procedures[].tooth", look)
    if not agreed or not proposed or _numbers(agreed) == _numbers(proposed):
        return
    yield Finding(
        "consent.teeth",
        say("consent.teeth and plan.procedures name different teeth"),
        say("renew the consent, or correct the plan"),
    )


def _as_written(pattern: str, look: Look) -> tuple[tuple[str, str], ...]:
    """Give path and number of each tooth of a list as they stand there; nothing if one number is missing."""
    found = [(path, look.case.value(path)) for path in look.case.expand(pattern)]
    written = tuple((path, tooth) for path, tooth in found if isinstance(tooth, str))
    return written if len(written) == len(found) else ()


def _performed_extra(look: Look) -> Iterator[Finding]:
    agreed = look.teeth("consent.teeth[]")
    if agreed is None or _extra_is_agreed(look):
        return
    for path, row in look.items("operation.procedures"):
        tooth = look.fdi(row.tooth)
        if tooth is None or row.performed in (None, "not_done") or tooth in _numbers(agreed):
            continue
        faults = row.complications if isinstance(row.complications, tuple) else ()
        told = any(f.code == "wrong_tooth" and f.action and f.patient_told is True for f in faults)
        yield Finding(
            f"{path}.tooth",
            say("%(path)s names a tooth that consent.teeth does not", path=f"{path}.tooth"),
            say(
                "write under operation.extra_procedure what was done, why and who agreed; if nobody agreed, add the "
                "complication wrong_tooth with its action and patient_told"
            ),
            can_be_departed_from=told,
        )


def _extra_is_agreed(look: Look) -> bool:
    extra = look.case.fields.operation.extra_procedure
    return not isinstance(extra, Answer) and bool(extra.what and extra.reason) and extra.agreed is True


def _performed_unexplained(look: Look) -> Iterator[Finding]:
    proposed, performed = look.teeth("plan.procedures[].tooth"), look.teeth("operation.procedures[].tooth")
    if proposed is None or performed is None or _numbers(proposed) <= _numbers(performed):
        return
    yield Finding(
        "operation.procedures",
        say("operation.procedures has no row for a tooth of plan.procedures"),
        say("add a row for each proposed tooth; not_done is an answer, with the reason under difference"),
    )


def _requested_differ(look: Look) -> Iterator[Finding]:
    requested, proposed = look.teeth("referral.teeth[]"), look.teeth("plan.procedures[].tooth")
    if not requested or proposed is None or _numbers(requested) == _numbers(proposed):
        return
    yield Finding(
        "plan.procedures",
        say("plan.procedures and referral.teeth name different teeth"),
        say("mention the difference in the reply to the referrer"),
    )


def _pederson_upper(look: Look) -> Iterator[Finding]:
    for path, item in look.items("teeth"):
        tooth = look.fdi(item.tooth)
        if tooth and tooth_jaw(tooth) == "upper" and isinstance(item.ramus, str):
            yield Finding(
                f"{path}.ramus",
                say("%(path)s is recorded for an upper tooth, which has no ramus", path=f"{path}.ramus"),
                say("leave ramus out; the sinus relation grades an upper tooth"),
            )


def _angle_and_class(look: Look) -> Iterator[Finding]:
    other_from = int(look.case.setting("difficulty.other_from") or 101)
    for path, item in look.items("teeth"):
        degrees = item.angle_degrees
        if degrees is None or isinstance(degrees, Answer) or item.angle_class is None:
            continue
        if winter_class(Fraction(degrees), look.tables, other_from) != item.angle_class:
            yield Finding(
                f"{path}.angle_class",
                say("%(path)s and %(degrees)s disagree", path=f"{path}.angle_class", degrees=f"{path}.angle_degrees"),
                say("keep the measured degrees and leave angle_class out"),
            )


def _finding_not_applicable(look: Look) -> Iterator[Finding]:
    for path, item in look.items("teeth"):
        tooth = look.fdi(item.tooth)
        if tooth is None or item.present == "absent":
            continue
        lower_third = tooth_class(tooth) == "lower_third"
        upper = tooth_class(tooth) in ("upper_third", "upper_posterior")
        asked = ("canal", "canal.relation", "ramus") if lower_third else ("sinus", "sinus.relation") if upper else ()
        for name in asked:
            if look.case.value(f"{path}.{name}") is Answer.NOT_APPLICABLE:
                yield not_applicable(f"{path}.{name}")
                break


def not_applicable(path: str) -> Finding:
    """Say that a question arises although the record answers it with not_applicable."""
    return Finding(
        path,
        say("%(path)s is answered not_applicable, but here it applies", path=path),
        say("answer the field; not_known is an answer where nobody can say"),
    )


def _test_not_applicable(look: Look) -> Iterator[Finding]:
    classes = set()
    for path, row in look.items("operation.procedures"):
        tooth = look.fdi(row.tooth)
        if tooth is None or row.performed not in TAKING_OUT:
            continue
        classes.add(tooth_class(tooth))
        if tooth_class(tooth) in ("upper_third", "upper_posterior") and row.sinus_test is Answer.NOT_APPLICABLE:
            yield not_applicable(f"{path}.sinus_test")
    for name in ("lip", "tongue"):
        path = f"operation.baseline.{name}"
        if "lower_third" in classes and look.case.value(path) is Answer.NOT_APPLICABLE:
            yield not_applicable(path)


def _numbers(teeth: tuple[tuple[str, str], ...]) -> set[str]:
    return {tooth for _, tooth in teeth}


TEETH = (
    Check("tooth-side-mismatch", _side_mismatch),
    Check("tooth-unknown", _unknown),
    Check("tooth-twice", _twice),
    Check("tooth-absent", _absent),
    Check("teeth-agreed-differ", _agreed_differ),
    Check("teeth-performed-extra", _performed_extra, kinds=("operative-note",), of_operation=True, departure=Lift.NOTE),
    Check("performed-unexplained", _performed_unexplained, of_operation=True),
    Check("teeth-requested-differ", _requested_differ, Severity.NOTE),
    Check("pederson-upper", _pederson_upper),
    Check("angle-and-class", _angle_and_class),
    Check("na-contradicted", _finding_not_applicable),
    Check("na-contradicted", _test_not_applicable, of_operation=True),
)
