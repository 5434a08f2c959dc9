"""A folder with `kind.yaml` and `body.md.j2` > a DocumentKind, with every fault of the folder as a problem."""

from __future__ import annotations

import hashlib
from pathlib import Path
from typing import Any

import yaml

from docgen.kinds.kind import APART, PAIRS, Condition, DocumentKind, Exchange, OwnField, Requirement, Undated
from docgen.kinds.texts import cached_texts
from docgen.problem import Place, Problem, Problems, say
from docgen.values import dataclass

KEYS = frozenset(
    {
        "extends",
        "title",
        "version",
        "audience",
        "moment",
        "undated",
        "teeth",
        "reference_day",
        "copies",
        "signed_at",
        "requires",
        "optional",
        "facts",
        "fields",
        "foot_caution",
        "staff_sections",
        "bilingual",
        "called_for_by",
        "exchange",
        "checked_as",
    }
)
LISTS = ("requires", "optional", "facts", "copies", "signed_at", "staff_sections")
OWN_TYPES = ("yn", "line", "text", "date", "int", "decimal", "code")


@dataclass(frozen=True)
class TemplateFolders:
    """Where kinds are looked for: the clinic's own folder first, if there is one, then the shipped one."""

    folders: tuple[Path, ...]

    def find(self, name: str, file: str) -> Path | None:
        """Find a file of a kind in the first folder that has it."""
        return next((f / name / file for f in self.folders if (f / name / file).is_file()), None)


def kind_names(folders: TemplateFolders) -> tuple[str, ...]:
    """Name every kind the folders hold."""
    found = {f.parent.name for folder in folders.folders for f in folder.glob("*/kind.yaml")}
    return tuple(sorted(n for n in found if not n.startswith("_")))


def read_kind(name: str, folders: TemplateFolders, problems: Problems) -> DocumentKind | None:
    """
    Read a kind.

    Errors: kind-unknown, if no folder has it; kind-faulty, for each fault of its `kind.yaml`.
    """
    file, body = folders.find(name, "kind.yaml"), folders.find(name, "body.md.j2")
    if file is None or body is None:
        problems.add(
            Problem(
                "kind-unknown",
                "",
                say("there is no document kind %(name)s", name=name),
                say("choose one of %(names)s", names=", ".join(kind_names(folders))),
            )
        )
        return None
    faults = _Faults(name, problems)
    described = _described(file, folders, faults)
    if described is None:
        return None
    return _kind(name, described, body, folders, faults)


def _kind(
    name: str, described: dict[str, Any], body: Path, folders: TemplateFolders, faults: _Faults
) -> DocumentKind | None:
    requires = tuple(_requirement(item, faults) for item in described.get("requires", []))
    fields = described.get("fields") or {}
    exchange = _exchange(described, faults)
    if faults.found:
        return None
    return DocumentKind(
        name=name,
        title=described["title"],
        version=described["version"],
        audience=described["audience"],
        moment=described["moment"],
        foot_caution=described.get("foot_caution", ""),
        undated=_undated(described, faults),
        exchange=exchange,
        **{key: tuple(described[key]) for key in ("teeth", "reference_day") if key in described},
        copies=tuple(described.get("copies", [])),
        signed_at=tuple(described.get("signed_at", [])),
        staff_sections=tuple(described.get("staff_sections", [])),
        bilingual=described.get("bilingual", ""),
        called_for_by=described.get("called_for_by", ""),
        checked_as=_checked_as(described, folders, faults),
        requires=requires,
        optional=tuple(described.get("optional", [])),
        facts=tuple(described.get("facts", [])),
        own_fields=tuple(OwnField(key, v["type"], v["label"], tuple(v.get("codes", []))) for key, v in fields.items()),
        folder=body.parent,
        body=f"{name}/body.md.j2",
        digest=_digest(name, folders),
    )


class _Faults:
    """Collects the faults of one kind.yaml."""

    def __init__(self, name: str, problems: Problems) -> None:
        self.name, self.problems, self.found = name, problems, False

    def add(self, path: str, what: Any, fix: Any, line: int = 1) -> None:
        self.found = True
        place = Place(f"templates/{self.name}/kind.yaml", line, 1)
        self.problems.add(Problem("kind-faulty", path, what, fix, place))


