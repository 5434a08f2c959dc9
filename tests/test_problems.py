"""Every code of docgen: brought about by a file of tests/problems, or by the test that OTHERS names."""

from __future__ import annotations

import ast
import re
from pathlib import Path

import pytest
from conftest import ROOT, example_files
from problem_files import ProblemFile, problem_files, read_problem

from docgen.case import Case, Source, read_case
from docgen.checks import CHECKS
from docgen.checks.signed import edited_after_signature, figures_edition, signed_digest
from docgen.compose import body_environment
from docgen.generate import Wish, World, examine, generate
from docgen.kinds import TemplateFolders, read_kind, read_words
from docgen.kinds.complete import CODES_OF_ABSENCE
from docgen.kinds.lint import lint_kind, lint_words
from docgen.problem import Problem, Problems, Refused, Severity
from docgen.shipped import shipped_folder

OTHERS = {
    "json-broken": "case/test_case_syntax.py",  # the file is no YAML
    "too-deep": "case/test_case_syntax.py",  # hundreds of brackets
    "too-large": "case/test_case_syntax.py",  # a megabyte
    "file-exists": "test_cli.py",
    "file-unreadable": "test_cli.py",
    "kind-faulty": "test_problems.py",  # of templates, from here to words-missing
    "kind-unknown": "test_problems.py",
    "kind-unread": "test_problems.py",
    "template-broken": "test_problems.py",
    "template-fault": "test_clinic_folder.py",
    "template-loose": "test_clinic_folder.py",
    "template-undeclared": "test_problems.py",
    "words-missing": "test_problems.py",
    "catalog-shape": "test_languages.py",  # of catalogs
    "figures-differ": "test_languages.py",
    "translation-unreviewed": "test_languages.py",
    "language-unknown": "translation/test_begin.py",
    "exchange-faulty": "translation/test_exchange.py",
    "exchange-outdated": "translation/test_exchange.py",
    "catalog-faulty": "translation/test_lint.py",
    "catalog-differs": "translation/test_lint.py",
    "text-unread": "translation/test_unread.py",
    "readability-low": "test_late_facts.py",
    "edited-after-signature": "test_problems.py",
    "figures-edition": "test_problems.py",
    "must-print-missing": "checks/test_codes.py",
    "folder-unwritable": "test_cli_register.py",
    "successor-unfit": "issuing/test_issue.py",
    "supersedes-one": "issuing/test_issue.py",
    "chain-broken": "issue/test_tampering.py",
    "chain-order": "issue/test_tampering.py",
    "entry-changed": "issue/test_tampering.py",
    "file-unexpected": "issue/test_tampering.py",
    "file-unlisted": "issue/test_tampering.py",
    "head-differs": "issue/test_tampering.py",
    "head-forged": "issue/test_tampering.py",
    "life-broken": "issue/test_tampering.py",
    "register-damaged": "issue/test_tampering.py",
    "schema-changed": "issue/test_tampering.py",
    "state-differs": "issue/test_tampering.py",
    "trigger-missing": "issue/test_tampering.py",
    "already-issued": "issuing/test_issue.py",
    "certificate-other-name": "issuing/test_sign.py",
    "chain-rewritten": "issue/test_checkpoint.py",
    "chain-shorter": "issue/test_checkpoint.py",
    "checkpoint-foreign": "issue/test_checkpoint.py",
    "checkpoint-forged": "issue/test_checkpoint.py",
    "checkpoint-unreadable": "test_cli_register.py",
    "content-erased": "issuing/test_copies.py",
    "key-missing": "test_cli_register.py",
    "note-unknown": "issuing/test_sign_addendum.py",
    "number-unknown": "issuing/test_issue.py",
    "pack-signed": "issuing/test_packs.py",
    "reason-missing": "issuing/test_copies.py",
    "reason-unused": "issuing/test_issue.py",
    "referral-without-data": "exchange/test_referral.py",
    "signature-field": "signing/test_sign.py",
    "signed-already": "issuing/test_sign.py",
    "signed-stands": "issuing/test_sign.py",
    "signer-differs": "issuing/test_sign.py",
    "signer-missing": "issuing/test_sign.py",
    "signer-unknown": "issuing/test_sign.py",
    "signing-kind": "issuing/test_sign.py",
    "text-unapproved": "issuing/test_issue.py",
    "trust-unreadable": "signing/test_trust.py",
    "clock-behind": "issue/test_health.py",
    "key-change-unfinished": "issue/test_rotation.py",
    "data-none": "issue/test_health.py",
    "data-open": "issue/test_health.py",
    "data-unusable": "issue/test_health.py",
    "disk-full": "issue/test_health.py",
    "file-erased-there": "issue/test_health.py",
    "file-unnamed": "issue/test_health.py",
    "preparation-stale": "issue/test_health.py",
    "temporaries-stale": "issue/test_health.py",
    "bytecode-missing": "issue/test_installed.py",
    "extra-missing": "issue/test_installed.py",
    "python-old": "issue/test_installed.py",
    "register-lost": "issue/test_keeping_commands.py",
    "who-unknown": "issue/test_keeping_commands.py",
    "font-cache-damaged": "issue/test_keeping_commands.py",
    "font-unusable": "issue/test_keeping_commands.py",
    "backup-exists": "issue/test_backup.py",
    "restore-not-empty": "issue/test_backup.py",
    "erasure-too-early": "issue/test_retention.py",
    "on-hold": "issue/test_retention.py",
    "signature-unrecorded": "issuing/test_countersign.py",
    "signed-none": "issuing/test_countersign.py",
    "signed-several": "issuing/test_countersign.py",
    "signer-same": "issuing/test_countersign.py",
    "supervisor-none": "issuing/test_countersign.py",
}
"""Codes that no YAML record of a few lines can cause > the test that brings each about."""

