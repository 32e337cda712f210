"""Plans that hold, each made by hand to use other rules; the sums beside them are worked by hand.

Lengths are in inches. The shop's inch defaults hold where nothing else is said: grid 1/16, crosscut
kerf 1/8, rough rip kerf 1/16, blanks 1 longer and 1/4 wider, end trim 1, edge trim 1/8.
"""

from collections.abc import Callable
from decimal import Decimal
from fractions import Fraction

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
    offcut,
    outlined,
    part,
    sheet,
    shop,
    x,
    y,
)
from tests.nester.verify.valid_composite import COMPOSITE

SQUARE_INCH = Decimal("645.16")  # mm²


def money(amount: Fraction) -> Decimal:
    """Return an amount rounded to a tenth of a cent."""
    return Decimal(round(amount * 1000)) / 1000


def area(square_inches: Fraction) -> Decimal:
    """Return an area in mm², to three places."""
    return Decimal(round(square_inches * Fraction(64516, 100) * 1000)) / 1000


def plinth() -> Doc:
    """One board, one part, an offcut; 60 x 6 x 1 at $10 a board foot is $25."""
    stock = board(price=10, per="board foot")
    tree = x("39", y("3 3/4", blank("plinth front"), WASTE), offcut("M-1a"))
    laid = layout(stock, tree, value=25)
    # The offcut is 20 7/8 of 60 in long, so 25 (1 - 0.5 * 20.875 / 60) = 20.651.
    return document([stock], [part("plinth front", "38", "3 1/2")], [laid], cost=Decimal("20.651"))


def rough() -> Doc:
    """A rough, warped board: both ends trimmed, each section straightened, a far trim, an offcut.

    Crook 3/8 over 100: over 41 it is 0.063, with the trim 0.188, so 1/4; over 21 it is 0.0165, so
    3/16.
    """
    stock = board(
        "R-1",
        "100",
        "8",
        "1 1/8",
        sold_as="1 1/4",
        ends="rough",
        edges="rough",
        bow="1/4",
        crook="3/8",
        cup="1/16",
        twist="1/8",
        price=8,
        per="board foot",
        flaws=[flaw("knot", "50", "7", "1", "1/2")],
    )
    rails = y(
        "3/16",
        TRIM,
        y("4", blank("rail", 1), y("7 7/8", blank("rail", 2, flipped=True), TRIM)),
    )
    stile = y("1/8", TRIM, y("6 7/16", blank("stile"), WASTE))
    inside = x("42", rails, x("63 1/8", stile, offcut("R-1a")))
    tree = x("7/8", TRIM, x("99", inside, TRIM))
    # 100 x 8 x 1 1/4 is 1000/144 board feet, $55.556; the offcut is 35 3/4 of 100 in long.
    value = Fraction(8 * 1000, 144)
    laid = layout(stock, tree, value=money(value))
    parts = [
        part("rail", "40", "3 1/2", count=2),
        part("stile", "20", "6", quality="sound"),
    ]
    cost = value * (1 - Fraction("0.5") * Fraction("35.75") / 100)
    return document([stock], parts, [laid], cost=money(cost))


