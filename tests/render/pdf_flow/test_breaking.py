"""Where pages end: which bond gives way, what a page repeats, what moves as a whole."""

from __future__ import annotations

import pytest

from docgen.render.pdf.breaking import LEAST, into_pages
from docgen.render.pdf.pieces import Bond, Frame, Piece, Repeat, height_of, hold, hold_ends


def _pieces(*heights: float) -> list[Piece]:
    return [Piece(height) for height in heights]


def _counts(pieces: list[Piece], first: float = 100, later: float = 100) -> list[int]:
    return [len(page.pieces) for page in into_pages(pieces, first, later)]


def _nothing(_sheet: object, _top: float) -> None:
    """Paint nothing."""


def test_no_pieces_are_one_page() -> None:
    """A document without a word has a page."""
    assert [0] == _counts([])


def test_pages_are_filled_to_their_own_heights() -> None:
    """The first page may hold more than the others."""
    assert [4, 2, 2] == _counts(_pieces(*[50.0] * 8), 200, 100)


def test_the_space_between_two_pieces_is_the_larger_of_both_and_none_at_the_top() -> None:
    """Spaces do not add up, and a page does not begin with one."""
    pieces = [Piece(40, below=10), Piece(40, above=20, below=5), Piece(100, above=50)]
    pages = into_pages(pieces, 100, 100)

    assert [[0.0, 60.0], [0.0]] == [[depth for _, depth in page.pieces] for page in pages]
    assert 100 == height_of(pieces[:2])


def test_a_heading_goes_to_the_page_of_what_it_announces() -> None:
    """The bond of a heading holds though there is room for it."""
    pieces = _pieces(40, 40, 20, 30, 100)
    pieces[2].bond = Bond.HEADED

    assert [2, 2, 1] == _counts(pieces)


def test_what_is_kept_moves_whole_and_only_what_is_too_tall_is_cut() -> None:
    """A group that fits on a page of its own is never parted."""
    fits, tall = _pieces(60, 30, 30, 30), _pieces(60, 60, 60, 60)

    assert [1, 3] == _counts([fits[0], *hold(fits[1:], 100)])
    assert [1, 1, 1, 1] == _counts([tall[0], *hold(tall[1:], 100)])


def test_the_weakest_bond_gives_way_first() -> None:
    """If everything on a page is bound, the group is cut before a heading is left alone."""
    pieces = _pieces(30, 30, 30, 100)
    pieces[0].bond, pieces[1].bond, pieces[2].bond = Bond.HEADED, Bond.KEPT, Bond.ALONE

    assert [2, 1, 1] == _counts(pieces)


@pytest.mark.parametrize(("before", "expected"), [(60, [1, 2]), (20, [2, 1])])
def test_a_soft_bond_holds_only_if_half_a_page_is_full(before: float, expected: list[int]) -> None:
    """A signature takes the text above it along, unless that would leave the page empty."""
    pieces = _pieces(before, 30, 90)
    pieces[1].bond = Bond.SOFT

    assert expected == _counts(pieces, 100, 130)


def test_no_row_stands_alone() -> None:
    """The first two rows and the last two keep together."""
    rows = [[piece] for piece in _pieces(*[30.0] * 5)]

    assert [3, 2] == _counts(hold_ends(rows), 120, 120)
    assert [1, 2] == _counts([Piece(80), *hold_ends([[Piece(15)], [Piece(15)]])])


def test_a_page_inside_a_table_repeats_its_head_and_has_less_room() -> None:
    """The head stands again above the rows, and the rows begin below it."""
    head, rows = Piece(20, bond=Bond.HEADED), _pieces(*[40.0] * 4)
    repeat = Repeat(20, _nothing)
    for row in rows:
        row.repeat = repeat
    pages = into_pages([head, *rows], 100, 100)

    assert [None, repeat] == [page.repeat for page in pages]
    assert [[0.0, 20.0, 60.0], [20.0, 60.0]] == [[depth for _, depth in page.pieces] for page in pages]


def test_a_frame_leaves_room_for_its_lower_edge() -> None:
    """The line below the last piece stands on the page too."""
    pieces = _pieces(50, 50)
    for piece in pieces:
        piece.frame = Frame(5, lambda _sheet, _top, _bottom: None)

    assert [1, 1] == _counts(pieces)


def test_a_heading_in_the_side_column_has_room_for_all_its_lines() -> None:
    """It hangs below its own piece, and not into the foot."""
    rule, text = Piece(5, bond=Bond.HEADED), Piece(20)
    rule.reach = 60

    assert [1, 2] == _counts([Piece(50), rule, text])


def test_a_last_page_with_next_to_nothing_takes_more_along() -> None:
    """Not only the closing remark: what stands above it moves too, if nothing binds it."""
    pieces = _pieces(*[50.0] * 8, 20.0)

    assert [6, 3] == _counts(pieces, 400, 400)
    assert [8, 1] == _counts([*pieces[:-1], Piece(LEAST)], 400, 400)


def test_spaces_between_sections_give_way_to_save_a_page() -> None:
    """A letter of one page and one line becomes a letter of one page."""
    pieces = [Piece(130), Piece(60, above=12)]
    assert [1, 1] == _counts(pieces, 200, 200)

    pieces[1].loose = 5
    assert [2] == _counts(pieces, 200, 200)


def test_two_pages_become_one_however_much_the_second_held() -> None:
    """A box that is kept whole may be most of a page: the spaces above it still give way; not for the third page."""
    box = Piece(120, above=12)
    box.loose = 5
    assert [2] == _counts([Piece(72), box], 200, 200)
    assert [1, 1, 1] == _counts([Piece(200), Piece(72), box], 200, 200)


def test_a_forced_page_begins_a_page() -> None:
    """It does so once, however much room is left."""
    pieces = _pieces(10, 10, 10)
    pieces[1].opens = True

    assert [1, 2] == _counts(pieces)


def test_the_page_before_a_forced_one_holds_more_than_a_remark() -> None:
    """What ends there takes more along, as on the last page of all."""
    pieces = _pieces(*[50.0] * 8, 20.0, 30.0)
    pieces[-1].opens = True

    assert [6, 3, 1] == _counts(pieces, 400, 400)
