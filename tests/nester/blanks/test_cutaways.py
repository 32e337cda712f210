"""Flaws under arches and in corners that are sawn away, by pencil.

Unless a test says otherwise the board is just as large as the blank, 38 x 3 1/2, so that only the
way the part lies is open. Its arch spans 28 and rises 1 3/4, 5 in from either end, so its radius is
28**2 / (8 * 1 3/4) + 1 3/4 / 2 = 56 7/8, and y beside its middle it is
sqrt(56.875**2 - y**2) - 55.125 high (trade geometry of the sagitta; see any carpentry handbook).
"""

from typing import Any

import pytest

from nester.layout import BlankUse
from tests.nester.maker import PROVEN, blanks, board, fits, match, part, planned, sheet, shop

ARCH = {"arch": {"edge": "near", "start": "5", "span": "28", "rise": "1 3/4"}}
FAR_ARCH = {"arch": {"edge": "far", "start": "5", "span": "28", "rise": "1 3/4"}}


def flaw(kind: str, x: str, y: str, length: str, width: str, **more: Any) -> dict[str, Any]:
    """Return a flaw by its lowest corner."""
    return {"kind": kind, "x": x, "y": y, "length": length, "width": width, **more}


def rail(*cutaways: dict[str, Any], **keys: Any) -> str:
    """Return the part, with an arch on its near edge where nothing else is said."""
    return part("rail", **{"length": "38", "width": "3 1/2", "cutaway": cutaways or (ARCH,)} | keys)


def narrow(*flaws: dict[str, Any], **keys: Any) -> str:
    """Return the board that is just as large as the rail."""
    return board(**{"length": "38", "width": "3 1/2", "flaws": flaws} | keys)


def lie(stock: str, parts: str, habits: str | None = None) -> BlankUse:
    """Return how the one blank lies; the checker has agreed."""
    ((_, use),) = blanks(planned(stock, parts, habits))
    return use


# The height half an inch beside the middle is 1.7478.
@pytest.mark.parametrize(("width", "fit"), [("1 11/16", True), ("1 3/4", False)])
def test_under_the_crown(width: str, fit: bool) -> None:
    """A knot under the arch does no harm as long as the arc passes over all of it."""
    knot = flaw("knot", "18 1/2", "0", "1", width)
    assert fits(narrow(knot), rail()) is fit
    assert not fits(narrow(knot), rail(cutaway=[]))


# The height 13 beside the middle is 0.2444; 12 beside it 0.4697.
@pytest.mark.parametrize(("width", "fit"), [("3/16", True), ("1/4", False), ("7/16", False)])
def test_at_the_thin_end(width: str, fit: bool) -> None:
    """Where the arch runs out the curve is lower than it is in the middle, and lower than knots."""
    assert fits(narrow(flaw("knot", "6", "0", "1", width)), rail()) is fit
    assert fits(narrow(flaw("knot", "31", "0", "1", width)), rail()) is fit


def test_beside_and_above() -> None:
    """A knot beside the arch or above it is in the part."""
    assert not fits(narrow(flaw("knot", "3", "1/2", "1", "1")), rail())
    assert not fits(narrow(flaw("knot", "18 1/2", "1 1/2", "1", "1/2")), rail())
    # A hair over the near end of the span.
    assert not fits(narrow(flaw("knot", "4 15/16", "0", "1/16", "1/64")), rail())


def test_the_margin_does_not_count() -> None:
    """A knot wholly in the arch needs no clear wood round it, over the arc or beyond the edge."""
    knot = flaw("knot", "18 1/2", "11/16", "1", "1")
    assert fits(narrow(knot), rail(), shop(flaw_margin="1 1/2"))


@pytest.mark.parametrize("edge", ["near", "far"])
def test_either_edge(edge: str) -> None:
    """The part is turned end for end where its arch must come to the other edge of the board."""
    arch = ARCH if edge == "near" else FAR_ARCH
    low, high = flaw("knot", "18", "1/2", "1", "1"), flaw("knot", "18", "2", "1", "1")
    assert lie(narrow(low), rail(arch)).reversed is (edge == "far")
    assert lie(narrow(high), rail(arch)).reversed is (edge == "near")


