"""From files to a case: unknown names, faulty leaves, two files, settings, own fields, places and digest."""

from case_texts import codes_at, places, read

from docgen.answer import Answer
from docgen.case import Source, own_leaf, read_case
from docgen.problem import Place, Problems

SETTING = "{value: %s, by: mh, on: 2026-01-05}"


def test_an_unknown_name_is_refused_with_the_one_that_was_meant() -> None:
    """A misspelled key names its sibling with the full path, at the place of the key."""
    case, problems = read("patient:\n  weigth_kg: 62\n  phone: '1'\n")
    (problem,) = problems
    assert ("unknown-field", "patient.weigth_kg", Place("case.yaml", 2, 3)) == (
        problem.code,
        problem.path,
        problem.place,
    )
    assert problem.fix.in_words() == "did you mean patient.weight_kg?"
    assert case.value("patient.phone") == "1"


def test_an_unknown_name_in_a_list_keeps_its_number() -> None:
    """The path that is meant names the same item."""
    _, problems = read("teeth:\n  - tooth: '38'\n  - toth: '48'\n")
    assert codes_at(problems) == [("unknown-field", "teeth[1].toth")]
    assert problems[0].fix.in_words() == "did you mean teeth[1].tooth?"


def test_a_name_in_the_wrong_group_is_found() -> None:
    """A field written under the wrong group names the right one."""
    _, problems = read("patient: {allergies: none}\n")
    assert problems[0].fix.in_words() == "did you mean medical.allergies?"


def test_python_names_are_not_names_of_the_record() -> None:
    """Where Python keeps a word, the record still has it, and only it."""
    _, problems = read("consent: {copy_: accepted}\nfollow_up: {with_: mh}\n")
    assert codes_at(problems) == [("unknown-field", "consent.copy_"), ("unknown-field", "follow_up.with_")]


def test_a_key_that_is_no_name_is_not_printed() -> None:
    """A patient's name typed as a key stays out of the messages."""
    _, problems = read('patient: {"Zzyzx Canary\\u202e": 1}\n')
    assert codes_at(problems) == [("unknown-field", "patient.?")]
    assert "Canary" not in problems[0].in_words()


def test_a_faulty_leaf_is_taken_out_and_its_neighbors_stay() -> None:
    """In nested lists too, the leaf goes and the item stays."""
    text = "medical:\n  conditions:\n    - {code: hypertensoin, words: high pressure}\n    - {code: asthma, since: x}\n"
    case, problems = read(text)
    assert codes_at(problems) == [
        ("bad-value", "medical.conditions[0].code"),
        ("bad-value", "medical.conditions[1].since"),
    ]
    assert tuple(
        case.value(f"medical.conditions[{path}") for path in ("0].code", "0].words", "1].code", "1].since")
    ) == (None, "high pressure", "asthma", None)
    assert {"medical.conditions[0].code", "medical.conditions[1].since"} == case.faulty


def test_a_faulty_item_is_taken_out_and_the_others_keep_their_numbers() -> None:
    """Paths and places stay those of the file."""
    case, problems = read("consent:\n  teeth:\n    - '38'\n    - 'x'\n    - '48'\n")
    assert codes_at(problems) == [("bad-value", "consent.teeth[1]")]
    assert (
        case.value("consent.teeth"),
        *(case.value(f"consent.teeth[{number}]") for number in range(4)),
    ) == (("38", "48"), "38", None, "48", None)
    assert case.expand("consent.teeth[]") == ("consent.teeth[0]", "consent.teeth[2]")
    assert Place("case.yaml", 5, 7) == case.place("consent.teeth[2]")
    assert case.is_faulty("consent.teeth")
    assert not case.is_faulty("consent.teeth[2]")


def test_a_list_of_faulty_items_is_not_none() -> None:
    """Nobody said none, so the list counts as not recorded."""
    case, _ = read("patient: {matters: [zzz, yyy], communication_needs: none}\n")
    assert (case.value("patient.matters"), case.value("patient.communication_needs")) == (None, ())


