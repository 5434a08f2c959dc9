"""House style > `word/styles.xml`, `numbering.xml` and `theme1.xml`, so that text needs no formatting of its own."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

from docgen.blocks import Layout
from docgen.render.columns import NARROWER
from docgen.render.docx.controls import BOX_FONT
from docgen.render.docx.looks import (
    BULLETS,
    FRAMED,
    NUMBERS,
    TELEPHONE,
    TURNED,
    Look,
    border,
    indent_twips,
    looks,
    staff_looks,
    turned_looks,
)
from docgen.render.docx.markup import DRAWING, HEAD, W, escaped, style_id, twentieths, twips
from docgen.render.docx.scripts import is_tall, kind_of, runs_from_right
from docgen.render.fonts.sources import FAMILIES, HOUSE, Family, family_of_language
from docgen.render.style import Role, Style, telephone
from docgen.values import dataclass

_SLOTS = (
    *("dk1", "lt1", "dk2", "lt2", "accent1", "accent2"),
    *("accent3", "accent4", "accent5", "accent6", "hlink", "folHlink"),
)
_COLORS = (
    *("ink", "paper", "deep", "tint", "deep", "quiet"),
    *("line", "dot", "hair", "danger", "deep", "quiet"),
)
"""Colors of a theme, in their order, and those of the house in their place."""

_KEEPS = {True: "<w:keepNext/>", False: "", None: '<w:keepNext w:val="0"/>'}
"""By whether a paragraph stays with the next; None takes it back from the style it is built on."""


@dataclass(frozen=True)
class Tongue:
    """The languages of a file: that of the document, and the scripts of all."""

    language: str
    from_right: bool
    own: Family
    complex: Family | None
    """The script Word calls complex: that of the document, or the first one among its runs."""
    eastern: Family | None
    turns: bool = False
    """True if words run from right to left in a document that does not."""

    @property
    def line(self) -> float:
        """Give the line height against that of Latin text: the highest script decides."""
        scripts = (self.own, self.complex or self.own)
        return max(script.line * script.size for script in scripts) / FAMILIES[HOUSE].line

    @property
    def exact(self) -> bool:
        """Tell whether a font of the file has lines higher than ours."""
        return self.complex is not None and is_tall(self.complex)


def tongue(language: str, direction: str, others: Iterable[str]) -> Tongue:
    """Choose the scripts of a file; `others` are the languages of its runs."""
    scripts = [family_of_language(one) for one in (language, *others)]
    found = {kind: next((one for one in scripts if kind_of(one) == kind), None) for kind in ("cs", "eastAsia")}
    right = direction == "rtl"
    turns = not right and any(map(runs_from_right, others))
    return Tongue(language, right, scripts[0], found["cs"], found["eastAsia"], turns)


def styles_part(style: Style, layout: Layout, spoken: Tongue, staff: Layout | None = None) -> str:
    """Write `word/styles.xml`; `staff` is the layout of sections that speak to staff, if there are any."""
    found = [(layout, looks(style, layout, spoken.from_right))]
    if staff:
        found.append((staff, staff_looks(style, staff, spoken.from_right)))
    if spoken.turns:
        found.append((layout, turned_looks(style, layout)))
    tag, bidi = escaped(spoken.language), "<w:bidi/>" if spoken.from_right else ""
    own = escaped(style.font_name)
    names = {
        "ascii": own,
        "hAnsi": own,
        "eastAsia": spoken.eastern.name if spoken.eastern else own,
        "cs": spoken.complex.name if spoken.complex else own,
    }
    fonts = "".join(f' w:{name}="{font}"' for name, font in names.items())
    return (
        f'{HEAD}<w:styles xmlns:w="{W}"><w:docDefaults><w:rPrDefault><w:rPr><w:rFonts{fonts}/>'
        f"{_type(style.role('body', layout), spoken)}"
        f'<w:lang w:val="{tag}" w:eastAsia="{tag}" w:bidi="{tag}"/></w:rPr></w:rPrDefault>'
        f"<w:pPrDefault><w:pPr>{bidi}</w:pPr></w:pPrDefault></w:docDefaults>"
        '<w:latentStyles w:defLockedState="0" w:defUIPriority="99" w:defSemiHidden="1" w:defUnhideWhenUsed="1"'
        ' w:defQFormat="0" w:count="376"/>'
        '<w:style w:type="paragraph" w:default="1" w:styleId="Normal"><w:name w:val="Normal"/><w:qFormat/>'
        f"<w:pPr>{bidi}</w:pPr></w:style>"
        '<w:style w:type="character" w:default="1" w:styleId="DefaultParagraphFont">'
        '<w:name w:val="Default Paragraph Font"/><w:uiPriority w:val="1"/><w:semiHidden/></w:style>'
        + "".join(_paragraph(look, _role(style, look.role, of), spoken) for of, listed in found for look in listed)
        + _characters(style, layout, spoken)
        + _tables(style)
        + "</w:styles>"
    )


def _role(style: Style, name: str, layout: Layout) -> Role:
    """Find how a paragraph is set; a telephone number is set against the text."""
    return telephone(style.role("body", layout), layout.large_print) if name == TELEPHONE else style.role(name, layout)


def _type(role: Role, spoken: Tongue) -> str:
    bold = "<w:b/><w:bCs/>" if role.bold else ""
    ordinary = role.size * (spoken.own.size if kind_of(spoken.own) == "eastAsia" else 1)
    complex_size = role.size * (spoken.complex.size if spoken.complex else 1)
    sizes = f'<w:sz w:val="{round(ordinary * 2)}"/><w:szCs w:val="{round(complex_size * 2)}"/>'
    return f'{bold}<w:color w:val="{role.color[1:]}"/>{sizes}'


def _paragraph(look: Look, role: Role, spoken: Tongue) -> str:
    role = replace(role, color=look.color or role.color)
    numbering = f'<w:numPr><w:numId w:val="{look.numbering}"/></w:numPr>' if look.numbering else ""
    outline = "" if look.level is None else f'<w:outlineLvl w:val="{look.level}"/>'
    tab = f'<w:tabs><w:tab w:val="left" w:pos="{twips(look.indent)}"/></w:tabs>' if look.hanging else ""
    end = '<w:jc w:val="right"/>' if look.flush_end else ""
    following = f'<w:next w:val="{style_id(look.following)}"/>' if look.following else ""
    place = '<w:uiPriority w:val="1"/><w:qFormat/>'
    if look.name.startswith((FRAMED, TURNED)):
        place = '<w:uiPriority w:val="98"/><w:semiHidden/>'
    return (
        f'<w:style w:type="paragraph" w:styleId="{style_id(look.name)}"><w:name w:val="{look.name}"/>'
        f'<w:basedOn w:val="{style_id(look.parent)}"/>{following}'
        f"{place}<w:pPr>"
        f"{_KEEPS[look.keep_next]}{'<w:keepLines/>' if look.keep_lines or look.keep_next else ''}"
        f"<w:widowControl/>{numbering}{f'<w:pBdr>{look.border}</w:pBdr>' if look.border else ''}"
        + (f'<w:shd w:val="clear" w:color="auto" w:fill="{look.fill[1:]}"/>' if look.fill else "")
        + f"{tab}{'<w:bidi/>' if look.turned else ''}{_spacing(look, role, spoken)}{indent_twips(look)}"
        f"{end}{outline}</w:pPr>"
        f"<w:rPr>{_type(role, spoken)}</w:rPr></w:style>"
    )


def _spacing(look: Look, role: Role, spoken: Tongue) -> str:
    spaces = f'w:before="{twentieths(look.before)}" w:after="{twentieths(look.after)}"'
    if look.grows:
        return f'<w:spacing {spaces} w:line="240" w:lineRule="auto"/>'
    rule = "exact" if look.exactly or look.fixed or spoken.exact else "atLeast"
    line = twentieths(look.exactly or role.line * spoken.line * look.closer)
    return f'<w:spacing {spaces} w:line="{line}" w:lineRule="{rule}"/>'


def _characters(style: Style, layout: Layout, spoken: Tongue) -> str:
    """Write what runs need: bold, label, boxes, empty places, and the two kinds of state marks."""
    ink, paper, quiet, line = (style.colors[name][1:] for name in ("ink", "paper", "quiet", "line"))
    frame = f'<w:bdr w:val="single" w:sz="8" w:space="0" w:color="{ink}"/>'
    tag = _type(style.role("tag", layout), spoken)
    plain_tag, sizes = tag[: tag.index("<w:color")], tag[tag.index("<w:sz ") :]
    box = "".join(f' w:{name}="{BOX_FONT}"' for name in ("ascii", "hAnsi", "eastAsia", "cs"))
    kinds = {
        "Strong": "<w:b/><w:bCs/>",
        "Quiet": f'<w:color w:val="{quiet}"/>',
        "Page Number": _type(style.role("page", layout), spoken),
        "Hours": f'<w:b w:val="0"/><w:bCs w:val="0"/>{_type(style.role("small", layout), spoken)}',
        "Beside Heading": f'<w:b w:val="0"/><w:bCs w:val="0"/>{_type(style.role("cell", layout), spoken)}',
        "Placeholder Text": f'<w:color w:val="{line}"/>',
        "Box": f'<w:rFonts{box} w:hint="eastAsia"/>',
        "Mark Filled": f'{plain_tag}<w:color w:val="{paper}"/>{sizes}{frame}'
        f'<w:shd w:val="clear" w:color="auto" w:fill="{ink}"/>',
        "Mark Outlined": f"{tag}{frame}",
    }
    return "".join(
        f'<w:style w:type="character" w:styleId="{style_id(name)}"><w:name w:val="{name}"/>'
        f'<w:uiPriority w:val="2"/><w:qFormat/><w:rPr>{look}</w:rPr></w:style>'
        for name, look in kinds.items()
    )


def _tables(style: Style) -> str:
    """Write the table style: a line under the head, hair between rows, a line under a sum; and the frames."""
    hair, ink, danger = style.colors["hair"], style.colors["ink"], style.colors["danger"]
    gap, pad = twips(style.lengths["cell_gap"]), twips(4)
    heavy = f"<w:tcPr><w:tcBorders>{border('bottom', 6, ink)}</w:tcBorders></w:tcPr>"
    edges = ("top", "left", "bottom", "right")
    frame, quiet = ("".join(border(edge, *line, 0) for edge in edges) for line in ((18, danger), (8, ink)))
    indent = '<w:tblInd w:w="0" w:type="dxa"/>'
    return (
        '<w:style w:type="table" w:default="1" w:styleId="TableNormal"><w:name w:val="Normal Table"/>'
        f'<w:uiPriority w:val="99"/><w:semiHidden/><w:tblPr>{indent}</w:tblPr></w:style>'
        '<w:style w:type="table" w:styleId="HouseTable"><w:name w:val="House Table"/><w:basedOn w:val="TableNormal"/>'
        '<w:uiPriority w:val="2"/><w:qFormat/>'
        f"<w:tblPr>{indent}<w:tblBorders>{border('bottom', 4, hair, 0)}{border('insideH', 4, hair, 0)}</w:tblBorders>"
        f'<w:tblCellMar><w:left w:w="0" w:type="dxa"/><w:right w:w="{gap}" w:type="dxa"/></w:tblCellMar></w:tblPr>'
        f'<w:tblStylePr w:type="firstRow">{heavy}</w:tblStylePr>'
        f'<w:tblStylePr w:type="lastRow"><w:rPr><w:b/><w:bCs/></w:rPr>{heavy}</w:tblStylePr></w:style>'
        '<w:style w:type="table" w:styleId="CheckList"><w:name w:val="Check List"/><w:basedOn w:val="HouseTable"/>'
        f'<w:uiPriority w:val="2"/><w:qFormat/><w:tblPr><w:tblCellMar><w:left w:w="0" w:type="dxa"/>'
        f'<w:right w:w="{round(gap * NARROWER)}" w:type="dxa"/></w:tblCellMar></w:tblPr></w:style>'
        '<w:style w:type="table" w:styleId="DangerBox"><w:name w:val="Danger Box"/><w:basedOn w:val="TableNormal"/>'
        '<w:uiPriority w:val="2"/><w:qFormat/>'
        f"<w:tblPr>{indent}<w:tblBorders>{frame}</w:tblBorders><w:tblCellMar>"
        f'<w:left w:w="{pad}" w:type="dxa"/><w:bottom w:w="{pad // 4}" w:type="dxa"/>'
        f'<w:right w:w="{pad}" w:type="dxa"/></w:tblCellMar></w:tblPr>'
        '<w:tblStylePr w:type="firstRow"><w:tcPr>'
        f"<w:tcBorders>{border('bottom', 6, danger, 0)}</w:tcBorders></w:tcPr></w:tblStylePr></w:style>"
        '<w:style w:type="table" w:styleId="AnswerFrame"><w:name w:val="Answer Frame"/><w:basedOn w:val="TableNormal"/>'
        f'<w:uiPriority w:val="2"/><w:qFormat/><w:tblPr>{indent}<w:tblBorders>{quiet}</w:tblBorders><w:tblCellMar>'
        f'<w:top w:w="{pad // 2}" w:type="dxa"/><w:left w:w="{pad}" w:type="dxa"/>'
        f'<w:bottom w:w="{pad // 2}" w:type="dxa"/><w:right w:w="{pad}" w:type="dxa"/></w:tblCellMar></w:tblPr>'
        "</w:style>"
    )


def numbering_part(lists: int) -> str:
    """Write `word/numbering.xml`: squares and numbers, and for each ordered list a numbering that begins at 1."""
    square = '<w:rPr><w:rFonts w:ascii="Wingdings" w:hAnsi="Wingdings" w:hint="default"/></w:rPr>'
    levels = (("bullet", "\uf0a7", square), ("decimal", "%1.", ""))
    abstract = "".join(
        f'<w:abstractNum w:abstractNumId="{number}"><w:multiLevelType w:val="singleLevel"/><w:lvl w:ilvl="0">'
        f'<w:start w:val="1"/><w:numFmt w:val="{kind}"/><w:lvlText w:val="{text}"/><w:lvlJc w:val="left"/>{look}'
        "</w:lvl></w:abstractNum>"
        for number, (kind, text, look) in enumerate(levels)
    )
    used = "".join(
        f'<w:num w:numId="{number}"><w:abstractNumId w:val="{number - 1}"/></w:num>' for number in (BULLETS, NUMBERS)
    ) + "".join(
        f'<w:num w:numId="{NUMBERS + number}"><w:abstractNumId w:val="{NUMBERS - 1}"/>'
        '<w:lvlOverride w:ilvl="0"><w:startOverride w:val="1"/></w:lvlOverride></w:num>'
        for number in range(1, lists + 1)
    )
    return f'{HEAD}<w:numbering xmlns:w="{W}">{abstract}{used}</w:numbering>'


def theme_part(style: Style) -> str:
    """Write `word/theme/theme1.xml`: the colors and fonts of the house, for who goes on writing."""
    color = style.colors
    pairs = zip(_SLOTS, _COLORS, strict=True)
    colors = "".join(f'<a:{slot}><a:srgbClr val="{color[name][1:]}"/></a:{slot}>' for slot, name in pairs)
    fonts = f'<a:latin typeface="{escaped(style.font_name)}"/><a:ea typeface=""/><a:cs typeface=""/>'
    fill = '<a:solidFill><a:schemeClr val="phClr"/></a:solidFill>'
    effect = "<a:effectStyle><a:effectLst/></a:effectStyle>"
    return (
        f'{HEAD}<a:theme xmlns:a="{DRAWING}/main" name="House"><a:themeElements>'
        f'<a:clrScheme name="House">{colors}</a:clrScheme><a:fontScheme name="House">'
        f"<a:majorFont>{fonts}</a:majorFont><a:minorFont>{fonts}</a:minorFont></a:fontScheme>"
        f'<a:fmtScheme name="House"><a:fillStyleLst>{fill * 3}</a:fillStyleLst>'
        f"<a:lnStyleLst>{f'<a:ln>{fill}</a:ln>' * 3}</a:lnStyleLst><a:effectStyleLst>{effect * 3}</a:effectStyleLst>"
        f"<a:bgFillStyleLst>{fill * 3}</a:bgFillStyleLst></a:fmtScheme></a:themeElements></a:theme>"
    )
