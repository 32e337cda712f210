"""Trims: where they are cut, and how much they take."""

from tests.nester.verify.plans import (
    TRIM,
    WASTE,
    Doc,
    Tree,
    blank,
    board,
    codes,
    document,
    layout,
    offcut,
    part,
    sheet,
    shop,
    simple,
    x,
    y,
)

FRONT = y("3 3/4", blank("front"), WASTE)


def between_ends(at_a: str, at_b: str, inside: Tree) -> Tree:
    """Return a tree that trims end A with a cut at ``at_a`` and end B with one at ``at_b``."""
    return x(at_a, TRIM, x(at_b, inside, TRIM))


def test_rough_ends_are_trimmed_by_just_their_loss() -> None:
    """1 in is lost at each end, the kerf included: the cuts are at 7/8 and 59."""
    rough = board(ends="rough")
    inside = x("40", FRONT, WASTE)
    assert codes(simple(stock=rough, tree=between_ends("7/8", "59", inside))) == set()
    for at_a, at_b in (("15/16", "59"), ("13/16", "59"), ("7/8", "58 15/16"), ("7/8", "59 1/16")):
        assert "trim-size" in codes(simple(stock=rough, tree=between_ends(at_a, at_b, inside)))


def test_both_ends_are_trimmed() -> None:
    """A blank, an offcut or plain waste at a rough end is a fault."""
    rough = board(ends="rough")
    assert "end-trim" in codes(simple(stock=rough, tree=x("59", x("39", FRONT, WASTE), TRIM)))
    assert "end-trim" in codes(simple(stock=rough, tree=x("7/8", TRIM, x("40", FRONT, WASTE))))
    kept = x("7/8", TRIM, x("40", FRONT, offcut("M-1a")))
    assert "end-trim" in codes(simple(stock=rough, tree=kept))
    unsaid = x("7/8", WASTE, x("59", x("40", FRONT, WASTE), WASTE))
    assert "end-trim" in codes(simple(stock=rough, tree=unsaid))


def test_end_trims_may_follow_the_rips() -> None:
    """Ripped first, the strip of waste may keep its rough ends, each other strip is trimmed."""
    used = shop(first_cut="rip")
    rough = board(ends="rough")
    strip = between_ends("7/8", "59", x("40", blank("front"), WASTE))
    doc = simple(stock=rough, of=used, tree=y("3 3/4", strip, WASTE), first_cut="rip")
    assert codes(doc) == set()
    kept = simple(stock=rough, of=used, tree=y("3 3/4", strip, offcut("M-1a")), first_cut="rip")
    assert "end-trim" in codes(kept)


def test_square_ends_are_not_trimmed() -> None:
    """A trim at a square end is a fault; the same cut as an ordinary one is not."""
    tree = x("7/8", TRIM, x("40", FRONT, WASTE))
    assert codes(simple(tree=tree)) == {"trim-place"}
    assert codes(simple(tree=x("7/8", WASTE, x("40", FRONT, WASTE)))) == set()


def test_end_trim_takes_at_least_the_kerf() -> None:
    """An end trim of 1/16 is the crosscut kerf of 1/8, and leaves no piece of waste."""
    used = shop(end_trim="1/16")
    rough = board(ends="rough")
    tree = x("0", None, x("59 7/8", x("39 1/8", FRONT, WASTE), None))
    assert codes(simple(stock=rough, of=used, tree=tree)) == set()
    bare = x("39 1/8", x("0", None, FRONT), WASTE)
    assert codes(simple(stock=rough, of=used, tree=bare)) == {"end-trim"}


def test_no_end_trim_at_all() -> None:
    """With an end trim of 0, rough ends lose nothing."""
    assert codes(simple(stock=board(ends="rough"), of=shop(end_trim="0"))) == set()


def test_end_b_off_the_grid() -> None:
    """The trim of an end that lies between two grid lines begins on the one before."""
    rough = board(length="60 1/32", ends="rough")
    inside = x("40", FRONT, WASTE)
    assert codes(simple(stock=rough, tree=between_ends("7/8", "59", inside))) == set()
    doc = simple(stock=rough, tree=between_ends("7/8", "59 1/16", inside))
    assert "trim-size" in codes(doc)


def test_waste_inside_is_no_trim() -> None:
    """Only the edges of the stock are trimmed."""
    assert "trim-place" in codes(simple(tree=x("39", y("3 3/4", blank("front"), TRIM), WASTE)))
    assert "trim-place" in codes(simple(tree=x("39", FRONT, TRIM)))
    both = x("7/8", TRIM, TRIM)
    assert "trim-place" in codes(simple(stock=board(ends="rough"), tree=both))


def test_the_whole_stock_is_no_trim() -> None:
    """A piece that no cut took off is no trim."""
    doc = simple()
    doc["layouts"].append(layout(board(), TRIM, 2))
    assert "trim-place" in codes(doc)


def sheet_plan(tree: Tree, trim: str) -> Doc:
    """Return a plan of one top, 40 x 20, from a sheet of 96 x 48."""
    used = shop(sheet_trim=trim)
    stock = sheet()
    top = part("top", "40", "20", material=["birch plywood"])
    return document([stock], [top], [layout(stock, tree, of=used)], of=used)


def test_sheet_edges_are_lost() -> None:
    """With a trim of 1/2 a blank begins 1/2 from the edges, not 7/16."""
    tree = x("3/8", TRIM, x("40 1/2", y("3/8", TRIM, y("20 1/2", blank("top"), WASTE)), WASTE))
    assert codes(sheet_plan(tree, "1/2")) == set()
    near = x("3/8", TRIM, x("40 1/2", y("5/16", WASTE, y("20 7/16", blank("top"), WASTE)), WASTE))
    assert codes(sheet_plan(near, "1/2")) == {"sheet-trim"}
    near = x("3/8", TRIM, x("40 1/2", y("5/16", TRIM, y("20 7/16", blank("top"), WASTE)), WASTE))
    assert codes(sheet_plan(near, "1/2")) == {"sheet-trim", "trim-size"}


def test_far_edges_of_a_sheet_are_lost() -> None:
    """The far edges lose as much; a trim of less than the kerf takes the kerf."""
    tree = x(
        "55 1/2", WASTE, x("95 3/4", y("27 1/2", WASTE, y("47 3/4", blank("top"), TRIM)), TRIM)
    )
    assert codes(sheet_plan(tree, "1/4")) == set()
    assert codes(sheet_plan(tree, "5/16")) >= {"sheet-trim", "trim-size"}
    kerf = x(
        "55 3/4", WASTE, x("95 7/8", y("27 3/4", WASTE, y("47 7/8", blank("top"), None)), None)
    )
    assert codes(sheet_plan(kerf, "1/32")) == set()
    at_edge = x("55 7/8", WASTE, y("27 3/4", WASTE, y("47 7/8", blank("top"), None)))
    assert codes(sheet_plan(at_edge, "1/32")) == {"sheet-trim"}


def test_offcuts_of_a_sheet_lie_within_its_trims() -> None:
    """What a sheet loses along its edges is lost to an offcut too."""
    tree = x(
        "3/8", TRIM, x("40 1/2", y("3/8", TRIM, y("20 1/2", blank("top"), WASTE)), offcut("a"))
    )
    assert "sheet-trim" in codes(sheet_plan(tree, "1/2"))
    assert "sheet-trim" not in codes(sheet_plan(tree, "0"))