def test_none_inside_a_list_is_refused() -> None:
    """None stands in place of a list, never in it."""
    _, problems = read("patient: {matters: [none], address: [none]}\nteeth: [none]\nimaging: [not_known]\n")
    assert codes_at(problems) == [
        ("bad-value", "patient.matters[0]"),
        ("bad-value", "patient.address[0]"),
        ("bad-value", "teeth[0]"),
        ("bad-value", "imaging[0]"),
    ]


def test_a_faulty_group_item_leaves_its_number() -> None:
    """An item that is no group is reported and leaves an empty one, so that later items keep their numbers."""
    case, problems = read("teeth: [38, {tooth: 48}]\n")
    assert codes_at(problems) == [("bad-value", "teeth[0]")]
    assert (case.value("teeth[0].tooth"), case.value("teeth[1].tooth")) == (None, "48")
    assert case.expand("teeth[].tooth") == ("teeth[0].tooth", "teeth[1].tooth")


def test_a_group_answered_by_a_word_answers_for_its_fields() -> None:
    """Specification 1.2, rule 8."""
    case, problems = read("guardian: not_applicable\nteeth: [{canal: not_applicable}]\nplan: {sedation: none}\n")
    assert (
        case.fields.guardian,
        case.value("guardian.name"),
        case.value("teeth[0].canal.relation"),
        case.value("plan.sedation"),
        problems,
    ) == (Answer.NOT_APPLICABLE, Answer.NOT_APPLICABLE, Answer.NOT_APPLICABLE, Answer.NONE, ())


def test_not_recorded_is_none_and_none_is_not() -> None:
    """The states of section 1.2 stay apart in the model."""
    case, _ = read("medical: {allergies: none, endocarditis_heart: not_known, alcohol: none}\npatient: {phone: none}\n")
    medical = case.fields.medical
    assert (
        medical.allergies,
        medical.endocarditis_heart,
        medical.alcohol,
        medical.medications,
        medical.smoking.status,
    ) == ((), Answer.NOT_KNOWN, Answer.NONE, None, None)
    assert (case.value("patient.email"), case.value("patient.phone")) == (None, Answer.NONE)


def test_an_unrecorded_group_is_none_and_its_chain_is_not() -> None:
    """A group nobody touched has no value, yet Python can walk through it."""
    case, _ = read("record: {edition: 1}\n")
    assert (
        case.value("guardian"),
        case.value("operation.checks"),
        case.fields.operation.checks.identity_by,
    ) == (None, None, None)
    assert case.fields.record is case.value("record")


def test_an_unknown_path_is_a_fault_of_the_program() -> None:
    """A kind that names a field no record has must not read it as not recorded."""
    case, _ = read("record: {edition: 1}\n")
    for path in ("patient.birthdate", "patient", "settings.la.regim"):
        if path == "patient":
            assert case.value(path) is None
            continue
        try:
            case.value(path)
        except KeyError:
            continue
        raise AssertionError(path)


def test_expand_goes_through_nested_lists() -> None:
    """Every item of every list, in order, whether the field is in it or not."""
    case, _ = read(
        "operation: {procedures: [{complications: [{code: bleeding}, {words: x}]}, {complications: none}, {}]}"
    )
    assert (case.expand("operation.procedures[].complications[].code")) == (
        "operation.procedures[0].complications[0].code",
        "operation.procedures[0].complications[1].code",
    )
    assert case.expand("patient.phone") == ("patient.phone",)
    assert case.expand("medical.allergies[].group") == ()


