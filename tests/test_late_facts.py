"""Late facts: the document is counted without the paragraphs that hold them, then filled; no renderer sees a slot."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from pathlib import Path
from typing import Any

import pytest
from conftest import shipped_world, tree_files

from docgen.cli import main
from docgen.compose.tokens import Slot
from docgen.drafts import Draft, desk_of, draft, text_problems
from docgen.examine import Examined, Wish, World, examine
from docgen.generate import generate
from docgen.kinds import TemplateFolders
from docgen.problem import Refused, Severity
from docgen.readability import all_words, find_index

DAY = date(2026, 3, 17)
KIND = """\
title: Notice
version: "1"
audience: patient
moment: consent.first_talk_on
requires:
  - {field: [patient.given_names], because: says whose notice it is}
facts: [readability, reading_minutes]
"""
EASY = '## {{ _("Rest") }}\n\n{{ _("Eat soft food. Drink a lot.") }}\n\n'
EASE = (
    '{{ _("Ease %(index)s %(value)s of %(target)s, met: %(met)s.", index=facts.readability.index,'
    " value=facts.readability.value, target=facts.readability.target, met=facts.readability.is_met) }}\n\n"
)
TIME = (
    '{{ ngettext("It takes about %(count)s minute.", "It takes about %(count)s minutes.", facts.reading_minutes,'
    " count=facts.reading_minutes) }}\n\n"
)
NAMED = '{{ _("Dear %(name)s.", name=patient.given_names) }}\n\n'
HARD = (
    '{{ _("%(name)s anticipates considerable postoperative discomfort necessitating immediate reconsideration.",'
    " name=patient.given_names) }}\n\n"
)


@pytest.fixture
def own(tmp_path: Path) -> Any:
    """Give a function that makes a world whose one own kind has a body."""

    def make(body: str, kind: str = KIND) -> World:
        folder = tmp_path / "templates" / "notice"
        folder.mkdir(parents=True, exist_ok=True)
        (folder / "kind.yaml").write_text(kind, "utf-8")
        (folder / "body.md.j2").write_text("{% block N1 %}\n" + body + "\n{% endblock %}\n", "utf-8")
        shipped = shipped_world()
        return replace(shipped, templates=TemplateFolders((tmp_path / "templates", *shipped.templates.folders)))

    return make


def drafted(world: World, tree: dict[str, Any]) -> tuple[Draft, Examined]:
    """Compose the notice of a record."""
    seen = examine(tree_files(tree), Wish(("notice",)), world, lambda _zone: DAY)
    assert seen.problems.refusing == ()
    return draft(seen.asked[0], desk_of(seen, world)), seen


def test_a_paragraph_with_a_slot_is_not_counted(own: Any, fenwright: dict[str, Any]) -> None:
    """The value is the same with and without the paragraphs that print it."""
    plain, _ = drafted(own(EASY + NAMED), fenwright)
    filled, _ = drafted(own(EASY + EASE + NAMED + TIME), fenwright)
    assert plain.measured is not None
    assert filled.measured is not None

    assert plain.measured.counts == filled.measured.counts
    assert plain.measured.value == filled.measured.value
    # the title, a heading, three sentences: Notice. Rest. Eat soft food. Drink a lot. Dear Orla.
    assert (10, 5) == (plain.measured.counts.words, plain.measured.counts.sentences)


def test_slots_are_filled_before_any_renderer_sees_them(own: Any, fenwright: dict[str, Any]) -> None:
    """The printed value is the counted one, rounded towards harder; no slot is left anywhere."""
    one, _ = drafted(own(EASY + EASE + TIME), fenwright)
    assert one.measured is not None
    index = find_index("flesch_kincaid", shipped_world().tables)
    assert index is not None
    spans = [span for found in all_words(one.document.sections) for span in found]
    text = "".join(span.text for span in spans)

    assert not any(isinstance(span, Slot) for span in spans)
    assert f"Ease Flesch-Kincaid grade {index.printed(one.measured.value)} of 8, met: yes." in text.replace(
        "\u00a0", " "
    )
    assert "It takes about 1 minute." in text


def test_reading_time_goes_up_to_a_whole_minute(own: Any, fenwright: dict[str, Any]) -> None:
    """Words through words per minute, rounded up; the clinic sets the pace, and the document knows it."""
    fenwright["settings"]["reading.words_per_minute"] = {"value": "3", "by": "Maren Holt", "on": "2026-01-05"}
    one, _ = drafted(own(EASY + TIME), fenwright)
    text = "".join(span.text for found in all_words(one.document.sections) for span in found)

    assert "It takes about 3 minutes." in text  # 7 words at 3 a minute
    assert ("reading.words_per_minute", "3") in one.document.origin.settings


@pytest.mark.parametrize(
    "body",
    [
        "{% if facts.readability.is_met %}{% endif %}",
        "{% if facts.reading_minutes == 3 %}{% endif %}",
        '{{ ngettext("%(n)s a %(x)s", "%(n)s b %(x)s", facts.reading_minutes, n=facts.reading_minutes,'
        " x=patient.given_names) }}",
    ],
)
def test_a_template_that_decides_by_a_late_fact_is_at_fault(own: Any, fenwright: dict[str, Any], body: str) -> None:
    """What is known only after counting can be printed, not tested, and not mixed into a sentence of two forms."""
    with pytest.raises(Refused) as refused:
        drafted(own(EASY + body), fenwright)

    assert ["template-fault"] == [p.code for p in refused.value.problems]


def test_a_missed_target_is_a_note_that_names_the_sentence_and_no_value(own: Any, fenwright: dict[str, Any]) -> None:
    """The note names index, value, target and sentences; what the record says is blanked."""
    one, _ = drafted(own(EASY + HARD), fenwright)
    (note,) = one.notes
    said = note.in_words()

    assert ("readability-low", Severity.NOTE, "settings.readability.en.notice.target") == (
        note.code,
        note.severity,
        note.path,
    )
    assert "notice (en): Flesch-Kincaid grade" in said
    assert "8.0 at most" in said
    assert "… anticipates considerable postoperative discomfort necessitating immediate reconsideration." in said
    assert "Orla" not in said


def test_make_carries_the_note_and_a_met_target_is_silent(own: Any, fenwright: dict[str, Any]) -> None:
    """The note travels with the documents; an easy text has none."""
    hard = generate(tree_files(fenwright), Wish(("notice",), formats=("text",)), own(HARD), lambda _zone: DAY)
    easy = generate(tree_files(fenwright), Wish(("notice",), formats=("text",)), own(EASY), lambda _zone: DAY)

    assert "readability-low" in [p.code for p in hard.notes]
    assert "readability-low" not in [p.code for p in easy.notes]


def test_the_clinic_may_refuse_a_text_that_is_too_hard(own: Any, fenwright: dict[str, Any]) -> None:
    """Severity and target are settings; the document knows them, and a check says what make would say."""
    world = own(HARD + EASE)
    for name, value in (("severity", "refuse"), ("target", "0.5")):
        setting = {"value": value, "by": "Maren Holt", "on": "2026-01-05"}
        fenwright["settings"][f"readability.en.notice.{name}"] = setting
    seen = examine(tree_files(fenwright), Wish(("notice",)), world, lambda _zone: DAY)
    one = draft(seen.asked[0], desk_of(seen, world))
    with pytest.raises(Refused) as refused:
        generate(tree_files(fenwright), Wish(("notice",)), world, lambda _zone: DAY)

    assert [("readability-low", Severity.REFUSE)] == [(p.code, p.severity) for p in text_problems(seen, world)]
    assert "readability-low" in [p.code for p in refused.value.problems]
    assert ("readability.en.notice.target", "0.5") in one.document.origin.settings


def test_an_index_nobody_knows_is_refused(own: Any, fenwright: dict[str, Any]) -> None:
    """A clinic may choose an index by its name, and only one that can be computed."""
    setting = {"value": "szigriszt_pazos", "by": "Maren Holt", "on": "2026-01-05"}
    fenwright["settings"]["readability.en.notice.index"] = setting
    chosen, _ = drafted(own(EASY + EASE), fenwright)
    fenwright["settings"]["readability.en.notice.index"] = {**setting, "value": "fog"}
    with pytest.raises(Refused) as refused:
        drafted(own(EASY + EASE), fenwright)

    assert chosen.measured is not None
    assert "szigriszt_pazos" == chosen.measured.index.name
    assert [("bad-value", "settings.readability.en.notice.index")] == [(p.code, p.path) for p in refused.value.problems]


def test_a_language_without_an_index_says_so(own: Any, fenwright: dict[str, Any], tmp_path: Path) -> None:
    """Arabic has no validated index here: the fact is unknown, and nothing is measured."""
    home = tmp_path / "locales/ar/LC_MESSAGES"
    home.mkdir(parents=True)
    described = "name: عربي\ndirection: rtl\ndate: d MMMM y\nday: EEEE d MMMM y\ntime: HH:mm\n"
    (tmp_path / "locales/ar/language.yaml").write_text(described, "utf-8")
    world = own('{% if facts.readability is known %}{{ _("A") }}{% else %}{{ _("No index.") }}{% endif %}')
    sentences = ["No index.", "Notice", "SAMPLE", "DRAFT", "Page {page} of {pages}", "born %(date)s"]
    sentences += ["number %(number)s", "Patient's copy", "Clinic's copy", "Not issued. Made on %(date)s"]
    sentences += ["Record %(record)s, %(kind)s version %(version)s, tables of figures edition %(tables)s", "none"]
    other = "This paper is in %(this)s. You read best in %(reader)s. Ask us to go through it with you in that language."
    sentences += ["No qualified person has reviewed this translation."]
    sentences += ["The %(language)s text is binding unless local law says otherwise."]
    po = ['msgid ""\nmsgstr "Content-Type: text/plain; charset=UTF-8\\n"\n']
    po += [f'msgid "{one}"\nmsgstr "{one}"\n' for one in [*sentences, other]]
    (home / "docgen.po").write_text("\n".join(po), "utf-8")
    world = replace(world, locales=(tmp_path / "locales", *world.locales))
    seen = examine(tree_files(fenwright), Wish(("notice",), language="ar"), world, lambda _zone: DAY)
    one = draft(seen.asked[0], desk_of(seen, world))

    assert one.measured is None
    assert one.notes == ()
    assert "No index." in "".join(span.text for found in all_words(one.document.sections) for span in found)


def test_lint_fails_on_a_text_that_is_too_hard_and_shows_its_sentences(
    own: Any, capsys: pytest.CaptureFixture[str]
) -> None:
    """In shipped or own texts a missed target is a fault, with the sentences as they stand; exit code 3."""
    world = own(HARD + EASE + TIME)
    case = str(Path(__file__).parent.parent / "examples/fenwright/case.yaml")
    folder = str(world.templates.folders[0])
    code = main(["lint", "notice", "--templates", folder, "--case", case])
    said = capsys.readouterr().err
    easy = main(["lint", "notice", "--templates", str(own(EASY + EASE + TIME + NAMED).templates.folders[0]),
                 "--case", case, "--ease"])  # fmt: skip
    shown = capsys.readouterr()

    assert 3 == code
    assert "[readability-low]" in said
    assert "Orla anticipates considerable postoperative discomfort" in said
    assert 0 == easy, shown.err
    assert "notice (en), fenwright: Flesch-Kincaid grade" in shown.out