def taper() -> Doc:
    """Two tapered boards, one with rough edges and wider at end B, flaws in its offcut."""
    narrowing = board("T-1", "80", ("8", "6"), price=9)
    widening = board(
        "T-2",
        "60",
        ("5", "7"),
        price=12,
        edges="rough",
        flaws=[
            flaw("knot", "45", "1", "2", "1"),
            flaw("rot", "46", "1 1/2", "2", "1"),
            outlined("wane", ("45", "6"), ("60", "6"), ("60", "7"), ("45", "6 1/2")),
            flaw("stain", "52", "1", "4", "2", sound=True),
        ],
    )
    wide = y("6 1/4", blank("end", 1), WASTE)
    slat = y("5 1/4", blank("slat"), WASTE)
    one = layout(narrowing, x("31", wide, x("72 1/8", slat, WASTE)))
    # The narrow end is 5, so the blank may reach 4 7/8; the trim begins there.
    rail = y("1/16", TRIM, y("4 7/8", blank("rail"), TRIM))
    two = layout(widening, x("41", rail, offcut("T-2a")))
    parts = [
        part("end", "30", "6"),
        part("slat", "40", "5"),
        part("rail", "40", "4 1/2", quality="clear"),
    ]
    # Widths: T-1 at 31 is 8 - 2 * 31/80, T-2 at x is 5 + x/30. The wood of the offcut runs from
    # 41 1/8 to 60; of its flaws, the knot and the rot share 1 x 1/2, and the wane's upper edge is
    # the board's own: 1/2 high at 45, 1 at 60.
    left = Fraction("41.125")
    wood = (60 - left) * ((5 + left / 30) + 7) / 2
    bad = (2 + 2 - Fraction(1, 2)) + 15 * (Fraction(1, 2) + 1) / 2
    cost = 9 + 12 * (1 - Fraction("0.5") * (wood - bad) / 360)
    blanks = 31 * Fraction("6.25") + 41 * Fraction("5.25") + 41 * Fraction("4.75")
    kerfs = [
        Fraction(1, 8) * (8 - Fraction(2, 80) * Fraction("31.0625")),  # T-1, mean width at 31
        Fraction(1, 8) * (8 - Fraction(2, 80) * Fraction("72.1875")),
        Fraction(1, 16) * (31 + 41),  # T-1, the rips
        Fraction(1, 8) * (5 + Fraction("41.0625") / 30),  # T-2
        Fraction(1, 16) * 41,  # T-2, the near trim
        # T-2, the far trim from 4 7/8 to 4 15/16, all of it wood.
        Fraction(1, 16) * 41,
    ]
    stock = Fraction(80 * 7 + 60 * 6)
    rest = stock - blanks - wood - sum(kerfs)
    areas = {
        "stock": area(stock),
        "parts": area(blanks),
        "offcuts": area(wood),
        "kerf": area(sum(kerfs, Fraction(0))),
        "waste": area(rest),
    }
    return document([narrowing, widening], parts, [one, two], cost=money(cost), areas=areas)


def sheets() -> Doc:
    """Two sheets whose edges are trimmed; grain along, grain across, and grain that may turn."""
    used = shop(sheet_trim="1/4")
    stock = sheet(count=2, flaws=[flaw("void", "80", "40", "2", "2")])
    sides = y("20 1/4", blank("side", 1), y("40 3/8", blank("side", 2), WASTE))
    shelves = y(
        "24 1/4", blank("shelf", turned=True), y("44 3/8", blank("door", turned=True), WASTE)
    )
    inside = x("30 1/4", sides, x("46 3/8", shelves, offcut("BP18a")))

    def trimmed(tree: Tree) -> Tree:
        return x("1/8", TRIM, x("95 3/4", y("1/8", TRIM, y("47 3/4", tree, TRIM)), TRIM))

    one = layout(stock, trimmed(inside), of=used, first_cut=None)
    side = x("30 1/4", y("20 1/4", blank("side", 3), WASTE), WASTE)
    two = layout(stock, trimmed(side), 2, of=used, first_cut="rip")
    ply = ["Birch  Plywood"]
    parts = [
        part("side", "30", "20", material=ply, count=2, spare=1),
        part("shelf", "24", "16", "18 mm", material=ply, grain="any"),
        part("door", "20", "16", material=ply, grain="width", quality="sound"),
    ]
    # The offcut is 49 1/4 x 47 1/2 less the void of 4; a sheet is 4608.
    credited = Fraction("49.25") * Fraction("47.5") - 4
    cost = 84 * (2 - Fraction("0.5") * credited / 4608)
    return document([stock], parts, [one, two], of=used, cost=money(cost))