def test_places() -> None:
    """A value stands where it begins, a group where its name stands, a field left out at its group."""
    case, _ = read("record: {edition: 1}\npatient:\n  phone: '1'\nteeth:\n  - tooth: '38'\n  - {side: left}\n")
    assert [
        (case.place(path).line, case.place(path).column)
        for path in (
            "record.edition", "patient", "patient.phone", "patient.sex", "teeth[0]", "teeth[0].tooth",
            "teeth[1].tooth", "teeth[2].tooth", "query.on",
        )
    ] == [(1, 19), (2, 1), (3, 10), (2, 1), (5, 5), (5, 12), (6, 5), (4, 1), (1, 1)]  # fmt: skip


def test_the_clinics_file_is_joined() -> None:
    """Fields of one group may stand in both files; each keeps the file it stands in."""
    case, problems = read("clinic: {name: Harrowmere}\n", "clinic: {phone: '1'}\npractitioners: [{id: mh}]\n")
    assert (
        case.value("clinic.name"),
        case.value("clinic.phone"),
        case.value("practitioners[0].id"),
        problems,
    ) == ("Harrowmere", "1", "mh", ())
    assert (
        str(case.place("clinic.name")),
        str(case.place("clinic.phone")),
    ) == ("case.yaml:1:16", "clinic.yaml:1:17")


def test_a_path_in_both_files_is_refused_even_if_equal() -> None:
    """Which of the two would count must never be a question."""
    setting = "settings: {la.combine: " + SETTING % "lower_of_two" + "}\n"
    text = "clinic: {name: X, phone: '1'}\npractitioners: [{id: mh}]\n" + setting
    case, problems = read(text, text)
    assert codes_at(problems) == [
        ("given-twice", "clinic.name"),
        ("given-twice", "clinic.phone"),
        ("given-twice", "practitioners"),
        ("given-twice", "settings.la.combine"),
    ]
    assert "clinic.yaml:1:10" in problems[0].what.in_words()
    assert (
        case.value("clinic.name"),
        case.value("practitioners"),
        problems[0].place and problems[0].place.file,
    ) == (None, None, "case.yaml")
    assert {"clinic.name", "clinic.phone", "practitioners", "settings.la.combine"} == case.faulty


def test_nothing_else_belongs_in_the_clinics_file() -> None:
    """A patient in the clinic's file would reach every case."""
    case, problems = read("record: {edition: 1}\n", "patient: {phone: '1'}\nclinic: {nmae: X}\n")
    assert places(problems) == [("unknown-field", "clinic.yaml:1:1"), ("unknown-field", "clinic.yaml:2:10")]
    assert None is case.value("patient.phone")


def test_a_broken_clinic_file_makes_the_case_unreadable() -> None:
    """Half of what is needed would look missing."""
    case, problems = read("record: {edition: 1}\n", "clinic: [\n")
    assert (
        places(problems),
        case.readable,
        case.value("record.edition"),
    ) == ([("yaml-broken", "clinic.yaml:2:1")], False, 1)


def test_the_letterhead_has_a_logo_or_none() -> None:
    """Both the group and the file name may be none."""
    for text in ("letterhead: none\n", "letterhead: {logo: none}\n"):
        case, problems = read(text)
        assert (case.value("letterhead.logo"), problems) == (Answer.NONE, ())


def test_settings_are_read_by_their_dotted_names() -> None:
    """A setting has a value, an approver and a day."""
    case, problems = read("settings:\n  la.regime: " + SETTING % "uk_taught")
    assert (
        case.setting("la.regime"),
        case.value("settings.la.regime"),
        case.settings["la.regime"].by,
        str(case.settings["la.regime"].on),
        problems,
    ) == ("uk_taught", "uk_taught", "mh", "2026-01-05", ())
    assert (case.place("settings.la.regime.value").line, case.place("settings.la.regime.value").column) == (2, 22)


