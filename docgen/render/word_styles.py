"""House style > the styles, numberings and table style of a Word file, so that text needs no formatting of its own."""

from __future__ import annotations

from dataclasses import dataclass
from xml.sax.saxutils import quoteattr

from docgen.blocks import Layout
from docgen.render.fonts import FAMILY
from docgen.render.style import Role, Style

NAMESPACE = "http://schemas.openxmlformats.org/wordprocessingml/2006/main"

BULLETS, NUMBERS = 1, 2
"""Numbering of a list; an ordered list gets a numbering of its own after these, to begin at 1."""


def twips(mm: float) -> int:
    """Millimeters > twentieths of a point."""
    return round(mm * 1440 / 25.4)


@dataclass(frozen=True)
class _Para:
    """One paragraph style; lengths in mm, spaces in pt."""

    name: str
    role: str
    parent: str = "Normal"
    indent: float = 0
    hanging: float = 0
    end: float = 0
    before: float = 0
    after: float = 0
    keep_next: bool = False
    keep_lines: bool = False
    level: int | None = None
    """Place in the outline, from 0."""
    numbering: int | None = None
    flush_end: bool = False
    border: str = ""
    fill: str = ""
    exactly: float = 0
    """Line height that what stands in it cannot change; 0: that of the role, or more."""


def style_id(name: str) -> str:
    """Give the ID of a style; that of "List Bullet" is ListBullet."""
    return name.replace(" ", "")


def styles_part(style: Style, layout: Layout, language: str, direction: str) -> str:
    """Write `word/styles.xml`."""
    body = style.role("body", layout)
    bidi = "<w:bidi/>" if direction == "rtl" else ""
    return (
        f'<?xml version="1.0" encoding="UTF-8" standalone="yes"?><w:styles xmlns:w="{NAMESPACE}"><w:docDefaults>'
        f"<w:rPrDefault><w:rPr>{_fonts()}{_type(body)}"
        f"<w:lang w:val={quoteattr(language)} w:eastAsia={quoteattr(language)} w:bidi={quoteattr(language)}/>"
        f"</w:rPr></w:rPrDefault><w:pPrDefault><w:pPr>{bidi}</w:pPr></w:pPrDefault></w:docDefaults>"
        '<w:style w:type="paragraph" w:default="1" w:styleId="Normal"><w:name w:val="Normal"/><w:qFormat/></w:style>'
        '<w:style w:type="character" w:default="1" w:styleId="DefaultParagraphFont">'
        '<w:name w:val="Default Paragraph Font"/></w:style>'
        + "".join(_paragraph(para, style.role(para.role, layout)) for para in _paragraphs(style, layout))
        + _characters(style, style.role("page", layout))
        + _tables(style)
        + "</w:styles>"
    )


def _paragraphs(style: Style, layout: Layout) -> list[_Para]:
    length = style.lengths
    text = 0.0 if layout.large_print else length["side"]
    section, gap = style.section_space(layout), style.spaces["paragraph"]
    return [
        _Para("heading 1", "title", before=section, after=gap, keep_next=True, level=0),
        _Para("heading 2", "heading", before=section, after=3, keep_next=True, level=1, border=_rule(style)),
        _Para("heading 3", "subheading", indent=text, before=gap, after=3, keep_next=True, level=2),
        _Para("heading 4", "subheading", indent=text, before=gap, after=3, keep_next=True, level=3),
        _Para("Body Text", "body", indent=text, after=gap),
        _Para("Lead", "lead", "Body Text", text, after=gap),
        _Para("Small", "small", "Body Text", text, after=gap, keep_lines=True),
        _Para("List Bullet", "body", indent=text + length["item"], hanging=length["item"], after=3, numbering=BULLETS),
        _Para("List Number", "body", indent=text + 8, hanging=8, after=3, numbering=NUMBERS),
        _Para("caption", "caption", indent=text, after=3, keep_next=True),
        _Para("Note", "note", indent=text, after=gap, keep_lines=True),
        _Para("Caution", "body", indent=text + 3.3, after=gap, border=_border("left", 18, style.colors["ink"], 7)),
        *_forms(style, text),
        *_signature(style, text, length["content"] - text),
        *_frame(style, section),
    ]  # fmt: skip


