"""Plans that hold and use runs, resawn leaves, glued-up panels or cutaways; sums worked by hand.

Lengths are in inches and the shop's inch defaults hold, as in ``valid.py``: a joint of a wrap at 45
degrees takes 1/8 / cos 45 + 1/16 = 0.239, so 1/4; a crosscut in a sequence 1/8.
"""

from collections.abc import Callable

from tests.nester.verify.composites import (
    arch,
    glue_up,
    match,
    outline,
    panel,
    pile,
    result,
    row,
    strip,
    z,
)
from tests.nester.verify.plans import (
    TRIM,
    WASTE,
    Doc,
    Tree,
    blank,
    board,
    document,
    flaw,
    layout,
    outlined,
    part,
    sheet,
    shop,
    x,
    y,
)

SIDES = ("left", "top", "right", "bottom")


def case(width: str = "4", **changes: object) -> list[Doc]:
    """Return the four sides of a case, 12 and 30 in long."""
    sizes = ("12", "30", "12", "30")
    return [part(name, size, width, **changes) for name, size in zip(SIDES, sizes, strict=True)]


def wrapped() -> Doc:
    """A case from one strip, grain running round three corners: 84 + 3/4 without any allowance."""
    used = shop(blank_extra_length="0")
    stock = board("W-1", "85 1/2", "4", "3/4", surface="S4S")
    run = row(
        "case",
        "0",
        "1/4",
        ("12", blank("left")),
        ("30", blank("top")),
        ("12", blank("right")),
        ("30", blank("bottom")),
    )
    laid = layout(stock, x("84 3/4", run, WASTE), of=used)
    return document(
        [stock],
        case(),
        [laid],
        of=used,
        match=[match("case", "wrap", *SIDES)],
        matches=[result("case", 4, 3, ("bottom", "left"), stock=("W-1",))],
    )


def pairs() -> Doc:
    """The same from two boards of 44, each corner at a price: two corners match, two cost 5 each.

    One of the runs passes from the last part to the first, turned end for end. Each needs 12 + 30,
    the joint, and half an inch at both ends.
    """
    used = shop(corner_penalty=5)
    one = board("W-1", "44", "4 1/4")
    two = board("W-2", "44", "4 1/4")
    first = row("case", "0", "1/4", ("30 1/2", blank("top")), ("", blank("right")))
    turned = {"reversed": True, "flipped": False}
    second = row(
        "case", "0", "1/4", ("12 1/2", blank("left", **turned)), ("", blank("bottom", **turned))
    )
    layouts = [
        layout(one, x("43 1/4", first, WASTE), of=used),
        layout(two, x("43 1/4", second, WASTE), of=used),
    ]
    broken = (("left", "top"), ("right", "bottom"))
    why = "the grain does not run on from {} to {}"
    return document(
        [one, two],
        case(),
        layouts,
        of=used,
        cost=30,
        match=[match("case", "wrap", *SIDES)],
        matches=[result("case", 4, 2, *broken, stock=("W-1", "W-2"))],
        penalties=[{"match": "case", "why": why.format(*corner), "cost": 5} for corner in broken],
    )


def resawn() -> Doc:
    """All four corners from a board 2 in thick: opened into 15/16 and 1, planed to 3/4.

    The leaf of face A holds, from end A, bottom and right, both turned end for end; that of face B
    left and top. Both show the face that the saw laid bare.
    """
    stock = board("W-3", "44", "4 1/4", "2", bow="1/16")
    over = {"reversed": True, "flipped": True}
    one = row("case", "0", "1/4", ("30 1/2", blank("bottom", **over)), ("", blank("right", **over)))
    two = row("case", "0", "1/4", ("12 1/2", blank("left")), ("", blank("top")))
    laid = layout(stock, x("43 1/4", z("15/16", one, two), WASTE))
    return document(
        [stock],
        case(),
        [laid],
        match=[match("case", "wrap", *SIDES, required=True)],
        matches=[result("case", 4, 4, stock=("W-3",))],
    )