def test_faults_of_settings() -> None:
    """Each fault names its part of the setting; a setting without approver keeps its value."""
    text = """\
settings:
  la.regim: {value: uk_taught, by: mh, on: 2026-01-05}
  la.combine: {value: both, by: mh, on: 2026-01-05}
  risk.words: {value: on}
  jurisdiction.age_of_majority: {value: -1, by: mh, on: 2026-13-05}
  jurisdiction.name: Harrow
  reading.words_per_minute:
  issue.unreviewed: {value: refuse, by: mh, on: 2026-01-05, why: x}
"""
    case, problems = read(text)
    assert codes_at(problems) == [
        ("unknown-field", "settings.la.regim"),
        ("bad-value", "settings.la.combine.value"),
        ("missing-field", "settings.risk.words.by"),
        ("missing-field", "settings.risk.words.on"),
        ("bad-value", "settings.jurisdiction.age_of_majority.value"),
        ("bad-value", "settings.jurisdiction.age_of_majority.on"),
        ("bad-value", "settings.jurisdiction.name"),
        ("empty-field", "settings.reading.words_per_minute"),
        ("unknown-field", "settings.issue.unreviewed.why"),
    ]
    assert problems[0].fix.in_words() == "did you mean settings.la.regime?"
    assert tuple(
        case.setting(name) for name in ("risk.words", "la.combine", "la.regime", "jurisdiction.age_of_majority")
    ) == ("on", "sum_of_fractions", None, None)


def test_faults_of_the_group_of_settings() -> None:
    """The whole group may be faulty too."""
    for text, code in (
        ("settings:\n", "empty-field"),
        ("settings: none\n", "bad-value"),
        ("settings: []\n", "empty-field"),
    ):
        assert [(code, "settings")] == codes_at(read(text)[1])


def test_own_fields_of_a_clinic() -> None:
    """A clinic's own fields are typed as it declares them, and nothing else is read under own."""
    leaves = {"own.photo.taken": own_leaf("yn"), "own.photo.view": own_leaf("code", ("front", "side"))}
    problems = Problems()
    text = b"own:\n  photo: {taken: yes, view: back, veiw: x}\n  other: {a: b}\n"
    case = read_case(Source("case.yaml", text), None, None, problems, leaves)
    assert (case.value("own.photo.taken"), case.value("own.photo.view")) == (True, None)
    assert codes_at(tuple(problems)) == [
        ("bad-value", "own.photo.view"),
        ("unknown-field", "own.photo.veiw"),
        ("unknown-field", "own.other"),
    ]
    assert Place("case.yaml", 2, 18) == case.place("own.photo.taken")


def test_own_fields_are_unknown_if_no_kind_has_any() -> None:
    """Nothing is silently dropped."""
    assert codes_at(read("own: {photo: {taken: yes}}\n")[1]) == [("unknown-field", "own")]


def test_the_digest_is_that_of_what_is_said() -> None:
    """Order, comments, quotes and files do not count; every value does, and so does the clinic's."""
    one, _ = read("record: {id: X, edition: 1}\nclinic: {name: Y}\n")
    same, _ = read("record:\n  edition: '1' # comment\n  id: X\n", "clinic: {name: Y}\n")
    other, _ = read("record: {id: X, edition: 2}\nclinic: {name: Y}\n")
    clinic, _ = read("record: {id: X, edition: 1}\nclinic: {name: Z}\n")
    setting, _ = read(
        "record: {id: X, edition: 1}\nclinic: {name: Y}\nsettings: {risk.words: " + SETTING % "on" + "}\n"
    )
    assert one.digest == same.digest
    assert len({one.digest, other.digest, clinic.digest, setting.digest}) == 4
    assert len(one.digest) == 64


def test_every_problem_is_reported_at_once() -> None:
    """Faults of syntax, names, values and files come in one pass, in the order of the files."""
    text = "patient:\n  phone: *x\n  sex: f\n  nmae: x\n  email:\n  email: none\n"
    _, problems = read(text, "clinic: {nam: x}\n")
    assert codes_at(problems) == [
        ("yaml-not-plain", "patient.phone"),
        ("bad-value", "patient.sex"),
        ("unknown-field", "patient.nmae"),
        ("duplicate-key", "patient.email"),
        ("unknown-field", "clinic.nam"),
    ]