def _forms(style: Style, text: float) -> list[_Para]:
    """Write what stands in tables, before values and round the pen."""
    length, space, gap = style.lengths, style.spaces, style.spaces["paragraph"]
    pen = "".join(_border(edge, 6, style.colors["ink"]) for edge in ("bottom", "between"))
    return [
        _Para("Column Head", "column", before=space["row"] - 1, after=space["row"] - 1, keep_next=True),
        _Para("Cell", "cell", before=space["row"] - 1, after=space["row"] - 1),
        _Para("Box Cell", "cell", before=0.5, after=0.5),
        _Para("Box Column Head", "column", before=1, after=1, keep_next=True),
        _Para("After Table", "furniture", exactly=1, after=3),
        _Para("Pair", "body", indent=text + length["label"], hanging=length["label"], after=1.5),
        _Para("Danger Pair", "body", indent=60, hanging=60, after=1.5),
        _Para("Label", "column", indent=text, keep_next=True),
        _Para("Value", "body", indent=text, after=gap),
        _Para("Question", "body", indent=text, after=3, keep_next=True, keep_lines=True),
        _Para("Choice", "body", indent=text + 8, hanging=8, after=3, keep_lines=True),
        _Para("Writing Line", "body", indent=text, before=8, border=pen),
        _Para("Statement", "body", indent=text, before=gap, keep_next=True, keep_lines=True),
    ]  # fmt: skip


def _frame(style: Style, section: float) -> list[_Para]:
    """Write what stands above and below the text, and the heading of the danger box."""
    above, below = (_border(edge, 4, style.colors["line"], 3) for edge in ("top", "bottom"))
    gap, red = style.spaces["paragraph"], style.colors["danger"]
    return [
        _Para("Title", "title", before=3, after=style.spaces["title"], keep_lines=True),
        _Para("Danger Heading", "danger", "heading 2", after=9, keep_next=True, level=1, border=_band(style), fill=red),
        _Para("header", "furniture"),
        _Para("Clinic", "clinic", "header"),
        _Para("Clinic Again", "tag", "header"),
        _Para("Marks", "tag", flush_end=True),
        _Para("Person", "person", before=3, after=gap, border=above + below),
        _Para("Person Again", "person", before=3, after=2 * gap, border=above + below),
        _Para("footer", "furniture", border=above),
        _Para("Page Line", "page", "footer", flush_end=True, border="<w:top w:val=\"nil\"/>"),
    ]  # fmt: skip


def _signature(style: Style, text: float, width: float) -> list[_Para]:
    length, line = style.lengths, _border("bottom", 6, style.colors["ink"])
    free = length["signature_height"] / 25.4 * 72
    rest = max(width - length["signature"], 0)
    return [
        _Para("Signature Line", "body", "Normal", text, end=rest, before=free - 18, keep_next=True, border=line),
        _Para("Moment Line", "small", "Normal", text, end=rest, before=9, keep_next=True, border=line),
        _Para("Signature Label", "note", "Normal", text, keep_next=True, keep_lines=True),
        _Para("Signature End", "note", "Normal", text, after=15, keep_lines=True),
    ]


def _band(style: Style) -> str:
    """Bring the shading of the danger heading up to the frame: it reaches to the borders of the paragraph."""
    sides = (("top", 4), ("left", 11), ("bottom", 4), ("right", 11))
    return "".join(_border(edge, 4, style.colors["danger"], space) for edge, space in sides)


def _rule(style: Style) -> str:
    return _border("top", 12, style.colors["deep"], 5)


def _border(edge: str, eighths: int, color: str, space: int = 1) -> str:
    return f'<w:{edge} w:val="single" w:sz="{eighths}" w:space="{space}" w:color="{color[1:]}"/>'


def _fonts() -> str:
    return f'<w:rFonts w:ascii="{FAMILY}" w:hAnsi="{FAMILY}" w:eastAsia="{FAMILY}" w:cs="{FAMILY}"/>'


def _type(role: Role) -> str:
    bold = "<w:b/><w:bCs/>" if role.bold else ""
    half = round(role.size * 2)
    return f'{bold}<w:color w:val="{role.color[1:]}"/><w:sz w:val="{half}"/><w:szCs w:val="{half}"/>'


def _paragraph(para: _Para, role: Role) -> str:
    numbering = f'<w:numPr><w:numId w:val="{para.numbering}"/></w:numPr>' if para.numbering else ""
    outline = "" if para.level is None else f'<w:outlineLvl w:val="{para.level}"/>'
    hanging = f' w:hanging="{twips(para.hanging)}"' if para.hanging else ""
    tab = f'<w:tabs><w:tab w:val="left" w:pos="{twips(para.indent)}"/></w:tabs>' if para.hanging else ""
    end = '<w:jc w:val="right"/>' if para.flush_end else ""
    return (
        f'<w:style w:type="paragraph" w:styleId="{style_id(para.name)}"><w:name w:val="{para.name}"/>'
        f'<w:basedOn w:val="{style_id(para.parent)}"/><w:qFormat/><w:pPr>'
        f"{'<w:keepNext/>' if para.keep_next else ''}{'<w:keepLines/>' if para.keep_lines or para.keep_next else ''}"
        f"<w:widowControl/>{numbering}{f'<w:pBdr>{para.border}</w:pBdr>' if para.border else ''}"
        + (f'<w:shd w:val="clear" w:color="auto" w:fill="{para.fill[1:]}"/>' if para.fill else "")
        + tab
        + f'<w:spacing w:before="{round(para.before * 20)}" w:after="{round(para.after * 20)}"'
        f' w:line="{round((para.exactly or role.line) * 20)}" w:lineRule="{"exact" if para.exactly else "atLeast"}"/>'
        f'<w:ind w:left="{twips(para.indent)}" w:right="{twips(para.end)}"{hanging}/>'
        f"{end}{outline}</w:pPr><w:rPr>{_type(role)}</w:rPr></w:style>"
    )