def _described(file: Path, folders: TemplateFolders, faults: _Faults) -> dict[str, Any] | None:
    """Read kind.yaml; one that extends the shipped kind adds to its lists and replaces its words."""
    try:
        own: Any = cached_texts(file.read_text("utf-8"))
    except yaml.YAMLError as error:
        mark = getattr(error, "problem_mark", None)
        faults.add("", say("kind.yaml is not YAML"), say("mend the line"), mark.line + 1 if mark else 1)
        return None
    if not isinstance(own, dict):
        faults.add("", say("kind.yaml holds no keys"), say("write title, version, audience, moment and requires"))
        return None
    for key in sorted(set(own) - KEYS):
        faults.add(
            key,
            say("%(key)s is not a key of kind.yaml", key=key),
            say("use one of %(keys)s", keys=", ".join(sorted(KEYS))),
        )
    if "extends" in own:
        shipped = next(
            (
                f / own["extends"] / "kind.yaml"
                for f in folders.folders[::-1]
                if (f / own["extends"] / "kind.yaml").is_file()
            ),
            None,
        )
        if shipped is None or shipped == file:
            faults.add("extends", say("there is no shipped kind to extend"), say("name a kind of docgen kinds"))
            return None
        below: dict[str, Any] = cached_texts(shipped.read_text("utf-8"))
        joined = {key: [*below.get(key, []), *own.get(key, [])] for key in LISTS if key in below or key in own}
        own = {**below, **own, **joined}
    _check_keys(own, faults)
    return None if faults.found else own


def _check_keys(own: dict[str, Any], faults: _Faults) -> None:
    lacking = [key for key in ("title", "version", "audience", "moment") if not own.get(key)]
    for key in lacking:
        faults.add(key, say("kind.yaml says no %(key)s", key=key), say("add %(key)s: to it", key=key))
    if own.get("bilingual", PAIRS) not in (PAIRS, APART):
        fix = say("write bilingual: %(words)s, or leave it out", words=f"{PAIRS} / {APART}")
        faults.add("bilingual", say("bilingual says how two languages stand in one text"), fix)
    for key, described in (own.get("fields") or {}).items():
        if not isinstance(described, dict) or described.get("type") not in OWN_TYPES or "label" not in described:
            faults.add(
                f"fields.{key}",
                say("an own field needs a type and a label"),
                say("give it a label and one of the types %(types)s", types=", ".join(OWN_TYPES)),
            )


def _undated(described: dict[str, Any], faults: _Faults) -> Undated | None:
    """Read what the version without clock times reads instead."""
    own = described.get("undated")
    if own is None:
        return None
    if not isinstance(own, dict) or set(own) != {"moment", "teeth", "reference_day"}:
        faults.add("undated", say("undated needs moment, teeth and reference_day"), say("write all three under it"))
        return None
    return Undated(own["moment"], tuple(own["teeth"]), tuple(own["reference_day"]))


def _exchange(described: dict[str, Any], faults: _Faults) -> Exchange | None:
    """Read how the data leave the clinic: `embedded`, `when` and a LOINC code with its display."""
    own = described.get("exchange")
    if own is None:
        return None
    if not isinstance(own, dict) or not set(own) <= {"embedded", "when", "loinc", "display"}:
        fix = say("write embedded: yes or no, when: {field: value}, loinc and display under it")
        faults.add("exchange", say("exchange says how the data of a document leave the clinic"), fix)
        return None
    when = _condition(own.get("when"), faults)
    return Exchange(own.get("embedded", "yes") != "no", when, own.get("loinc", ""), own.get("display", ""))


def _checked_as(described: dict[str, Any], folders: TemplateFolders, faults: _Faults) -> str:
    """Read the kind as which gate 3 looks at a document; a name nobody has would silence every check of a kind."""
    named: str = described.get("checked_as", "")
    if named and named not in kind_names(folders):
        fix = say("choose one of %(names)s", names=", ".join(kind_names(folders)))
        faults.add("checked_as", say("there is no document kind %(name)s", name=named), fix)
    return named


def _requirement(item: Any, faults: _Faults) -> Requirement:
    """Read one requirement: field or one_of, because, and at most one condition."""
    if not isinstance(item, dict) or not item.get("because") or ("field" in item) == ("one_of" in item):
        faults.add(
            "requires",
            say("a requirement needs either field or one_of, and a because"),
            say("write {field: ..., because: ...}"),
        )
        return Requirement((), "")
    named = item.get("field", item.get("one_of"))
    fields = tuple(named) if isinstance(named, list) else (named,)
    return Requirement(fields, item["because"], _condition(item.get("when"), faults), "one_of" in item)


def _condition(when: Any, faults: _Faults) -> Condition | None:
    if when is None:
        return None
    if isinstance(when, str):
        return Condition(when)
    if isinstance(when, dict) and len(when) == 1:
        name, value = next(iter(when.items()))
        return Condition(name, value)
    faults.add(
        "requires",
        say("a condition is one fact, or one field equal to one value"),
        say("give anything harder a name as a fact"),
    )
    return None


def _digest(name: str, folders: TemplateFolders) -> str:
    """Digest every file the text can come from: both folders of the kind and the house's own parts."""
    digest = hashlib.sha256()
    for folder in folders.folders:
        for part in (name, "_house"):
            for file in sorted((folder / part).glob("*")):
                if file.suffix in (".yaml", ".j2"):
                    digest.update(file.name.encode() + b"\0" + file.read_bytes() + b"\0")
    return digest.hexdigest()
