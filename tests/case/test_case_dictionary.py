"""The field dictionary, the settings dictionary and the JSON Schema made of them."""

import re
from typing import Any

from case_texts import GROUPS, LEAVES, LISTS

from docgen.answer import Answer
from docgen.case import case_schema, clinic_schema, field_specs, find_setting, setting_specs

TYPES = {
    "yn", "ynk", "yna", "ynak", "line", "text", "code", "date", "time", "moment", "decimal", "int", "tooth", "id",
    "language", "group", "list", "code list",
}  # fmt: skip


def test_every_field_is_described() -> None:
    """Description, writer and, for what is written, an example."""
    for spec in field_specs().values():
        assert spec.type in TYPES, spec.path
        assert spec.description, spec.path
        assert spec.who, spec.path
        assert set(spec.who.split()) <= set("CRFS"), spec.path
        assert spec.example or spec.type == "group" or spec.path.endswith("[]"), spec.path


def test_groups_and_lists_stand_before_their_parts() -> None:
    """The dictionary is in the order of the record."""
    seen: set[str] = set()
    for path in field_specs():
        above = re.sub(r"(\.[a-z_0-9]+|\[\])$", "", path)
        assert above == path or above in seen, path
        seen.add(path)


def test_types_of_the_specification() -> None:
    """A sample of section 2, read from its tables by hand."""
    expected = {
        "record.id": ("code", (), set()),
        "patient.interpreter_needed": ("yn", (), set()),
        "medical.previous_mronj": ("ynk", (), {Answer.NOT_KNOWN}),
        "operation.site_marked": ("yna", (), {Answer.NOT_APPLICABLE}),
        "medical.breast_feeding": ("ynak", (), {Answer.NOT_APPLICABLE, Answer.NOT_KNOWN}),
        "teeth[].ramus": ("code", ("I", "II", "III"), {Answer.NOT_APPLICABLE, Answer.NOT_KNOWN}),
        "teeth[].angle_degrees": ("decimal", (), {Answer.NOT_KNOWN}),
        "patient.matters_words": ("text", (), {Answer.NONE}),
        "medical.inr": ("group", (), {Answer.NOT_APPLICABLE, Answer.NOT_KNOWN}),
        "medical.allergies": ("list", (), {Answer.NONE, Answer.NOT_KNOWN}),
        "medical.antithrombotics[].dose_times[]": ("time", (), set()),
        "reply.copies": ("code list", ("patient", "guardian", "physician", "referrer"), {Answer.NONE}),
        "consent.signed_at.patient": ("moment", (), {Answer.NOT_APPLICABLE}),
        "consent.copy": ("code", ("accepted", "declined", "sent_later"), set()),
        "follow_up.with": ("id", (), set()),
        "plan.procedures[].tooth": ("tooth", (), set()),
        "patient.spoken_language": ("language", (), {Answer.NOT_APPLICABLE}),
        "operation.blood_loss": ("int", ("minimal",), set()),
    }
    specs = field_specs()
    assert expected == {path: (specs[path].type, specs[path].codes, set(specs[path].answers)) for path in expected}


def test_no_code_is_an_answer_word() -> None:
    """An answer word is an answer wherever it stands, never a code."""
    for spec in field_specs().values():
        assert not set(spec.codes) & {answer.value for answer in Answer}, spec.path


def test_required_settings_have_no_default() -> None:
    """Specification 1.3: law and dose limits are never guessed, nor how long records are kept."""
    assert {
        "jurisdiction.name",
        "jurisdiction.age_of_majority",
        "jurisdiction.emergency_number",
        "jurisdiction.endocarditis",
        "la.regime",
        "retention.years_adult",
        "retention.child_until_age",
    } == {name for name, spec in setting_specs().items() if spec.required}


def test_defaults_of_the_specification() -> None:
    """Specification 1.3, column default, where it is not the first value of its list."""
    expected = {
        "jurisdiction.age_of_own_consent": "none",
        "jurisdiction.leap_birthday": "1_march",
        "la.combine": "sum_of_fractions",
        "difficulty.band_set": "p8",
        "difficulty.other_from": "101",
        "risk.max_ratio_studies": "2",
        "risk.lingual_flap": "ratio",
        "risk.ln_permanent": "lf21",
        "risk.film_sign_floor": "0.075",
        "risk.score_envelope": "on",
        "risk.memory_figures": "off",
        "antithrombotic.inr_rule": "to_3_5",
        "antithrombotic.doac_guidance": "ask_physician",
        "aftercare.metronidazole_alcohol_hours": "72",
        "aftercare.dry_socket_watch_days": "7",
        "reading.words_per_minute": "200",
        "issue.unreviewed": "refuse",
        "language.unreviewed": "mark",
    }
    assert expected == {name: setting_specs()[name].default for name in expected}