def _characters(style: Style, page: Role) -> str:
    """Write what runs need: bold, label, and the two kinds of state marks."""
    ink, paper, quiet = (style.colors[name][1:] for name in ("ink", "paper", "quiet"))
    frame = f'<w:bdr w:val="single" w:sz="8" w:space="0" w:color="{ink}"/>'
    kinds = {
        "Strong": "<w:b/><w:bCs/>",
        "Quiet": f'<w:color w:val="{quiet}"/>',
        "Page Number": _type(page),
        "Mark Filled": f'<w:color w:val="{paper}"/>{frame}<w:shd w:val="clear" w:color="auto" w:fill="{ink}"/>',
        "Mark Outlined": frame,
    }
    return "".join(
        f'<w:style w:type="character" w:styleId="{style_id(name)}"><w:name w:val="{name}"/><w:qFormat/>'
        f"<w:rPr>{look}</w:rPr></w:style>"
        for name, look in kinds.items()
    )


def _tables(style: Style) -> str:
    """Write the table style: a line under the head, hair between rows, a line under a sum; and the danger frame."""
    hair, ink, danger = style.colors["hair"], style.colors["ink"], style.colors["danger"]
    gap, pad = twips(style.lengths["cell_gap"]), twips(4)
    heavy = f"<w:tcPr><w:tcBorders>{_border('bottom', 6, ink)}</w:tcBorders></w:tcPr>"
    frame = "".join(_border(edge, 18, danger, 0) for edge in ("top", "left", "bottom", "right"))
    base = '<w:tblInd w:w="0" w:type="dxa"/>'
    return (
        '<w:style w:type="table" w:default="1" w:styleId="TableNormal"><w:name w:val="Normal Table"/><w:tblPr>'
        f"{base}</w:tblPr></w:style>"
        '<w:style w:type="table" w:styleId="HouseTable"><w:name w:val="House Table"/><w:basedOn w:val="TableNormal"/>'
        f"<w:tblPr>{base}<w:tblBorders>{_border('bottom', 4, hair)}{_border('insideH', 4, hair)}</w:tblBorders>"
        f'<w:tblCellMar><w:left w:w="0" w:type="dxa"/><w:right w:w="{gap}" w:type="dxa"/></w:tblCellMar></w:tblPr>'
        f'<w:tblStylePr w:type="firstRow">{heavy}</w:tblStylePr>'
        f'<w:tblStylePr w:type="lastRow"><w:rPr><w:b/><w:bCs/></w:rPr>{heavy}</w:tblStylePr></w:style>'
        '<w:style w:type="table" w:styleId="DangerBox"><w:name w:val="Danger Box"/><w:basedOn w:val="TableNormal"/>'
        f"<w:tblPr>{base}<w:tblBorders>{frame}</w:tblBorders><w:tblCellMar>"
        f'<w:left w:w="{pad}" w:type="dxa"/><w:bottom w:w="{pad // 2}" w:type="dxa"/>'
        f'<w:right w:w="{pad}" w:type="dxa"/></w:tblCellMar></w:tblPr></w:style>'
    )


def numbering_part() -> str:
    """Write `word/numbering.xml`: squares and numbers, one level each."""
    square = '<w:rPr><w:rFonts w:ascii="Wingdings" w:hAnsi="Wingdings" w:hint="default"/></w:rPr>'
    levels = (("bullet", "\uf0a7", square), ("decimal", "%1.", ""))
    abstract = "".join(
        f'<w:abstractNum w:abstractNumId="{number}"><w:multiLevelType w:val="singleLevel"/><w:lvl w:ilvl="0">'
        f'<w:start w:val="1"/><w:numFmt w:val="{kind}"/><w:lvlText w:val="{text}"/><w:lvlJc w:val="left"/>{look}'
        "</w:lvl></w:abstractNum>"
        for number, (kind, text, look) in enumerate(levels)
    )
    used = "".join(f'<w:num w:numId="{n + 1}"><w:abstractNumId w:val="{n}"/></w:num>' for n in range(len(levels)))
    head = '<?xml version="1.0" encoding="UTF-8" standalone="yes"?>'
    return f'{head}<w:numbering xmlns:w="{NAMESPACE}">{abstract}{used}</w:numbering>'
