"""Elements, their marked content on pages, and the way back from a mark to its element."""

from typing import Any

import pytest

from tests.render.file.making import catalog, faults, kids, new_file, read, tree_of, write


def test_elements_stand_in_the_order_in_which_they_were_made() -> None:
    """Content before, inside and after a child keeps its place among the children."""
    file, page = new_file()
    paragraph = write(page, file.root.child("P"), "before")
    write(page, paragraph.child("Span", lang="de"), "innen")
    write(page, paragraph, "after")
    (found,) = kids(tree_of(file.content()))
    first, span, last = kids(found)
    assert (0, "/Span", "de", 1, 2) == (first, span["/S"], span["/Lang"], span["/K"], last)


def test_an_element_goes_on_on_the_next_page() -> None:
    """Marked content of another page than the first is told with its page."""
    file, page = new_file()
    paragraph = write(page, file.root.child("P"), "first half")
    following = file.page(595.28, 841.89)
    write(following, paragraph, "second half")
    content = file.content()
    (found,) = kids(tree_of(content))
    mark, reference = kids(found)
    assert 0 == mark
    assert ("/MCR", 0) == (reference["/Type"], reference["/MCID"])
    sheets: Any = read(content).pages
    pages = [each.indirect_reference.idnum for each in sheets]
    assert pages == [found.raw_get("/Pg").idnum, reference.raw_get("/Pg").idnum]
    assert [] == faults(content)


def test_every_mark_leads_back_to_its_element() -> None:
    """The parent tree lists, by page, the element of each mark, and for each annotation its own."""
    file, page = new_file()
    write(page, file.root.child("H1"), "Title")
    link = write(page, file.root.child("P").child("Link"), "call")
    page.link(link, [(50, 700, 90, 712)], "tel:+445550142", "telephone")
    content = file.content()
    root: Any = catalog(content)["/StructTreeRoot"]
    pairs = root["/ParentTree"]["/Nums"]
    owners = dict(zip(pairs[::2], pairs[1::2], strict=True))
    sheets: Any = read(content).pages
    (only,) = sheets
    marks = owners[only["/StructParents"]].get_object()
    annotation = only["/Annots"][0].get_object()
    assert ["/H1", "/Link"] == [owner.get_object()["/S"] for owner in marks]
    assert "/Link" == owners[annotation["/StructParent"]].get_object()["/S"]


def test_content_of_one_element_in_a_row_is_one_mark() -> None:
    """Lines painted one by one do not become as many marks; an artifact between them parts them."""
    file, page = new_file()
    paragraph = file.root.child("P")
    for y in (700, 685, 670):
        write(page, paragraph, "line", y)
    page.furnish(b"0 0 1 1 re f")
    page.furnish(b"1 1 1 1 re f")
    write(page, paragraph, "last", 655)
    content = file.content()
    (found,) = kids(tree_of(content))
    sheets: Any = read(content).pages
    operators = sheets[0].get_contents().get_data()
    assert [0, 1] == kids(found)
    assert 3 == operators.count(b"BDC") == operators.count(b"EMC")


def test_traits_are_written_where_readers_look_for_them() -> None:
    """Alternative text, box, scope, spans, numbering, and the sort of a box that is no field."""
    file, page = new_file()
    root = file.root
    figure = root.child("Figure", alt="A sketch")
    figure.describe(bbox=(10, 20, 30.5, 40), placement="Block")
    page.put(figure, b"10 20 20.5 20 re f")
    cell = root.child("Table").child("TR").child("TH", scope="Row", colspan=2, rowspan=3, id="h1", headers=("h1",))
    root.child("L", numbering="Decimal")
    root.child("Form", control="cb", ticked=True, alt="Yes")
    drawn, table, listed, box = kids(tree_of(file.content()))
    attributes = kids(kids(table)[0])[0]["/A"]
    assert "h1" == cell.id
    assert "A sketch" == drawn["/Alt"]
    assert [10, 20, 30.5, 40] == [float(edge) for edge in drawn["/A"]["/BBox"]]
    assert "/Block" == drawn["/A"]["/Placement"]
    assert ("/Row", 2, 3, ["h1"]) == tuple(attributes[key] for key in ("/Scope", "/ColSpan", "/RowSpan", "/Headers"))
    assert "/Decimal" == listed["/A"]["/ListNumbering"]
    assert ("/PrintField", "/cb", "/on") == tuple(box["/A"][key] for key in ("/O", "/Role", "/checked"))


def test_notes_are_named_as_pdf_ua_wants() -> None:
    """A note without a name gets one; the names are found through the tree of names."""
    file, page = new_file()
    write(page, file.root.child("H1"), "Title", 720)
    for y in (700, 680):
        write(page, file.root.child("Note"), "remark", y)
    content = file.content()
    root: Any = catalog(content)["/StructTreeRoot"]
    assert ["note 1", "note 2"] == [str(named) for named in root["/IDTree"]["/Names"][::2]]
    assert [] == faults(content)


def test_a_name_is_given_once() -> None:
    """Two elements of one name would be one element to who looks it up."""
    file, page = new_file()
    write(page, file.root.child("P", id="same"), "one")
    write(page, file.root.child("P", id="same"), "two")
    with pytest.raises(ValueError, match="two elements are named same"):
        file.content()
