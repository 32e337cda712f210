"""Random projects as records: stock with flaws of every shape, taper, warp and rough edges."""

from dataclasses import replace
from fractions import Fraction

from hypothesis import strategies as st

from inventory.length import INCH, MM
from inventory.polygon import outline_fault
from inventory.stock import (
    NEVER_SOUND,
    Board,
    Edges,
    Ends,
    Face,
    Flaw,
    FlawKind,
    Per,
    Sawn,
    Sheet,
    SheetGrain,
    Stock,
    Surface,
)
from nester.model import (
    FirstCut,
    GlueUp,
    Grain,
    How,
    Match,
    Part,
    Project,
    Quality,
    Shop,
    System,
)
from nester.shop_defaults import INCH_SHOP, METRIC_SHOP

SIXTEENTH = INCH // 16


def lengths(least: int, most: int) -> st.SearchStrategy[int]:
    """Lengths on sixteenths of an inch, on half millimetres, and anywhere."""
    return st.one_of(
        st.integers(-(-least // SIXTEENTH), most // SIXTEENTH).map(lambda n: n * SIXTEENTH),
        st.integers(-(-least // 160), most // 160).map(lambda n: n * 160),
        st.integers(least, most),
    )


@st.composite
def flaws(draw: st.DrawFn, length: int, width: int) -> Flaw:
    """A flaw on a piece of stock: a rectangle or a simple polygon."""
    kind = draw(st.sampled_from(FlawKind))
    x, y = draw(st.integers(0, length - 1)), draw(st.integers(0, width - 1))
    long = draw(st.integers(1, min(length - x, 8 * INCH)))
    wide = draw(st.integers(1, min(width - y, 4 * INCH)))
    outline = None
    if draw(st.booleans()):
        point = st.tuples(st.integers(x, x + long), st.integers(y, y + wide))
        points = tuple(draw(st.lists(point, min_size=3, max_size=6)))
        if not outline_fault(points):
            outline = points
            xs, ys = [p[0] for p in points], [p[1] for p in points]
            x, y = min(xs), min(ys)
            long, wide = max(xs) - x, max(ys) - y
    sound = kind not in NEVER_SOUND and draw(st.booleans())
    return Flaw(kind, x, y, long, wide, draw(st.sampled_from(Face)), sound, outline)


@st.composite
def boards(draw: st.DrawFn, name: str) -> Board:
    """A board of maple or oak, with taper, warp and flaws."""
    length = draw(lengths(14 * INCH, 72 * INCH))
    a = draw(lengths(3 * INCH, 10 * INCH))
    b = draw(st.one_of(st.just(a), lengths(max(2 * INCH, a - INCH), a + INCH)))
    thickness = draw(st.sampled_from((INCH, 13 * INCH // 16, 26 * MM, 5 * INCH // 4)))
    warp = st.one_of(st.just(0), st.just(0), lengths(0, INCH // 2))
    return Board(
        name,
        draw(st.sampled_from(("maple", "oak"))),
        length,
        a,
        b,
        thickness,
        thickness,
        draw(st.sampled_from(Surface)),
        draw(st.sampled_from(Ends)),
        draw(st.sampled_from(Edges)),
        draw(st.sampled_from((None, *Sawn))),
        draw(st.sampled_from((1, 1, 2))),
        *(draw(warp) for _ in range(4)),
        Fraction(draw(st.integers(0, 4000)), 100),
        draw(st.sampled_from(Per)),
        show_face=draw(st.sampled_from((None, Face.A, Face.B))),
        flaws=tuple(draw(st.lists(flaws(length, min(a, b)), max_size=4))),
    )


@st.composite
def sheets(draw: st.DrawFn, name: str) -> Sheet:
    """A sheet of plywood with flaws."""
    length, width = draw(lengths(12 * INCH, 60 * INCH)), draw(lengths(8 * INCH, 36 * INCH))
    return Sheet(
        name,
        "plywood",
        length,
        width,
        18 * MM,
        3 * INCH // 4,
        draw(st.sampled_from(SheetGrain)),
        draw(st.sampled_from((1, 1, 2))),
        Fraction(draw(st.integers(0, 9000)), 100),
        draw(st.sampled_from((Per.PIECE, Per.SQUARE_FOOT, Per.SQUARE_METRE))),
        flaws=tuple(draw(st.lists(flaws(length, width), max_size=3))),
    )


@st.composite
def parts(draw: st.DrawFn, name: str) -> Part:
    """A part small enough to have a chance."""
    return Part(
        name,
        draw(lengths(3 * INCH, 30 * INCH)),
        draw(lengths(INCH, 6 * INCH)),
        draw(st.sampled_from((3 * INCH // 4, 18 * MM, INCH // 2))),
        draw(st.sampled_from((("maple",), ("oak", "maple"), ("plywood",), ("plywood", "maple")))),
        count=draw(st.integers(1, 3)),
        spare=draw(st.sampled_from((0, 0, 1))),
        grain=draw(st.sampled_from((Grain.LENGTH, *Grain))),
        quality=draw(st.sampled_from(Quality)),
        allow=frozenset(draw(st.lists(st.sampled_from(FlawKind), max_size=2))),
        extra_length=draw(st.sampled_from((0, 0, INCH))),
        blank_extra_length=draw(st.sampled_from((None, 0, INCH // 2))),
        blank_extra_width=draw(st.sampled_from((None, 0))),
        plane_off=draw(st.sampled_from((None, None, 0))),
        pulled_flat=draw(st.booleans()),
    )


@st.composite
def shops(draw: st.DrawFn) -> Shop:
    """A shop with habits of its own, in inches or in millimetres."""
    usual = draw(st.sampled_from((INCH_SHOP, METRIC_SHOP)))
    return replace(
        usual,
        grid=draw(st.sampled_from((usual.grid, usual.grid, 2 * usual.grid, MM))),
        kerf=replace(
            usual.kerf,
            crosscut=draw(st.sampled_from((usual.kerf.crosscut, 0, INCH // 10))),
            rough_rip=draw(st.sampled_from((usual.kerf.rough_rip, 0))),
        ),
        end_trim=draw(st.sampled_from((usual.end_trim, 0, 2 * MM))),
        edge_trim=draw(st.sampled_from((usual.edge_trim, 0, MM))),
        sheet_trim=draw(st.sampled_from((0, 0, INCH // 2, MM))),
        flaw_margin=draw(st.sampled_from((usual.flaw_margin, 0))),
        offcut_min=draw(st.sampled_from((usual.offcut_min, (100 * MM, 30 * MM)))),
        sheet_offcut_min=draw(st.sampled_from((usual.sheet_offcut_min, (200 * MM, 100 * MM)))),
        offcut_credit=draw(st.sampled_from((Fraction(1, 2), Fraction(0), Fraction(1)))),
        shortest_milled=draw(st.sampled_from((usual.shortest_milled, 0))),
        shortest_rip=draw(st.sampled_from((usual.shortest_rip, 0))),
        first_cut=draw(st.sampled_from((FirstCut.CROSSCUT, *FirstCut))),
        stages=draw(st.sampled_from((3, 3, 1, 2, 4, None))),
        sheet_stages=draw(st.sampled_from((4, 4, 2, 3, None))),
    )


@st.composite
def projects(draw: st.DrawFn) -> tuple[Project, list[Stock]]:
    """A project with stock for it, or not."""
    shop = draw(shops())
    stock: list[Stock] = [
        draw(st.one_of(boards(f"S-{i}"), boards(f"S-{i}"), sheets(f"S-{i}")))
        for i in range(draw(st.integers(1, 4)))
    ]
    listed = tuple(draw(parts(f"part {i}")) for i in range(draw(st.integers(1, 4))))
    return Project("random", System.INCH, shop, listed), stock


@st.composite
def matched(draw: st.DrawFn) -> tuple[Project, list[Stock]]:
    """A project some of whose parts belong together, or may be glued up."""
    project, stock = draw(projects())
    listed = [
        replace(part, glue_up=draw(st.one_of(st.none(), glue_ups())))
        if draw(st.booleans())
        else part
        for part in project.parts
    ]
    # Parts that are alike but for their names and lengths have the best chance to run on.
    if draw(st.booleans()):
        listed = [
            replace(listed[0], name=part.name, length=part.length, count=part.count + 2)
            for part in listed
        ]
    left = {part.name: part.count for part in listed}
    found: list[Match] = []
    for i in range(draw(st.integers(0, 2))):
        how = draw(st.sampled_from(How))
        most = 2 if how is How.BOOK else 5
        names = draw(st.lists(st.sampled_from(sorted(left)), min_size=2, max_size=most))
        sets = draw(st.sampled_from((1, 1, 2)))
        if any(names.count(name) * sets > left[name] for name in names):
            continue
        for name in names:
            left[name] -= sets
        found.append(
            Match(
                f"match {i}",
                how,
                tuple(names),
                miter=draw(st.sampled_from((Fraction(45), Fraction(60), Fraction(45, 2)))),
                joint_trim=draw(st.sampled_from((0, SIXTEENTH, MM))),
                required=draw(st.sampled_from((False, False, True))),
                sets=sets,
            )
        )
    shop = replace(
        project.shop,
        corner_penalty=draw(st.sampled_from((None, None, Fraction(5, 2)))),
        thick_spare=draw(st.sampled_from((project.shop.thick_spare, 2 * INCH))),
    )
    items = [*stock, draw(ample())]
    return replace(project, parts=tuple(listed), matches=tuple(found), shop=shop), items


@st.composite
def ample(draw: st.DrawFn) -> Board:
    """A large board, so that not all is short; perhaps thick enough to be resawn."""
    plain = draw(boards("ample"))
    thickness = draw(st.sampled_from((INCH, 5 * INCH // 4, 2 * INCH)))
    return replace(
        plain,
        species="maple",
        length=96 * INCH,
        width_a=9 * INCH,
        width_b=draw(st.sampled_from((9, 8))) * INCH,
        thickness=thickness,
        sold_as=thickness,
        sawn=None,
        count=2,
    )


@st.composite
def glue_ups(draw: st.DrawFn) -> GlueUp:
    """Limits of the strips that a part may be glued up from."""
    narrowest = draw(lengths(INCH // 2, 2 * INCH))
    widest = draw(lengths(narrowest, 4 * INCH))
    return GlueUp(narrowest, widest, draw(lengths(0, INCH // 4)), draw(st.integers(2, 5)))
