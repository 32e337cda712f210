"""Random stock for the property tests: every key, every kind of flaw, every corner of a text."""

from fractions import Fraction

from hypothesis import strategies as st

from inventory.length import FOOT, INCH, MM
from inventory.polygon import bounds, outline_fault
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
    Surface,
)

_LETTERS = st.one_of(
    st.sampled_from("aZ09 .,;|/\\'\"<>&=+-@#[]{}½éßжא中🪵"),
    st.characters(min_codepoint=32, max_codepoint=0xD7FF, exclude_categories=("C", "Z")),
)
names = st.text(_LETTERS, min_size=1, max_size=12).map(str.strip).filter(bool)
texts = st.text(st.one_of(_LETTERS, st.sampled_from("\n\t")), max_size=20).map(str.strip)
prices = st.one_of(
    st.just(Fraction(0)),
    st.integers(1, 10**7).map(lambda cents: Fraction(cents, 100)),
    st.fractions(min_value=0, max_value=1000, max_denominator=1000),
)


def lengths(least: int, most: int) -> st.SearchStrategy[int]:
    """Lengths on inch marks, on half millimetres, and anywhere."""
    return st.one_of(
        st.integers(least, most),
        st.integers(-(-least // 127), most // 127).map(lambda n: n * 127),
        st.integers(-(-least // 160), most // 160).map(lambda n: n * 160),
    )


@st.composite
def flaws(draw: st.DrawFn, length: int, width: int) -> Flaw:
    """A flaw inside a rectangle of ``length`` by ``width``."""
    kind = draw(st.sampled_from(FlawKind))
    outline = None
    if draw(st.booleans()):
        point = st.tuples(st.integers(0, length), st.integers(0, width))
        outline = tuple(draw(st.lists(point, min_size=3, max_size=5)))
        if outline_fault(outline):
            outline = ((0, 0), (length, 0), (0, width))
        x, y, long, wide = bounds(outline)
    else:
        x, y = draw(st.integers(0, length - 1)), draw(st.integers(0, width - 1))
        long, wide = draw(st.integers(1, length - x)), draw(st.integers(1, width - y))
    return Flaw(
        kind,
        x,
        y,
        long,
        wide,
        draw(st.sampled_from(Face)),
        kind not in NEVER_SOUND and draw(st.booleans()),
        outline,
        draw(texts),
    )


@st.composite
def boards(draw: st.DrawFn, name: str = "") -> Board:
    """A board; its flaws keep to the narrower end, so that none lies past the taper."""
    length = draw(lengths(INCH, 12 * FOOT))
    widths = draw(st.tuples(*[lengths(INCH, 20 * INCH)] * 2))
    thickness = draw(lengths(MM, 4 * INCH))
    most = (length // 2, length // 2, max(widths) // 2, max(widths))  # bow, crook, cup, twist
    warps = [st.one_of(st.just(0), lengths(0, min(2 * INCH, one))) for one in most]
    face = st.sampled_from((None, Face.A, Face.B))
    return Board(
        name or draw(names),
        draw(names),
        length,
        *widths,
        thickness,
        draw(st.one_of(st.just(thickness), lengths(MM, 4 * INCH))),
        draw(st.sampled_from(Surface)),
        draw(st.sampled_from(Ends)),
        draw(st.sampled_from(Edges)),
        draw(st.one_of(st.none(), st.sampled_from(Sawn))),
        draw(st.sampled_from((1, 2, 10_000))),
        *(draw(warp) for warp in warps),
        draw(prices),
        draw(st.sampled_from(Per)),
        draw(texts),
        draw(face),
        draw(face),
        draw(st.sampled_from(("", "near", "far"))),
        draw(st.one_of(st.none(), st.fractions(0, 300, max_denominator=10))),
        draw(texts),
        draw(texts),
        tuple(draw(st.lists(flaws(length, min(widths)), max_size=3))),
    )


@st.composite
def sheets(draw: st.DrawFn, name: str = "") -> Sheet:
    """A sheet of panel."""
    length, width = draw(lengths(INCH, 10 * FOOT)), draw(lengths(INCH, 5 * FOOT))
    thickness = draw(lengths(MM, 2 * INCH))
    return Sheet(
        name or draw(names),
        draw(names),
        length,
        width,
        thickness,
        draw(st.one_of(st.just(thickness), lengths(MM, 2 * INCH))),
        draw(st.sampled_from(SheetGrain)),
        draw(st.sampled_from((1, 3))),
        draw(prices),
        draw(st.sampled_from(Per)),
        draw(texts),
        draw(st.sampled_from((None, Face.A, Face.B))),
        draw(texts),
        draw(texts),
        tuple(draw(st.lists(flaws(length, width), max_size=2))),
    )


@st.composite
def racks(draw: st.DrawFn) -> list[Board | Sheet]:
    """A few pieces of stock with ids of their own, in any order."""
    ids = draw(st.lists(names, min_size=1, max_size=5, unique=True))
    return [draw(st.one_of(boards(name), sheets(name))) for name in ids]