def test_both_edges() -> None:
    """With an arch on each edge there may be a knot in each, but none between them."""
    arches = [
        {"arch": {"edge": "near", "start": "2", "span": "16", "rise": "1 1/2"}},
        {"arch": {"edge": "far", "start": "20", "span": "16", "rise": "1 1/2"}},
    ]
    one, two = flaw("knot", "9", "1/4", "1", "1"), flaw("knot", "28", "2 1/4", "1", "1")
    assert fits(narrow(one, two), rail(*arches))
    assert fits(narrow(one), rail(*arches[:1]))
    assert not fits(narrow(one, two), rail(*arches[:1]))
    assert not fits(narrow(flaw("knot", "18", "1/4", "2", "1")), rail(*arches))


@pytest.mark.parametrize("kind", ["knot", "bark pocket", "rot", "split", "wane", "worm hole"])
def test_what_may_lie_in_an_arch(kind: str) -> None:
    """Everything but metal and holes may be sawn away with an arch."""
    assert fits(narrow(flaw(kind, "18", "1/4", "1", "1")), rail(quality="clear"))


@pytest.mark.parametrize("kind", ["void", "metal"])
def test_what_may_not(kind: str) -> None:
    """Metal and holes count wherever they lie."""
    # No saw comes near the metal: the board is taken as it is.
    assert not fits(narrow(flaw(kind, "18", "1/4", "1", "1")), rail(quality="hidden"))


def test_sound_flaws_too() -> None:
    """A sound stain on the face that shows is sawn away like a knot."""
    stain = flaw("stain", "18", "1/4", "1", "1")
    assert fits(narrow(stain), rail(quality="clear"))
    assert not fits(narrow(stain), rail(quality="clear", cutaway=[]))


def test_half_under_the_arch_half_beyond_the_edge() -> None:
    """A knot that runs on past the edge of the blank is not wholly in the arch."""
    wide, habits = {"width": "4 1/2"}, shop(kerf={"rip": "1"})
    # The wane leaves but the upper 3 1/2, whose arch begins at 1.
    upper = flaw("wane", "0", "0", "38", "1")
    below = flaw("knot", "18", "7/8", "1", "1")
    assert not fits(narrow(upper, below, **wide), rail(), habits)
    assert fits(narrow(upper, flaw("knot", "18", "1 1/4", "1", "1"), **wide), rail(), habits)


def test_spare_width_is_on_the_other_edge() -> None:
    """The edge with the arch lies on the edge of the blank, all that is planed off on the other."""
    habits = shop(blank_extra_width="1/4")
    for arch in (ARCH, FAR_ARCH):
        for y, fit in (("0", True), ("1/16", False), ("2 1/16", True), ("2", False)):
            knot = flaw("knot", "18 1/2", y, "1", "1 11/16")
            stock = narrow(knot, width="3 3/4", surface="S2S")
            assert fits(stock, rail(arch), habits) is fit, (arch, y)


# The height 13 1/4 beside the middle is 0.1851, less than 3/16.
@pytest.mark.parametrize(("x", "fit"), [("6 1/2", True), ("6 1/4", False)])
def test_spare_length_is_shared(x: str, fit: bool) -> None:
    """Half of the spare length is at each end."""
    habits = shop(blank_extra_length="1")
    assert fits(narrow(flaw("knot", x, "0", "1", "3/16"), length="39"), rail(), habits) is fit
    mirrored = {"6 1/2": "31 1/2", "6 1/4": "31 3/4"}[x]
    knot = flaw("knot", mirrored, "0", "1", "3/16")
    assert fits(narrow(knot, length="39"), rail(), habits) is fit


