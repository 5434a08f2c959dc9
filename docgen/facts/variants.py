"""Who signs, what is told and what was given > the small facts the variants of patient texts and note hang on (5.1)."""

from __future__ import annotations

from datetime import date, datetime
from typing import Any

from docgen.answer import Answer
from docgen.clinical.age import completed_years
from docgen.clinical.likelihood import MEASURED_PROCEDURES
from docgen.clinical.medicine import plain_inn
from docgen.clinical.teeth import tooth_jaw
from docgen.facts.fact import Fact, NeedMissing, Reading
from docgen.facts.medical import classes_of, items
from docgen.facts.procedure import performed, planned
from docgen.values import dataclass

SIGNERS = ("patient", "guardian", "decision_maker")


def _signer_on(reading: Reading, day: date) -> str:
    """Say who signs on a day: guardian of a minor who may not decide alone, decision-maker, or nobody else."""
    born_on = reading.need("patient.birth_date")
    lacks = reading.fact("patient_lacks_capacity")
    if day < born_on:
        raise NeedMissing(("patient.birth_date",))
    age = completed_years(born_on, day, reading.setting("jurisdiction.leap_birthday"))
    own = reading.setting("jurisdiction.age_of_own_consent")
    if age < int(reading.setting("jurisdiction.age_of_majority")) and (lacks or own == "none" or age < int(own)):
        return "guardian"
    return "decision_maker" if lacks else "no"


def _signs_stage_one(reading: Reading) -> str:
    """Judge by the day of the signature if there is one: what a guardian signed for a minor stands (section 6)."""
    signed = [reading.value(f"consent.signed_at.{who}") for who in SIGNERS]
    days = [moment.date() for moment in signed if isinstance(moment, datetime)]
    return _signer_on(reading, min(days) if days else reading.need("consent.first_talk_on"))


def _signs_on_the_day(reading: Reading) -> str:
    """Judge by the planned day: who came of age since the first talk signs for themselves."""
    at = reading.value("plan.operation_at")
    return _signer_on(reading, at.date() if isinstance(at, datetime) else reading.fact("reference_date"))


def _minor_decides_alone(reading: Reading) -> bool:
    return bool(reading.fact("patient_is_minor") and reading.fact("patient_may_consent_alone"))


def _capacity_is_explained(reading: Reading) -> bool:
    """An assessment, and a minor's right to decide alone, need words; "none" is no reason."""
    assessed = reading.need("consent.capacity") != "presumed"
    if not (assessed or reading.fact("minor_decides_alone")):
        return False
    if reading.need("consent.capacity_note") is Answer.NONE:
        raise NeedMissing(("consent.capacity_note",))
    return True


def _witness_line(reading: Reading) -> bool:
    """Print the line of a witness if one signed, or while nobody has signed and nobody ruled a witness out."""
    witness = reading.value("consent.signed_at.witness")
    if witness is None:
        return not any(isinstance(reading.value(f"consent.signed_at.{who}"), datetime) for who in SIGNERS)
    return isinstance(witness, datetime)


def _understood_without_interpreter(reading: Reading) -> bool:
    """Say whether the talk was in a language that is not the patient's, with nobody to interpret."""
    if reading.fact("interpreter_needed"):
        return False
    spoken = reading.value("patient.spoken_language")
    differs = isinstance(spoken, str) and spoken != reading.need("record.language")
    return bool(differs or reading.fact("bilingual_wanted"))


def _consent_is_confirmed(reading: Reading) -> bool:
    return any(reading.value(f"consent.{name}") is not None for name in ("confirmed_at", "confirmed_by", "changes"))


def _in_question(reading: Reading) -> list[tuple[str, str, Any]]:
    """Give path, tooth and row of each proposed procedure that the document is about."""
    fdi, asked = reading.fact("tooth_fdi"), reading.fact("teeth_in_question")
    rows = [(f"plan.procedures[{n}]", fdi.get(str(row.tooth), ""), row) for n, row in enumerate(planned(reading))]
    return [row for row in rows if row[1] in asked]


def _procedure_without_figures(reading: Reading) -> bool:
    """A procedure nobody published figures for needs its risks in the surgeon's words (4.2 step 1)."""
    rows = [(path, row) for path, _, row in _in_question(reading) if row.procedure not in (None, *MEASURED_PROCEDURES)]
    lacking = [f"{path}.risks_words" for path, row in rows if row.risks_words in (None, Answer.NOT_APPLICABLE)]
    if lacking:
        raise NeedMissing(tuple(lacking))
    return bool(rows)


