"""
`templates/_house/style.yaml` > Style: type roles, lengths and colors of every page.

Units: type sizes and spaces in points, lengths in millimeters. Names are fixed here; values are the house's.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import replace
from pathlib import Path

import yaml

from docgen.blocks import Layout
from docgen.problem import Message, Place, Problem, Problems, Refused, say
from docgen.render.fonts.own import OWN, UnusableOwnFont, own_family
from docgen.render.fonts.sources import HOUSE
from docgen.render.own_style import (
    LEAST_FOR_SHAPES,
    LEAST_FOR_TEXT,
    SHAPES,
    WORDS,
    compose,
    contrast,
    laid_over,
)
from docgen.values import dataclass

STYLE_FILE = "style.yaml"

COLORS = ("ink", "deep", "quiet", "line", "danger", "dot", "hair", "mark", "tint", "paper")
VOICES = ("patient", "staff", "large")
ROLES = (
    *("title", "heading", "subheading", "body", "lead", "small", "cell", "column", "caption"),
    *("label", "note", "danger", "clinic", "furniture", "tag", "person", "page"),
)
PAPERS = ("A4", "Letter")
FORMS = ("fill", "print")
PAPER_LENGTHS = ("width", "height", "margin", "head", "first", "body", "body_end", "foot")
LENGTHS = (
    *("side", "side_rule", "text", "content", "label", "cell_gap", "item", "square", "box", "box_gap"),
    *("caution_gap", "signature", "signature_gap", "moment", "signature_height", "writing"),
)
SPACES = ("section_patient", "section_staff", "section_large", "rule", "paragraph", "item", "row", "title")

_TELEPHONE, _LARGE_TELEPHONE = (19 / 12, 23 / 18), (26 / 18, 35 / 27)
"""Size and line of a telephone number against body text (page design, section 2)."""

_WHY: Mapping[str, Message] = {
    "no file": say("there is no such file beside style.yaml"),
    "no font": say("the file is no TrueType font"),
    "not static": say("it is a variable font; give one file for each weight"),
    "not allowed": say("its license bits forbid embedding"),
}


@dataclass(frozen=True)
class Role:
    """How one kind of text is set."""

    size: float
    line: float
    """From base line to base line."""
    color: str
    """As #RRGGBB."""
    bold: bool = False
    family: str = HOUSE
    """The font family that is asked first."""


def telephone(body: Role, large_print: bool) -> Role:
    """Set a telephone number that somebody dials in need, against the text around it."""
    size, line = _LARGE_TELEPHONE if large_print else _TELEPHONE
    return replace(body, size=body.size * size, line=body.line * line, bold=True)


@dataclass(frozen=True)
class Paper:
    """A sheet; all lengths but `width` and `margin` are measured from the top edge."""

    width: float
    height: float
    margin: float
    head: float
    first: float
    """Where the text may begin on the first page."""
    body: float
    """Where the text begins on later pages, unless the head needs more."""
    body_end: float
    foot: float
    """The rule above the foot."""


@dataclass(frozen=True)
class Style:
    """The house style, complete: every name of this module has its value."""

    colors: Mapping[str, str]
    voices: Mapping[str, Mapping[str, Role]]
    papers: Mapping[str, Paper]
    lengths: Mapping[str, float]
    spaces: Mapping[str, float]
    paper_name: str = "A4"
    """The paper of a document that wishes none."""
    forms: str = "fill"
    """fill: a PDF has form fields; print: lines and boxes are for the pen only."""
    font_name: str = HOUSE
    """What word processors call the font of the house."""

    def paper(self, layout: Layout) -> Paper:
        """Find the paper of a layout."""
        return self.papers[layout.paper or self.paper_name]

    def voice(self, layout: Layout) -> str:
        """Name the voice a layout speaks in; large print wins over the reader."""
        return "large" if layout.large_print else layout.voice

    def role(self, name: str, layout: Layout) -> Role:
        """Find how a role is set in a layout."""
        return self.voices[self.voice(layout)][name]

    def section_space(self, layout: Layout) -> float:
        """Give the space above a section, in points."""
        return self.spaces[f"section_{self.voice(layout)}"]


def read_style(folder: Path, own: Path | None = None) -> Style:
    """
    Read the house style of a folder of templates, with what a clinic's own folder changes.

    Errors: Refused with template-style-missing, -unknown, -value, -contrast, -font or -unreadable, all at once.
    """
    problems = Problems()
    reader = _Reader(f"{folder.name}/{STYLE_FILE}", problems, own or folder)
    try:
        root = compose(folder / STYLE_FILE)
        if own is not None:
            root = laid_over(root, compose(own / STYLE_FILE))
    except (OSError, UnicodeDecodeError, yaml.YAMLError) as error:
        reader.report("unreadable", "", None, say("the house style cannot be read: %(why)s", why=type(error).__name__))
        raise Refused(problems) from error
    style = reader.style(root)
    problems.refuse()
    return style