REPORTING = ("Problem", "Fault", "report", "_fault", "fault", "_report_broken", "_refuse")
"""Functions that are given the code of a problem."""

_CODE = re.compile(r"[a-z]+(-[a-z]+)+")
_AT = re.compile(r"(line |case\.yaml:)\d+(:\d+)?")
FILES = tuple(read_problem(path) for path in problem_files())


def _codes() -> set[str]:
    """Gather every code the program can give: what its source hands to a problem, and the lists that name codes."""
    found = {check.code for check in CHECKS} | set(CODES_OF_ABSENCE.values())
    for module in sorted((ROOT / "docgen").rglob("*.py")):
        for node in ast.walk(ast.parse(module.read_text("utf-8"))):
            if isinstance(node, ast.Call) and _name(node.func) in REPORTING:
                words = (*node.args[:3], *(word.value for word in node.keywords if word.arg == "code"))
                said = {word.value for part in words for word in ast.walk(part) if isinstance(word, ast.Constant)}
                found |= {word for word in said if isinstance(word, str) and _CODE.fullmatch(word)}
    return found


def _name(called: ast.expr) -> str:
    return called.attr if isinstance(called, ast.Attribute) else called.id if isinstance(called, ast.Name) else ""


def _plain(words: str) -> str:
    """Leave out the numbers of lines of the base, which move when the example is edited."""
    return _AT.sub(r"\1N", words).replace("N:N", "N")


def _all_of(file: ProblemFile, world: World) -> list[Problem]:
    wish = Wish(file.kinds, on=file.on, language=file.said("language"), formats=())
    if not file.said("made"):
        return list(examine(file.files, wish, world, lambda _zone: file.on).problems)
    with pytest.raises(Refused) as refused:
        generate(file.files, wish, world, lambda _zone: file.on)
    return list(refused.value.problems)


@pytest.mark.parametrize("file", FILES, ids=lambda file: file.name)
def test_a_faulty_record_says_what_its_file_says(file: ProblemFile, world: World) -> None:
    """Each message stands beside its line, in full; nothing else refuses."""
    found = {
        (p.code, p.path): (
            _plain(p.what.in_words()),
            _plain(p.fix.in_words()),
            p.severity is Severity.NOTE,
            _line(p, file),
        )
        for p in _all_of(file, world)
    }
    said = {(m.code, m.path): (_plain(m.what), _plain(m.fix), m.is_note, m.line) for m in file.messages}

    assert said
    assert said == {key: words for key, words in found.items() if key in said or not words[2]}


def _line(problem: Problem, file: ProblemFile) -> int | None:
    return file.lines[problem.place.line - 1].number if problem.place else None


def test_every_file_is_named_after_its_code() -> None:
    """A file is found by the code it brings about."""
    astray = [f.name for f in FILES if not any(f.name == m.code or f.name.startswith(f"{m.code}-") for m in f.messages)]

    assert astray == []


def test_every_code_is_brought_about() -> None:
    """A code that nothing brings about, and one that is not there any more, are named."""
    shown = {message.code for file in FILES for message in file.messages}

    assert _codes() == shown | set(OTHERS)
    assert shown & set(OTHERS) == set()


@pytest.mark.parametrize("code", sorted(OTHERS))
def test_what_no_record_causes_has_its_test(code: str) -> None:
    """The test named does hold the code."""
    assert re.search(rf"\b{code}\b", (ROOT / "tests" / OTHERS[code]).read_text("utf-8"))