def test_a_default_is_an_allowed_value() -> None:
    """What the program assumes, a clinic could write."""
    for name, spec in setting_specs().items():
        if spec.default is not None:
            assert spec.leaf.read(spec.default) is not None, name


def test_settings_for_each_language_and_kind() -> None:
    """A pattern stands for every language and kind."""
    target = find_setting("readability.pt-BR.operative-note.target")
    assert target is setting_specs()["readability.<language>.<kind>.target"]
    assert None is find_setting("readability.<language>.<kind>.target")
    assert None is find_setting("readability.en.consent")


def _property(schema: dict[str, Any], path: str) -> dict[str, Any]:
    """Walk a schema along a pattern, through references, lists and words."""
    part = schema
    for step in path.split("."):
        part = _inner(schema, part)["properties"][step.rstrip("[]")]
        if step.endswith("[]"):
            part = _inner(schema, part)["items"]
    return part


def _inner(schema: dict[str, Any], part: dict[str, Any]) -> dict[str, Any]:
    """Open references and the first of several forms until a list or group is found."""
    while True:
        if "$ref" in part:
            part = schema["$defs"][part["$ref"].rpartition("/")[2]]
        elif "anyOf" in part:
            part = part["anyOf"][0]
        elif "allOf" in part:
            part = part["allOf"][0]
        else:
            return part


def test_every_field_is_in_the_schema() -> None:
    """An editor completes every field, with its description."""
    schema = case_schema()
    for spec in field_specs().values():
        if not spec.path.endswith("[]"):
            assert spec.description == _property(schema, spec.path)["description"], spec.path


def test_codes_and_answer_words_are_in_the_schema() -> None:
    """An editor offers every word that is admitted, and no other."""
    schema = case_schema()
    for spec in LEAVES:
        part = _property(schema, spec.path)
        forms = part.get("anyOf", [part])
        words = [word for form in forms for word in form.get("enum", ())]
        own = ["yes", "no"] if spec.type.startswith("yn") else list(spec.codes)
        assert [*own, *(answer.value for answer in Answer if answer in spec.answers)] == words, spec.path
    for spec in (*LISTS, *GROUPS):
        if spec.answers:
            (words,) = [form["enum"] for form in _property(schema, spec.path)["anyOf"] if "enum" in form]
            assert [answer.value for answer in Answer if answer in spec.answers] == words, spec.path


def test_what_an_editor_makes_of_yaml_passes_the_schema() -> None:
    """An editor types before it checks: numbers, and yes and no that became true and false, are accepted."""
    schema = case_schema()
    for spec in LEAVES:
        part = _property(schema, spec.path)
        types = {form.get("type") for form in part.get("anyOf", [part])}
        if spec.type.startswith("yn"):
            assert "boolean" in types, spec.path
        if spec.type in ("decimal", "int", "line", "text", "tooth"):
            assert types & {"number", "integer"}, spec.path


def test_the_schema_is_closed_and_says_its_draft() -> None:
    """Unknown keys are marked while they are typed; nothing is required, because kinds decide."""
    schema = case_schema()
    assert schema["$schema"] == "https://json-schema.org/draft/2020-12/schema"
    for part in (schema, *schema["$defs"].values()):
        assert part["additionalProperties"] is False
        assert "required" not in part
    assert "default" not in str({**schema, "properties": {**schema["properties"], "settings": {}}})


def test_the_settings_are_in_the_schema() -> None:
    """Every setting with its values, default and approver."""
    settings = case_schema()["properties"]["settings"]
    names = {*settings["properties"], *settings["patternProperties"]}
    assert len(setting_specs()) == len(names)
    assert settings["properties"]["la.regime"]["required"] == ["value", "by", "on"]


def test_the_clinics_schema_has_the_clinics_keys_only() -> None:
    """No patient is offered in the clinic's file, and every reference leads somewhere."""
    schema = clinic_schema()
    assert {"clinic", "practitioners", "letterhead", "settings"} == set(schema["properties"])
    assert {"Clinic", "Practitioner", "Letterhead"} == set(schema["$defs"])