def _tooth_comes_out(reading: Reading) -> bool:
    return any(row.procedure in MEASURED_PROCEDURES for _, _, row in _in_question(reading))


def _no_treatment_offered(reading: Reading) -> bool:
    """Leaving it alone is always a choice, so it stands among the options or the list is not whole."""
    options = reading.need("plan.options")
    lacking = [f"plan.options[{n}].option" for n, option in enumerate(options) if option.option is None]
    if lacking:
        raise NeedMissing(tuple(lacking))
    if not any(option.option == "no_treatment" for option in options):
        raise NeedMissing(("plan.options",))
    return True


def _may_be_at_risk(reading: Reading, tooth: str) -> bool:
    try:
        return reading.of_tooth("canal_at_risk", tooth) is True
    except NeedMissing as missing:
        return missing.asked  # what nobody asked is asked first


def _coronectomy_is_answered(reading: Reading) -> bool:
    """Where leaving the root is a choice for a tooth, it is offered, or the reason stands beside it."""
    classes = reading.fact("tooth_class")
    present = {reading.value(f"{p}.tooth"): reading.value(f"{p}.present") for p in reading.expand("teeth[]")}
    lacking: list[str] = []
    found = False
    for path, tooth, row in _in_question(reading):
        if classes[tooth] != "lower_third" or present.get(row.tooth) == "root_only":
            continue
        if row.procedure not in MEASURED_PROCEDURES or not _may_be_at_risk(reading, tooth):
            continue
        found = True
        if row.coronectomy in (None, Answer.NOT_APPLICABLE):
            lacking.append(f"{path}.coronectomy")
        elif row.coronectomy in ("not_suitable", "not_discussed") and row.coronectomy_reason is None:
            lacking.append(f"{path}.coronectomy_reason")
    if lacking:
        raise NeedMissing(tuple(lacking))
    return found


def _ct_taken(reading: Reading) -> bool:
    images = reading.need("imaging")
    return any(image.type == "cone_beam_ct" for image in images) if isinstance(images, tuple) else False


def _leaflet_reader(reading: Reading) -> str:
    """Say whom the leaflet speaks to beside the patient; capacity is presumed until somebody has judged it."""
    minor = reading.fact("patient_is_minor")
    own = reading.setting("jurisdiction.age_of_own_consent") if minor else "none"
    if minor and (own == "none" or reading.fact("patient_age_years") < int(own)):
        return "guardian"
    if reading.value("consent.capacity") == "assessed_lacks":
        return "guardian" if minor else "carer"
    return "patient"


@dataclass(frozen=True)
class HomeMedicines:
    """The medicines to take at home, as the prescriptions write them, by what they are for."""

    antibiotics: tuple[str, ...]
    others: tuple[str, ...]
    """All that are no antibiotics: they stand under pain."""
    pain_killers: tuple[str, ...]
    nsaids: tuple[str, ...]


ANTIBIOTIC_CLASSES = {"penicillin", "cephalosporin", "macrolide", "tetracycline"}
ANTIBIOTIC_NAMES = {"metronidazole", "clindamycin"}
PAIN_CLASSES = {"nsaid", "opioid"}


def _home_medicines(reading: Reading) -> HomeMedicines:
    rows = items(reading, "prescriptions")
    names = [row.inn for row in rows if isinstance(row.inn, str)]
    plain = {name: plain_inn(name, reading.tables) for name in names}
    classes = {name: classes_of(reading, plain[name]) for name in names}
    antibiotics = [
        n for n in names if not ANTIBIOTIC_CLASSES.isdisjoint(classes[n]) or not ANTIBIOTIC_NAMES.isdisjoint(plain[n])
    ]
    relieve = [n for n in names if not PAIN_CLASSES.isdisjoint(classes[n]) or "paracetamol" in plain[n]]
    return HomeMedicines(
        tuple(dict.fromkeys(antibiotics)),
        tuple(dict.fromkeys(n for n in names if n not in antibiotics)),
        tuple(dict.fromkeys(relieve)),
        tuple(dict.fromkeys(n for n in names if "nsaid" in classes[n])),
    )


@dataclass(frozen=True)
class UsualSutures:
    """How many stitches are usual at a tooth, beside what was recorded."""

    usual: int
    is_unusual: bool