def planed() -> Doc:
    """An S4S board ripped first at the fence: no allowance in width, the kerf 1/8, no warp."""
    used = shop(first_cut="either", stages=2)
    stock = board("S-4", "72", "7 1/4", "3/4", surface="S4S", sawn="quarter", price=18)
    strip = x("41", blank("rail", 1), x("71", blank("post", flipped=True), WASTE))
    tree = y("3 1/2", strip, y("7 1/8", x("41", blank("rail", 2), WASTE), None))
    laid = layout(stock, tree, of=used, first_cut="rip")
    parts = [
        part("rail", "40", "3 1/2", count=2, sawn="quarter"),
        part("post", "28", "3", extra_length="7/8", extra_width="1/4"),
    ]
    return document([stock], parts, [laid], of=used)


def flawed() -> Doc:
    """A board full of flaws, and parts whose qualities bear those that they lie over or beside."""
    stock = board(
        "F-1",
        "96",
        "9",
        flaws=[
            flaw("stain", "2", "1", "6", "1", face="b", sound=True),
            flaw("sapwood", "2", "5", "6", "1", sound=True),
            flaw("knot", "50", "1", "2", "1 1/4"),
            flaw("split", "94", "3", "2", "1/8"),
            flaw("metal", "90", "7", "1/4", "1/4"),
            outlined(
                "wane", ("40", "8 7/8"), ("80", "8 1/2"), ("96", "8 3/4"), ("96", "9"), ("40", "9")
            ),
            flaw("pith", "70", "6 1/4", "10", "1/4"),
        ],
    )
    faces = y(
        "4 1/4",
        blank("door", reversed=True, flipped=False),
        y("8 9/16", blank("panel", flipped=True), WASTE),
    )
    hidden = y("4", blank("cleat"), y("6", blank("post"), WASTE))
    tree = x("39", faces, x("69 1/8", hidden, WASTE))
    laid = layout(stock, tree)
    parts = [
        part("door", "38", "4", quality="clear face"),
        part("panel", "38", "4", quality="clear", allow=["sapwood"]),
        # 1 1/4 is no more than a third of the needed 4 in.
        part("cleat", "29", "3 3/4", quality="hidden"),
        part("post", "29", "1 1/2", quality="clear"),
    ]
    return document([stock], parts, [laid])


def turned() -> Doc:
    """Grain across a part: its length lies across the board, and 12 in along is the least."""
    stock = board("W-9", "48", "11", price=14, bow="3/16")
    row = y("9", blank("side", 1, turned=True), WASTE)
    shelf = y("5 1/4", blank("arm"), y("10 9/16", blank("slat"), WASTE))
    tree = x("12", row, x("43 1/8", shelf, WASTE))
    parts = [
        part("side", "8", "6", grain="width"),
        part("arm", "30", "5", pulled_flat=True, grain="any"),
        part("slat", "30", "5", blank_extra_length="1/2"),
    ]
    return document([stock], parts, [layout(stock, tree)])


def no_slivers() -> Doc:
    """Trims that are all kerf: rough edges of 1/16 with a kerf of 1/16, ends of 1/8."""
    used = shop(end_trim="1/8", edge_trim="1/32", first_cut="rip")
    stock = board("N-1", "50", "5", ends="rough", edges="rough", surface="skip planed")
    strips = y("0", None, y("4 15/16", y("2 1/16", blank("lath", 1), blank("lath", 2)), None))
    tree = x("0", None, x("49 7/8", strips, None))
    parts = [part("lath", "48", "1 3/4", count=2)]
    return document([stock], parts, [layout(stock, tree, of=used, first_cut="rip")], of=used)