def drawers() -> Doc:
    """A bank of drawer fronts from one sheet, two rows of three: 48 1/4 by 6 + 1/8 + 8."""
    stock = sheet("BP18", "96", "48")
    ply = ["birch plywood"]
    rows = [
        row(
            name,
            "0",
            "1/8",
            ("16", blank(f"{size} front", 1)),
            ("16", blank(f"{size} front", 2)),
            ("16", blank(f"{size} front", 3)),
        )
        for name, size in (("upper", "low"), ("lower", "high"))
    ]
    bank = pile("bank", "0", "1/8", ("6", rows[0]), ("8", rows[1]), saw="sheet")
    laid = layout(stock, y("14 1/8", x("48 1/4", bank, WASTE), WASTE))
    parts = [
        part("low front", "16", "6", material=ply, count=3),
        part("high front", "16", "8", material=ply, count=3),
    ]
    matches = [
        match("upper", "sequence", *["low front"] * 3),
        match("bank", "stack", "upper", "lower", required=True),
        match("lower", "sequence", *["high front"] * 3),
    ]
    results = [
        result("upper", 2, 2, stock=("BP18",)),
        result("bank", 1, 1, stock=("BP18",)),
        result("lower", 2, 2, stock=("BP18",)),
    ]
    return document([stock], parts, [laid], match=matches, matches=results)


def rails() -> Doc:
    """Two sets of three rails in a row from a rough board, the second broken; fronts edge to edge.

    The largest allowance of the rails is 1 1/2, so 3/4 at either end: 10 3/4, 6, 10 3/4 with two
    crosscuts of 1/8 make 27 3/4; two of them 10 3/4, 1/8, 6 3/4, so 17 5/8. Crook 1/8 over 60: over
    any of these lengths the near edge loses 1/8 and less than 1/32, so 3/16. The fronts take
    5 + 1/8 each, half of 1/4 outside, and a rip of 1/8 between; rolled over, the first lies above.
    """
    stock = board(
        "S-1",
        "60",
        "12 1/2",
        "1 1/8",
        ends="rough",
        edges="rough",
        crook="1/8",
        bow="1/8",
        cup="1/16",
        count=2,
    )
    three = row(
        "rails",
        "1",
        "1/8",
        ("10 3/4", blank("rail", 1)),
        ("6", blank("short rail", 1)),
        ("10 3/4", blank("rail", 2)),
    )
    two = row("rails", "28 7/8", "1/8", ("10 3/4", blank("rail", 3)), ("", blank("short rail", 2)))
    over = {"flipped": True}
    fronts = pile(
        "fronts", "3/16", "1/8", ("5 1/8", blank("upper", **over)), ("", blank("lower", **over))
    )

    def ripped(inside: Tree, wide: str = "3 15/16") -> Tree:
        return y("1/8", TRIM, y(wide, inside, WASTE))

    def trimmed(inside: Tree) -> Tree:
        return x("7/8", TRIM, x("59", inside, TRIM))

    sections = x("28 3/4", ripped(three), x("46 1/2", ripped(two), ripped(blank("rail", 4))))
    stack = x("22", ripped(fronts, "10 9/16"), WASTE)
    layouts = [layout(stock, trimmed(sections)), layout(stock, trimmed(stack), 2)]
    parts = [
        part("rail", "10", "3 1/2", count=4, blank_extra_length="1 1/2"),
        part("short rail", "6", "3 1/2", count=2),
        part("lower", "20", "5"),
        part("upper", "20", "5", quality="clear"),
    ]
    matches = [
        match("rails", "sequence", "rail", "short rail", "rail", sets=2),
        match("fronts", "stack", "lower", "upper"),
    ]
    results = [
        result("rails", 4, 3, ("short rail", "rail"), stock=("S-1",)),
        result("fronts", 1, 1, stock=("S-1",)),
    ]
    return document([stock], parts, layouts, match=matches, matches=results)


def doors() -> Doc:
    """Two door panels opened from one piece like a book, and three aprons, two from one board.

    1 1/2 in opened into 11/16 and 3/4: planed by 1/8, both hold a panel of 1/2.
    """
    thick = board("B-1", "30", "5 3/4", "1 1/2")
    one, two = board("B-2", "44", "3 3/4"), board("B-3", "24", "3 3/4")
    book = z("11/16", blank("panel", 1, flipped=True), blank("panel", 2), run="doors")
    layouts = [
        layout(thick, x("29", book, WASTE)),
        layout(one, x("21", blank("apron", 1), x("42 1/8", blank("apron", 2), WASTE))),
        layout(two, x("21", blank("apron", 3), WASTE)),
    ]
    parts = [
        part("panel", "28", "5 1/2", "1/2", count=2, quality="clear"),
        part("apron", "20", "3 1/2", count=3),
    ]
    matches = [
        match("doors", "book", "panel", "panel", required=True),
        match("aprons", "same board", "apron", "apron", "apron"),
    ]
    results = [
        result("doors", 1, 1, stock=("B-1",)),
        result("aprons", 2, 1, ("apron", "apron"), stock=("B-2", "B-3")),
    ]
    return document([thick, one, two], parts, layouts, match=matches, matches=results)