@dataclass
class _Reader:
    """Reads nodes, not values, so that every fault has its line; a faulty value becomes a harmless one."""

    file: str
    problems: Problems
    folder: Path
    """Where the files of fonts are looked for."""

    def report(self, kind: str, path: str, node: yaml.Node | None, what: Message) -> None:
        place = Place(self.file, 1, 1)
        if node is not None:
            mark = node.start_mark
            place = Place(mark.name, mark.line + 1, mark.column + 1)
        fix = say("compare with the style file that is shipped with docgen")
        self.problems.add(Problem(f"template-style-{kind}", path, what, fix, place))

    def style(self, root: yaml.Node | None) -> Style:
        names = ("page", "colors", "voices", "papers", "lengths", "spaces")
        parts = self.group(root, "", names, ("fonts",))
        family = self.family(parts.get("fonts"))
        color_nodes = self.group(parts.get("colors"), "colors", COLORS)
        colors = {name: self.color(node, f"colors.{name}") for name, node in color_nodes.items()}
        self.contrasts(colors, color_nodes)
        voices = {
            voice: self.roles(node, f"voices.{voice}", colors, family)
            for voice, node in self.group(parts.get("voices"), "voices", VOICES).items()
        }
        papers = {}
        for name, node in self.group(parts.get("papers"), "papers", PAPERS).items():
            lengths = self.numbers(node, f"papers.{name}", PAPER_LENGTHS)
            papers[name] = Paper(**{length: lengths.get(length, 1.0) for length in PAPER_LENGTHS})
        page = self.group(parts.get("page"), "page", ("paper", "forms"))
        return Style(
            colors,
            voices,
            papers,
            self.numbers(parts.get("lengths"), "lengths", LENGTHS),
            self.numbers(parts.get("spaces"), "spaces", SPACES),
            self.one_of(page.get("paper"), "page.paper", PAPERS),
            self.one_of(page.get("forms"), "page.forms", FORMS),
            OWN[family].name if family in OWN else HOUSE,
        )

    def contrasts(self, colors: Mapping[str, str], nodes: Mapping[str, yaml.Node]) -> None:
        """Refuse colors that somebody cannot tell from the ground they stand on."""
        for names, least in ((WORDS, LEAST_FOR_TEXT), (SHAPES, LEAST_FOR_SHAPES)):
            for name in (name for name in names if name in colors and "paper" in colors):
                if contrast(colors[name], colors["paper"]) < least:
                    what = say("%(path)s has a contrast under %(least)s to 1", path=f"colors.{name}", least=str(least))
                    self.report("contrast", f"colors.{name}", nodes[name], what)

    def family(self, node: yaml.Node | None) -> str:
        """Read a clinic's own font: two files beside the style file."""
        parts = self.group(node, "fonts", ("regular", "bold")) if node is not None else {}
        try:
            files = [(self.folder / Path(str(parts[name].value)).name).read_bytes() for name in ("regular", "bold")]
            return own_family(*files)
        except KeyError:
            return HOUSE
        except (OSError, UnusableOwnFont) as error:
            why = str(error) if isinstance(error, UnusableOwnFont) else "no file"
            self.report("font", "fonts", node, say("the clinic's font cannot be used: %(why)s", why=_WHY[why]))
            return HOUSE

    def one_of(self, node: yaml.Node | None, path: str, names: tuple[str, ...]) -> str:
        if node is None or node.value not in names:
            if node is not None:
                listed = ", ".join(names)
                self.report("value", path, node, say("%(path)s must be one of: %(names)s", path=path, names=listed))
            return names[0]
        return str(node.value)

    def group(
        self, node: yaml.Node | None, path: str, names: tuple[str, ...], optional: tuple[str, ...] = ()
    ) -> dict[str, yaml.Node]:
        """Take a mapping apart; each name once, none missing, none unknown."""
        found: dict[str, yaml.Node] = {}
        pairs = node.value if isinstance(node, yaml.MappingNode) else []
        if node is not None and not isinstance(node, yaml.MappingNode):
            self.report("value", path, node, say("%(path)s must be a group of names and values", path=path))
            return found
        for key, value in pairs:
            name = str(key.value)
            below = f"{path}.{name}" if path else name
            if name not in names + optional:
                self.report("unknown", below, key, say("%(path)s is not a name of the house style", path=below))
            elif name in found:
                self.report("value", below, key, say("%(path)s is given twice", path=below))
            else:
                found[name] = value
        for name in names:
            below = f"{path}.{name}" if path else name
            if name not in found and (node is not None or not path):
                self.report("missing", below, node, say("%(path)s is missing from the house style", path=below))
        return found

    def roles(self, node: yaml.Node, path: str, colors: Mapping[str, str], family: str) -> dict[str, Role]:
        found = {}
        for name, role in self.group(node, path, ROLES).items():
            here = f"{path}.{name}"
            parts = self.group(role, here, ("size", "line", "color"), ("bold",))
            color = str(parts["color"].value) if "color" in parts else "ink"
            if color not in COLORS:
                self.report("value", f"{here}.color", parts.get("color"), say("%(path)s must name a color", path=here))
            bold = parts.get("bold")
            if bold is not None and bold.value not in ("true", "false"):
                self.report("value", f"{here}.bold", bold, say("%(path)s must be true or false", path=f"{here}.bold"))
            size, line = (self.number(parts.get(part), f"{here}.{part}") for part in ("size", "line"))
            is_bold = bold is not None and bold.value == "true"
            found[name] = Role(size, line, colors.get(color, "#000000"), is_bold, family)
        return found

    def numbers(self, node: yaml.Node | None, path: str, names: tuple[str, ...]) -> dict[str, float]:
        return {name: self.number(value, f"{path}.{name}") for name, value in self.group(node, path, names).items()}

    def number(self, node: yaml.Node | None, path: str) -> float:
        if node is None:
            return 1.0
        if not isinstance(node, yaml.ScalarNode) or not re.fullmatch(r"\d{1,3}(\.\d{1,2})?", node.value):
            self.report("value", path, node, say("%(path)s must be a number from 0 to 999", path=path))
            return 1.0
        return float(node.value)

    def color(self, node: yaml.Node, path: str) -> str:
        if not isinstance(node, yaml.ScalarNode) or not re.fullmatch(r"#[0-9A-Fa-f]{6}", node.value):
            self.report("value", path, node, say("%(path)s must be a color such as #17191C", path=path))
            return "#000000"
        return str(node.value)
