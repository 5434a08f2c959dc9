"""A source > its tree, whatever its syntax; a file that cannot be read gives no tree and one problem."""

from __future__ import annotations

from docgen.case.json_text import read_json
from docgen.case.tree import MAX_BYTES, Node, Source, TreeBuilder, UnreadableError
from docgen.case.yaml_text import read_yaml
from docgen.problem import Place, Problems, say
from docgen.values import dataclass


@dataclass(frozen=True)
class ReadFile:
    """A file as far as it could be read."""

    name: str
    root: Node | None
    faulty: frozenset[str]
    """Paths the syntax already refused."""
    readable: bool
    """False if nothing of it is used."""


def read_file(source: Source, problems: Problems) -> ReadFile:
    """Read a source as YAML or JSON, literally; never raises for bad input."""
    builder = TreeBuilder(problems)
    try:
        text = _decode(source, builder)
        (read_json if source.is_json else read_yaml)(text, source.name, builder)
    except UnreadableError:
        return ReadFile(source.name, None, frozenset(), readable=False)
    return ReadFile(source.name, builder.root, frozenset(builder.faulty), readable=True)


def _decode(source: Source, builder: TreeBuilder) -> str:
    if len(source.text) > MAX_BYTES:
        builder.report(
            "too-large",
            say("the file has more than %(limit)s bytes", limit=MAX_BYTES),
            say("give one record per file, and images as file names"),
            Place(source.name, 1, 1),
            "",
        )
        raise UnreadableError
    try:
        return source.text.decode("utf-8")
    except UnicodeDecodeError as error:
        before = source.text[: error.start].decode("utf-8")
        line = before.count("\n") + 1
        builder.report(
            "not-utf8",
            say("the file is not UTF-8 text from here on"),
            say("save it as UTF-8 in your editor"),
            Place(source.name, line, len(before) - (before.rfind("\n") + 1) + 1),
            "",
        )
        raise UnreadableError from None