def glued() -> Doc:
    """A lid of four strips, and a case whose sides are cut from one panel glued over 85 3/4.

    4 * 5 1/2 less 1/8 each is 21 1/2; 3 * 5 less 1/8 each 14 5/8.
    """
    narrow = board("G-1", "64", "5 1/2", count=2)
    wide = board("G-2", "90", "10 1/4", count=2, price=20)
    lids = [
        layout(
            narrow,
            x("31", strip("lid-1", 2 * n - 1), x("62 1/8", strip("lid-1", 2 * n), WASTE)),
            n,
        )
        for n in (1, 2)
    ]
    two = y("5", strip("case-1", 1), y("10 1/16", strip("case-1", 3), WASTE))
    one = y("5", strip("case-1", 2), WASTE)
    sides = [layout(wide, x("85 3/4", tree, WASTE), n) for n, tree in ((1, two), (2, one))]
    run = row(
        "case",
        "0",
        "1/4",
        ("12 1/2", blank("left")),
        ("30", blank("top")),
        ("12", blank("right")),
        ("", blank("bottom")),
    )
    panels = [
        panel("lid-1", [("lid", 1)], 4, "31", "21 1/2", blank("lid")),
        panel("case-1", [(name, 1) for name in SIDES], 3, "85 3/4", "14 5/8", run, match="case"),
    ]
    parts = [
        part("lid", "30", "21", glue_up=glue_up()),
        *case("14", glue_up=glue_up("3", "5 1/2")),
    ]
    return document(
        [narrow, wide],
        parts,
        [*lids, *sides],
        panels=panels,
        match=[match("case", "wrap", *SIDES, required=True)],
        matches=[result("case", 4, 3, ("bottom", "left"), stock=("G-2",))],
    )


def arched() -> Doc:
    """Plinths with flaws where they are sawn out: under an arch, in a corner, on either edge.

    A blank is 39 by 3 3/4, the part in the middle of its length, its arched edge on the blank's.
    The first is as drawn: its arch runs from 5 1/2 to 33 1/2 on the near edge, 1 3/4 high at
    19 1/2; its corner lies at 1/2, 3 1/2. The second is rolled over, so that its near edge is the
    stock's far one; the third has its arch on its own far edge and is turned end for end, so that
    it comes to lie on the near side.
    """
    stock = board(
        "A-1",
        "41",
        "12",
        flaws=[
            flaw("knot", "19", "0", "1", "1"),
            flaw("bark pocket", "5/8", "3 1/4", "1/16", "1/16"),
            outlined("rot", ("15", "7 3/8"), ("20", "7 3/8"), ("18", "6 1/4")),
            flaw("check", "25", "7 5/8", "2", "1/2"),
            flaw("stain", "0", "3 7/8", "1/8", "2", face="a", sound=True),
        ],
    )
    rest = y(
        "7 9/16",
        blank("plinth", 2, flipped=True),
        y("11 3/8", blank("skirt", reversed=True), WASTE),
    )
    laid = layout(stock, x("39", y("3 3/4", blank("plinth", 1), rest), WASTE))
    near = arch("near", "5", "28", "1 3/4")
    corner = outline(("0", "3"), ("1", "3 1/2"), ("0", "3 1/2"))
    parts = [
        part("plinth", "38", "3 1/2", count=2, cutaway=[near, corner]),
        part("skirt", "38", "3 1/2", cutaway=[arch("far", "5", "28", "1 3/4")], quality="clear"),
    ]
    return document([stock], parts, [laid])


COMPOSITE: dict[str, Callable[[], Doc]] = {
    "wrapped": wrapped,
    "pairs": pairs,
    "resawn": resawn,
    "drawers": drawers,
    "rails": rails,
    "doors": doors,
    "glued": glued,
    "arched": arched,
}