def _usual_sutures(reading: Reading) -> dict[str, UsualSutures]:
    fdi, found = reading.fact("tooth_fdi"), {}
    for row in performed(reading):
        tooth = fdi.get(str(row.tooth))
        count = getattr(row.sutures, "count", None)
        if tooth and isinstance(count, int):
            usual = reading.tables.table("usual-practice").row(f"sutures_{tooth_jaw(tooth)}").whole("value")
            found[tooth] = UsualSutures(usual, count != usual)
    return found


def _something_performed(reading: Reading) -> bool:
    return any(row.performed not in (None, "not_done") for row in performed(reading))


def _dressing_to_remove(reading: Reading) -> bool:
    return bool(reading.fact("leaflet_is_dated") and reading.fact("dressing_stays"))


def _dressing_dissolves(reading: Reading) -> bool:
    """Say whether every dressing that was placed goes away by itself; no if none was placed."""
    left = [row.dressing for row in performed(reading) if getattr(row.dressing, "resorbable", None) is not None]
    return bool(left) and all(dressing.resorbable for dressing in left)


AGE_SETTINGS = tuple(f"settings.jurisdiction.{n}" for n in ("age_of_majority", "age_of_own_consent", "leap_birthday"))
SIGNING = ("patient.birth_date", "patient_lacks_capacity", *AGE_SETTINGS)
IN_QUESTION = ("plan.procedures", "teeth_in_question", "tooth_fdi")

VARIANTS = (
    Fact("signs_stage_one", (*SIGNING, "consent.signed_at", "consent.first_talk_on"), _signs_stage_one, ("design",)),
    Fact("signs_on_the_day", (*SIGNING, "plan.operation_at", "reference_date"), _signs_on_the_day, ("design",)),
    Fact("minor_decides_alone", ("patient_is_minor", "patient_may_consent_alone"), _minor_decides_alone, ("memory",)),
    Fact(
        "capacity_is_explained",
        ("consent.capacity", "consent.capacity_note", "minor_decides_alone"),
        _capacity_is_explained,
        ("GMC-MDU", "memory"),
    ),
    Fact("witness_line", ("consent.signed_at",), _witness_line, ("design",)),
    Fact(
        "understood_without_interpreter",
        ("interpreter_needed", "bilingual_wanted", "patient.spoken_language", "record.language"),
        _understood_without_interpreter,
        ("1557-RH",),
    ),
    Fact(
        "consent_is_confirmed",
        ("consent.confirmed_at", "consent.confirmed_by", "consent.changes"),
        _consent_is_confirmed,
        ("field",),
    ),
    Fact("procedure_without_figures", IN_QUESTION, _procedure_without_figures, ("design",)),
    Fact("tooth_comes_out", IN_QUESTION, _tooth_comes_out, ("design",)),
    Fact("no_treatment_offered", ("plan.options",), _no_treatment_offered, ("design",)),
    Fact(
        "coronectomy_is_answered",
        (*IN_QUESTION, "canal_at_risk", "tooth_class", "teeth[].tooth", "teeth[].present"),
        _coronectomy_is_answered,
        ("DALLE17", "DEVINE16"),
    ),
    Fact("ct_taken", ("imaging",), _ct_taken, ("field",)),
    Fact(
        "leaflet_reader",
        ("patient_is_minor", "patient_age_years", "settings.jurisdiction.age_of_own_consent", "consent.capacity"),
        _leaflet_reader,
        ("design",),
    ),
    Fact("home_medicines", ("prescriptions",), _home_medicines, ("field",)),
    Fact("nsaid_food", ("settings.aftercare.nsaid_food",), lambda r: r.setting("aftercare.nsaid_food"), ("ELMS",)),
    Fact(
        "metronidazole_alcohol_hours",
        ("settings.aftercare.metronidazole_alcohol_hours",),
        lambda r: int(r.setting("aftercare.metronidazole_alcohol_hours")),
        ("METDENT", "memory"),
    ),
    Fact("usual_sutures", ("operation.procedures", "tooth_fdi"), _usual_sutures, ("cp",)),
    Fact("something_performed", ("operation.procedures",), _something_performed, ("field",)),
    Fact("dressing_dissolves", ("operation.procedures",), _dressing_dissolves, ("field",)),
    Fact("dressing_to_remove", ("leaflet_is_dated", "dressing_stays"), _dressing_to_remove, ("design",)),
)
"""They stand below the facts they build on."""