@pytest.mark.parametrize(
    ("x", "y", "flipped", "reverse"),
    [
        ("8 1/2", "1/2", False, False),
        ("28 1/2", "2", False, True),
        ("8 1/2", "2", True, False),
        ("28 1/2", "1/2", True, True),
    ],
)
def test_the_four_ways_to_lie(x: str, y: str, flipped: bool, reverse: bool) -> None:
    """An arch beside the middle comes to each corner of the board in one way alone."""
    arch = {"arch": {"edge": "near", "start": "2", "span": "14", "rise": "1 3/4"}}
    use = lie(narrow(flaw("knot", x, y, "1", "1")), rail(arch))
    assert (use.flipped, use.reversed) == (flipped, reverse)
    # With a mark on the face that would show there is no way left.
    mark = flaw("stain", "19", "1 1/2", "1", "1/2", face="b" if flipped else "a")
    assert not fits(narrow(flaw("knot", x, y, "1", "1"), mark), rail(arch))
    other = flaw("stain", "19", "1 1/2", "1", "1/2", face="a" if flipped else "b")
    assert fits(narrow(flaw("knot", x, y, "1", "1"), other), rail(arch))


# On the line from (0, 2) to (8, 3 1/2) the corner's width 2 in from the end is 1 1/8.
@pytest.mark.parametrize(("width", "fit"), [("1 1/8", True), ("1 3/16", False)])
@pytest.mark.parametrize("corner", range(4))
def test_a_corner_cut_off(corner: int, width: str, fit: bool) -> None:
    """A knot in a corner that is sawn off, whichever corner of the board it is in."""
    cut = {"outline": [["0", "2"], ["8", "3 1/2"], ["0", "3 1/2"]]}
    y = {"1 1/8": "2 3/8", "1 3/16": "2 5/16"}[width]
    knot = flaw("knot", "36" if corner % 2 else "0", y if corner // 2 else "0", "2", width)
    assert fits(narrow(knot), rail(cut)) is fit


def test_a_hole_in_the_middle() -> None:
    """An outline that is not convex: a knot in either limb of an L, but not across its corner."""
    points = [("10", "1"), ("18", "1"), ("18", "1 1/2"), ("11", "1 1/2"), ("11", "3"), ("10", "3")]
    cut = {"outline": [list(point) for point in points]}
    assert fits(narrow(flaw("knot", "10", "1", "8", "1/2")), rail(cut))
    assert fits(narrow(flaw("knot", "10", "1", "1", "2")), rail(cut))
    assert not fits(narrow(flaw("knot", "10", "1", "1 1/16", "2")), rail(cut))
    bent = [("12", "1"), ("13", "1"), ("13", "1 1/2"), ("10 1/2", "2 1/2"), ("10", "2 1/2")]
    knot = flaw("knot", "10", "1", "3", "1 1/2", outline=[list(point) for point in bent])
    for key in ("x", "y", "length", "width"):
        del knot[key]
    assert not fits(narrow(knot), rail(cut))


def test_two_cutaways_do_not_add_up() -> None:
    """A flaw must lie wholly inside one cutaway."""
    left = {"outline": [["10", "0"], ["14", "0"], ["14", "1"], ["10", "1"]]}
    right = {"outline": [["14", "0"], ["18", "0"], ["18", "1"], ["14", "1"]]}
    assert not fits(narrow(flaw("knot", "13", "0", "2", "1")), rail(left, right))
    assert fits(narrow(flaw("knot", "13", "0", "1", "1")), rail(left, right))
    assert fits(narrow(flaw("knot", "14", "0", "1", "1")), rail(left, right))


def test_rounding_goes_inward() -> None:
    """A cutaway counts as far as whole steps of the grid lie inside it."""
    cut = {"outline": [["10 1/32", "0"], ["14", "0"], ["14", "1 1/32"], ["10 1/32", "1 1/32"]]}
    assert fits(narrow(flaw("knot", "10 1/16", "0", "3", "1")), rail(cut))
    assert not fits(narrow(flaw("knot", "10 1/32", "0", "3", "1")), rail(cut))
    assert not fits(narrow(flaw("knot", "10 1/16", "0", "3", "1 1/32")), rail(cut))


def test_the_blank_is_moved_so_that_the_arch_covers_the_knot() -> None:
    """On a larger board the blank goes where its arch lies over the knot."""
    knots = [flaw("knot", "24", "2", "2", "1"), flaw("knot", "24", "4 1/2", "2", "1")]
    stock = board(length="48", width="6", flaws=knots)
    ((node, use),) = blanks(planned(stock, rail()))
    assert fits(stock, rail())
    assert not fits(stock, rail(cutaway=[]))
    assert node.x > 0 or node.length > 0
    assert use.part == "rail"


def turned_part(*cutaways: dict[str, Any]) -> str:
    """Return a part 20 x 6 of plywood with cutaways."""
    return part("side", length="20", width="6", material="plywood", cutaway=cutaways)


@pytest.mark.parametrize(
    ("x", "y", "flipped", "reverse"),
    [
        ("1/2", "13", False, False),
        ("4 1/2", "5", False, True),
        ("4 1/2", "13", True, False),
        ("1/2", "5", True, True),
    ],
)
def test_turned_on_a_sheet(x: str, y: str, flipped: bool, reverse: bool) -> None:
    """A part across a sheet: its near edge is at end A, its end A at the far edge, or rolled."""
    # Centred 6 from the part's end A, so 14 from the near edge of a sheet 20 wide.
    arch = {"arch": {"edge": "near", "start": "1", "span": "11", "rise": "2"}}
    knot = flaw("knot", x, y, "1", "1")
    stock = sheet(length="6", width="20", grain="width", flaws=[knot])
    use = lie(stock, turned_part(arch))
    assert use.turned
    assert (use.flipped, use.reversed) == (flipped, reverse)
    assert not fits(stock, turned_part())


def test_either_way_on_a_sheet_without_grain() -> None:
    """Lying along or across, the arch comes over the knot where it can."""
    arch = {"arch": {"edge": "far", "start": "4", "span": "12", "rise": "2 1/2"}}
    along = sheet(length="20", width="6", grain="none", flaws=[flaw("knot", "9", "1/2", "2", "1")])
    across = sheet(
        length="6", width="20", grain="none", flaws=[flaw("knot", "4 1/2", "9", "1", "2")]
    )
    assert not lie(along, turned_part(arch)).turned
    assert lie(across, turned_part(arch)).turned


def test_grain_across_a_board() -> None:
    """A part with its grain across its length lies turned on a board, arch and all."""
    arch = {"arch": {"edge": "near", "start": "1/2", "span": "5", "rise": "1 1/2"}}
    piece = part("cleat", length="6", width="20", grain="width", cutaway=[arch])
    stock = board(length="20", width="6", flaws=[flaw("knot", "1/4", "2 1/2", "1", "1")])
    use = lie(stock, piece)
    assert use.turned
    assert use.reversed == use.flipped
    middle = board(length="20", width="6", flaws=[flaw("knot", "9", "2 1/2", "1", "1")])
    assert not fits(middle, piece)


def test_a_blank_made_larger_keeps_its_arch_on_the_edge() -> None:
    """A blank that takes the whole width of the board still has its arch on one edge of it."""
    # Too short to be ripped, so the blank takes the whole width and the arch one of its edges.
    arch = {"arch": {"edge": "near", "start": "1", "span": "8", "rise": "1 1/2"}}
    short = part("block", length="10", width="3", cutaway=[arch])
    habits = shop(shortest_rip="12")
    low = board(length="10", width="6", flaws=[flaw("knot", "4 1/2", "1/4", "1", "1")])
    high = board(length="10", width="6", flaws=[flaw("knot", "4 1/2", "4 3/4", "1", "1")])
    assert not lie(low, short, habits).reversed
    assert lie(high, short, habits).reversed
    inner = board(length="10", width="6", flaws=[flaw("knot", "4 1/2", "3 1/4", "1", "1")])
    assert not fits(inner, short, habits)


def test_equal_parts_with_other_arches_are_not_equal() -> None:
    """Parts of one size with and without an arch are told apart."""
    knot = flaw("knot", "18", "1/2", "1", "1")
    stock = narrow(knot) + board("M-2", length="38", width="3 1/2", price=90)
    parts = part("plain", length="38", width="3 1/2") + rail()
    plan = planned(stock, parts)
    assert not plan.missing
    on = {layout.stock: layout.tree.use for layout in plan.layouts}
    assert isinstance(on["M-1"], BlankUse)
    assert on["M-1"].part == "rail"


# An arch of 10 by 1 has a radius of 10**2 / 8 + 1 / 2 = 13: half an inch beside its middle it is
# 0.9904 high, 4 1/2 beside it 0.1963 and 4 3/4 beside it 0.1011.
SMALL_ARCH = {"arch": {"edge": "near", "start": "4", "span": "10", "rise": "1"}}


def pair(**keys: Any) -> str:
    """Return two arched rails of 18 x 3 whose grain must run on, one behind the other."""
    size = {"length": "18", "width": "3", "cutaway": [SMALL_ARCH]}
    rails = "".join(part(name, **{**size, **keys}) for name in ("left", "right"))
    return rails + match("pair", how="sequence", parts=["left", "right"], required=True)


@pytest.mark.parametrize(
    ("x", "width", "fit"),
    [
        ("8 1/2", "7/8", True),
        ("8 1/2", "1", False),
        # 1/8 is lost at the joint, so the second rail begins at 18 1/8.
        ("26 5/8", "7/8", True),
        ("26 5/8", "1", False),
        ("17 1/2", "1/16", False),
    ],
)
def test_in_a_run(x: str, width: str, fit: bool) -> None:
    """A knot may lie in the arch of either part of a run."""
    stock = board(length="36 1/8", width="3", flaws=[flaw("knot", x, "0", "1", width)])
    assert fits(stock, pair()) is fit
    assert not fits(stock, pair(cutaway=[]))


def test_in_both_parts_of_a_run() -> None:
    """Each part of a run looks after its own arch."""
    knots = [flaw("knot", x, "0", "1", "7/8") for x in ("8 1/2", "26 5/8")]
    assert fits(board(length="36 1/8", width="3", flaws=knots), pair())
    high = [knots[0], flaw("knot", "26 5/8", "2 1/8", "1", "7/8")]
    assert not fits(board(length="36 1/8", width="3", flaws=high), pair())


@pytest.mark.parametrize(("x", "fit"), [("23 1/8", True), ("22 7/8", False)])
@pytest.mark.parametrize("more", ["0", "2"])
def test_a_part_lies_against_its_joint(x: str, fit: bool, more: str) -> None:
    """The spare length of a run is outside, so the second part's arch begins 4 from the joint.

    The run is 18 + 18 + 1/8, and half an inch at either end; the board may be longer.
    """
    length = {"0": "37 1/8", "2": "39 1/8"}[more]
    habits = shop(blank_extra_length="1")
    stock = board(length=length, width="3", flaws=[flaw("knot", x, "0", "1/2", "3/16")])
    # Moved along, the arch comes no nearer to the knot.
    assert fits(stock, pair(), habits) is fit


def test_in_a_stack() -> None:
    """Edge to edge each part's arch lies at its own edge, the upper one's 1/8 beyond the joint.

    A knot in the upper one's arch is kept 1/4 clear of the lower one.
    """
    fronts = "".join(
        part(name, length="18", width="3", cutaway=[SMALL_ARCH]) for name in ("low", "high")
    )
    fronts += match("bank", how="stack", parts=["low", "high"], required=True)
    for y, fit in (("3 1/4", True), ("3 3/16", False), ("3 1/2", False), ("0", True)):
        knot = flaw("knot", "8 1/2", y, "1", "5/8")
        assert fits(board(length="18", width="6 1/8", flaws=[knot]), fronts) is fit, y


def test_in_a_run_across_a_sheet() -> None:
    """A run across a sheet has its arches at end A or end B."""
    for x, fit in (("0", True), ("2 1/8", True), ("1/4", False)):
        knot = flaw("knot", x, "26 5/8", "7/8", "1")
        stock = sheet(length="3", width="36 1/8", grain="width", flaws=[knot])
        assert fits(stock, pair(material="plywood")) is fit, x


def test_a_run_is_bounded_with_its_arches() -> None:
    """The bound knows that arches in a run may lie over knots."""
    knots = [flaw("knot", "8 1/2", "0", "1", "7/8"), flaw("knot", "26 5/8", "0", "1", "7/8")]
    cheap = board("M-1", length="36 1/8", width="3", price=10, flaws=knots)
    plan = planned(cheap + board("M-2", length="36 1/8", width="3", price=30), pair(), stop=PROVEN)
    assert plan.cost == plan.bound == 10