def short() -> Doc:
    """Two boards of three, a part that cannot be had, copies of one stock item with two offcuts."""
    stock = board("C-1", "84", "5", count=3, price=11)
    spare = board("C-2", "30", "5", price=3)
    rail = y("3 3/4", blank("rail", 1), WASTE)
    other = y("3 3/4", blank("rail", 3), WASTE)
    one = layout(stock, x("41", rail, offcut("C-1a")))
    two = layout(stock, x("41", other, offcut("C-1b")), 3)
    parts = [part("rail", "40", "3 1/2", count=2, spare=1), part("top", "100", "4")]
    missing = [
        {"part": "rail", "count": 1, "reason": "no third board is kept"},
        {"part": "top", "count": 1, "reason": "no board is 101 in long"},
    ]
    # Each offcut is 42 7/8 of 84 in long.
    cost = 22 * (1 - Fraction("0.5") * Fraction("42.875") / 84)
    return document([stock, spare], parts, [one, two], cost=money(cost), missing=missing)


def metric() -> Doc:
    """A plan in millimetres, its grid half a millimetre, its bound below its cost."""
    used = shop(
        units="mm",
        tape="1 mm",
        grid="0.5 mm",
        kerf={
            "crosscut": "3.2 mm",
            "rip": "3.2 mm",
            "rough_rip": "1.6 mm",
            "sheet": "3.2 mm",
            "resaw": "1.6 mm",
        },
        blank_extra_length="25 mm",
        blank_extra_width="6 mm",
        plane_off={"rough": "3 mm", "skip planed": "1.5 mm"},
        end_trim="25 mm",
        edge_trim="3 mm",
        flaw_margin="6 mm",
        split_margin="25 mm",
        metal_clear="25 mm",
        offcut_min=["300 mm", "75 mm"],
        sheet_offcut_min=["600 mm", "200 mm"],
        shortest_milled="300 mm",
        shortest_rip="300 mm",
        thick_spare="19 mm",
    )
    stock = board(
        "E-3",
        "2440.3125 mm",
        "181 mm",
        "27 mm",
        species="European oak",
        ends="rough",
        edges="rough",
        crook="6.4 mm",
        price=Decimal("2650.5"),
        per="cubic metre",
        flaws=[flaw("shake", "1200 mm", "100 mm", "80 mm", "2 mm")],
    )
    # Kerfs round up to 3.5 and 2. Over 1125 mm the crook is 1.36 mm, with the trim 4.5.
    legs = y("2.5 mm", TRIM, y("80.5 mm", blank("leg", 1), y("158.5 mm", blank("leg", 2), WASTE)))
    tree = x(
        "21.5 mm",
        TRIM,
        x("2415 mm", x("1150 mm", legs, x("1320 mm", WASTE, offcut("E-3a"))), TRIM),
    )
    parts = [part("leg", "1100 mm", "70 mm", "23 mm", count=2, material=["oak", "european  Oak"])]
    # 2440.3125 x 181 x 27 mm is 0.0119258071875 m³; the offcut is from 1323.5 to 2415 mm.
    value = Fraction("2650.5") * Fraction("2440.3125") * 181 * 27 / 10**9
    cost = value * (1 - Fraction("0.5") * Fraction("1091.5") / Fraction("2440.3125"))
    doc = document([stock], parts, [layout(stock, tree, of=used, value=money(value))], of=used)
    rounded = money(cost)
    bound = rounded - Decimal("0.5")
    gap = Decimal(round(Fraction(1, 2) / Fraction(rounded) * 10**6)) / 10**6
    return {
        **doc,
        "units": "mm",
        "status": "within gap",
        "stopped_by": "gap",
        "cost": rounded,
        "bound": bound,
        "gap": gap,
    }


VALID: dict[str, Callable[[], Doc]] = {
    "plinth": plinth,
    "rough": rough,
    "taper": taper,
    "sheets": sheets,
    "planed": planed,
    "flawed": flawed,
    "turned": turned,
    "no slivers": no_slivers,
    "short": short,
    "metric": metric,
    **COMPOSITE,
}