SLIP = '{% block slip %}\n{{ _("%(name)s comes.", name=patient.form_of_address) }}\n{% endblock %}\n'
SLIP_KIND = """title: Slip
version: "1"
audience: staff
moment: follow_up.review_at
requires:
  - {field: [patient.form_of_address], because: the slip is handed to a person}
"""


@pytest.mark.parametrize(
    ("code", "body", "kind"),
    [
        ("kind-unread", SLIP, SLIP_KIND.replace("address]", "address, patient.sex]")),
        ("kind-faulty", SLIP, SLIP_KIND.replace("address]", "address, patient.shoe_size]")),
        ("kind-faulty", SLIP, f"checked_as: cosnent\n{SLIP_KIND}"),
        ("template-broken", SLIP.replace("{% endblock %}", ""), SLIP_KIND),
        ("template-undeclared", SLIP.replace("form_of_address", "sex"), SLIP_KIND.replace("form_of_address", "phone")),
    ],
)
def test_lint_names_the_fault_of_a_kind(tmp_path: Path, code: str, body: str, kind: str) -> None:
    """What template and kind.yaml contradict each other in is named by its code."""
    (tmp_path / "slip").mkdir()
    (tmp_path / "slip" / "body.md.j2").write_text(body, "utf-8")
    (tmp_path / "slip" / "kind.yaml").write_text(kind, "utf-8")
    folders, problems = TemplateFolders((tmp_path, shipped_folder("templates"))), Problems()
    described = read_kind("slip", folders, problems)
    if described is not None:
        lint_kind(described, body_environment(folders.folders), problems)

    assert code in {problem.code for problem in problems}


def test_a_kind_nobody_described_is_named() -> None:
    """Asking for a kind that is not there is refused."""
    problems = Problems()

    assert read_kind("invoice", TemplateFolders((shipped_folder("templates"),)), problems) is None
    assert [problem.code for problem in problems] == ["kind-unknown"]


def test_a_code_without_words_is_named() -> None:
    """A code of the record that no text can say is a fault of the house's words."""
    words, problems = read_words((shipped_folder("templates"),)), Problems()
    del words.groups["anesthesia"]["local"]
    lint_words(words, problems)

    assert {problem.code for problem in problems} == {"words-missing"}


def _case() -> Case:
    files = example_files("fenwright")
    return read_case(files.case, files.clinic, None, Problems())


def test_documents_of_different_editions_are_no_pack() -> None:
    """Figures of two editions are never handed out together."""
    refused = figures_edition({"consent (en)": ["likelihood-base 1"], "aftercare (en)": ["likelihood-base 2"]})

    assert refused is not None
    assert (refused.code, refused.needed_by) == ("figures-edition", ("consent (en)", "aftercare (en)"))
    assert figures_edition({"consent (en)": ["b 1", "a 1"], "aftercare (en)": ["a 1", "b 1"]}) is None


def _edited(old: str, new: str) -> Case:
    files = example_files("fenwright")
    text = files.case.text.decode()
    assert text.count(old) == 1
    return read_case(Source("case.yaml", text.replace(old, new).encode()), files.clinic, None, Problems())


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ("  counts: complete", "  counts: incomplete"),
        (
            "      complications: none",
            "      complications: [{code: bleeding, words: x, action: y, patient_told: yes}]",
        ),
        ("  assistants: [jt]", "  assistants: [jt, mh]"),
        ("  hemostasis_at: 2026-03-17T10:42", "  hemostasis_at: 2026-03-17T10:43"),
    ],
)
def test_a_note_edited_after_signature_is_refused(old: str, new: str) -> None:
    """A printed field that is not what was signed is named; the earlier digest comes from whoever kept it."""
    refused = edited_after_signature(_edited(old, new), signed_digest(_case()))

    assert refused is not None
    assert (refused.code, refused.path, refused.severity) == ("edited-after-signature", "operation", Severity.REFUSE)


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ("  addenda: none", "  addenda: [{text: Called at noon, by: mh, at: 2026-03-17T12:00}]"),
        ("  discharged_at: 2026-03-17T11:00\n", ""),
        ("    sign_out_at: 2026-03-17T10:50", "    sign_out_at: 2026-03-17T10:52"),
        ("  occupation: teacher", "  occupation: singer"),
        ("  counts: complete", "  counts:   'complete'  # counted twice"),
    ],
)
def test_what_is_added_after_signing_edits_nothing(old: str, new: str) -> None:
    """Addenda, discharge and sign-out are written later; other groups, quotes and comments are no part of the note."""
    assert edited_after_signature(_edited(old, new), signed_digest(_case())) is None
