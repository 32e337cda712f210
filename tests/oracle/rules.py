"""What the rules make of one stock item: where its grid lies, and which rectangle may be what.

Worked out from the records alone, rectangle by rectangle. Only rectangular flaws, no metal.
"""

from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise, product
from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

from inventory.stock import Board, Edges, Ends, Face, Flaw, FlawKind, Sheet, SheetGrain, Surface
from nester.model import Arch, Grain, Part, Quality, Shop

Stock: TypeAlias = Board | Sheet
Table: TypeAlias = NDArray[np.bool_]
"""Over rectangles: indices of x1, x2, y1, y2 among the grid's lines."""

RUNNING = {FlawKind.CHECK, FlawKind.SPLIT, FlawKind.SHAKE}
LOOSE = {FlawKind.KNOT, FlawKind.BARK_POCKET, FlawKind.WORM_HOLE}


def up(length: int | Fraction, grid: int) -> int:
    """Return the next multiple of ``grid`` not below a length."""
    return int(-(-length // grid)) * grid


@dataclass(frozen=True)
class Ground:
    """A stock item's grid lines and saws [1/320 mm].

    ``xs`` and ``ys`` are the lines on which a cut may begin or end, the true edge last. ``raw``:
    the near edge is not fit for use. ``kx`` and ``ky`` are kerfs in lines.
    """

    stock: Stock
    shop: Shop
    xs: tuple[int, ...]
    ys: tuple[int, ...]
    kx: int
    ky: int

    @property
    def board(self) -> bool:
        return isinstance(self.stock, Board)

    def width_at(self, x: int) -> Fraction:
        """Return the width of the wood at ``x``."""
        if isinstance(self.stock, Sheet):
            return Fraction(self.stock.width)
        a, b = self.stock.width_a, self.stock.width_b
        return a + Fraction((b - a) * x, self.stock.length)

    def narrow(self, x1: int, x2: int) -> Fraction:
        """Return the narrowest width between two places."""
        return min(self.width_at(x1), self.width_at(x2))

    def wide(self, x1: int, x2: int) -> Fraction:
        """Return the widest width between two places."""
        return max(self.width_at(x1), self.width_at(x2))

    def near(self, length: int) -> int:
        """Return what straightening the near edge of a piece takes."""
        if not isinstance(self.stock, Board):
            return 0
        trim = self.shop.edge_trim if self.stock.edges is Edges.ROUGH else 0
        lost = trim + self.stock.crook * Fraction(length, self.stock.length) ** 2
        return max(up(lost, self.shop.grid), self.ky * self.shop.grid) if lost else 0

    @property
    def far(self) -> int:
        """What the far edge loses below the narrowest width."""
        if not isinstance(self.stock, Board) or self.stock.edges is Edges.STRAIGHT:
            return 0
        lost = self.shop.edge_trim
        return max(up(lost, self.shop.grid), self.ky * self.shop.grid) if lost else 0

    def far_limit(self, x1: int, x2: int) -> Fraction:
        """Return how far across a blank between two places may reach."""
        least = self.narrow(x1, x2) - self.far
        return Fraction(least // self.shop.grid * self.shop.grid) if self.far else least


def ground(stock: Stock, shop: Shop) -> Ground:
    """Return the grid of a stock item between the trims of its ends (a sheet's: of all edges)."""
    grid = shop.grid
    if isinstance(stock, Board):
        rough = stock.surface in (Surface.ROUGH, Surface.SKIP_PLANED)
        kx = up(shop.kerf.crosscut, grid)
        ky = up(shop.kerf.rough_rip if rough else shop.kerf.rip, grid)
        end = shop.end_trim if stock.ends is Ends.ROUGH else 0
        edge = 0
    else:
        kx = ky = up(shop.kerf.sheet, grid)
        end = edge = shop.sheet_trim
    return Ground(
        stock,
        shop,
        _lines(stock.length, max(up(end, grid), kx) if end else 0, grid),
        _lines(stock.width, max(up(edge, grid), ky) if edge else 0, grid),
        kx // grid,
        ky // grid,
    )


def _lines(size: int, trim: int, grid: int) -> tuple[int, ...]:
    if trim:
        return tuple(range(trim, (size - trim) // grid * grid + 1, grid))
    inner = list(range(0, size + 1, grid))
    return tuple(inner if inner[-1] == size else [*inner, size])


@dataclass(frozen=True)
class Lie:
    """How a part lies: its length across the stock, end for end, face B up."""

    turned: bool
    reversed: bool
    flipped: bool


@dataclass(frozen=True)
class Way:
    """A way for a blank to lie, and the rectangles that may become it, edges apart."""

    turned: bool
    flipped: bool
    table: Table
    reversed: bool = False


def ways(part: Part, here: Ground) -> list[Way]:
    """Return the ways in which a part may be cut from the stock."""
    if not suits(part, here.stock):
        return []
    found = []
    for turned in turns(part, here.stock):
        along, across = needed(part, here.stock, here.shop, turned)
        fits = _room(part, here, along, across)
        own_width = along if turned else across
        if part.cutaways:
            for flipped, back in product((False, True), repeat=2):
                shown = Face.B if flipped else Face.A
                face = shown if part.quality is Quality.CLEAR_FACE else None
                lie = Lie(turned, back, flipped)
                clear = _clear(part, here, own_width, face, lie)
                found.append(Way(turned, flipped, fits & clear, back))
        elif part.quality is Quality.CLEAR_FACE:
            for shown in (Face.A, Face.B):
                clear = _clear(part, here, own_width, shown)
                found.append(Way(turned, shown is Face.B, fits & clear))
        else:
            found.append(Way(turned, False, fits & _clear(part, here, own_width, None)))
    return found


def suits(part: Part, stock: Stock) -> bool:
    """Whether the stock is of the material, and from where, the part asks for."""
    name = stock.species if isinstance(stock, Board) else stock.material
    if name not in part.materials or stock.id in part.not_from:
        return False
    if part.from_stock and stock.id not in part.from_stock:
        return False
    if isinstance(stock, Sheet):
        return min(abs(part.thickness - t) for t in (stock.thickness, stock.nominal)) <= 160
    return part.sawn is None or part.sawn is stock.sawn


def turns(part: Part, stock: Stock) -> list[bool]:
    """Return whether the part may lie along, turned, or both."""
    if isinstance(stock, Board):
        return [part.grain is Grain.WIDTH]
    if part.grain is Grain.ANY or stock.grain is SheetGrain.NONE:
        return [False, True]
    return [part.grain.value != stock.grain.value]


def needed(part: Part, stock: Stock, shop: Shop, turned: bool) -> tuple[int, int]:
    """Return the size a blank needs along x and y, on the grid."""
    length, width = part.length + part.extra_length, part.width + part.extra_width
    if isinstance(stock, Board):
        own = part.blank_extra_length
        length += shop.blank_extra_length if own is None else own
        own = part.blank_extra_width
        usual = 0 if stock.surface is Surface.S4S else shop.blank_extra_width
        width += usual if own is None else own
    along, across = (width, length) if turned else (length, width)
    if isinstance(stock, Board):
        along = max(along, shop.shortest_milled)
    return up(along, shop.grid), up(across, shop.grid)


def _room(part: Part, here: Ground, along: int, across: int) -> Table:
    stock, shop = here.stock, here.shop
    x1, x2, y1, y2 = corners(here)
    fits = (x2 - x1 >= along) & (y2 - y1 >= across)
    if isinstance(stock, Board):
        if not thick_enough(part, stock, shop, along, across):
            return np.zeros_like(fits)
        limits = np.array([float(here.far_limit(x, x)) for x in here.xs])
        fits &= np.minimum.outer(limits, limits)[:, :, None, None] >= y2
    return fits


def corners(here: Ground) -> tuple[NDArray[np.int64], ...]:
    """Return x1, x2, y1, y2 of all rectangles, ready to be combined."""
    xs, ys = np.array(here.xs, np.int64), np.array(here.ys, np.int64)
    return (
        xs[:, None, None, None],
        xs[None, :, None, None],
        ys[None, None, :, None],
        ys[None, None, None, :],
    )


def thick_enough(part: Part, board: Board, shop: Shop, along: int, across: int) -> bool:
    """Whether the part comes out of the board flat, and without too much planed away."""
    off = part.plane_off
    if off is None:
        off = {
            Surface.ROUGH: shop.plane_off.rough,
            Surface.SKIP_PLANED: shop.plane_off.skip_planed,
            Surface.S2S: shop.plane_off.s2s,
            Surface.S4S: shop.plane_off.s4s,
        }[board.surface]
    flat = board.thickness - off
    r, s = Fraction(along, board.length), Fraction(across, board.width)
    bow = board.bow * r**2
    if part.pulled_flat:
        bow = max(Fraction(0), bow - Fraction(254, 97536) * along)  # 1/32 in a foot
    left = flat - bow - board.cup * s**2 - board.twist * r * s
    return left >= part.thickness and flat - part.thickness <= shop.thick_spare


def _clear(
    part: Part, here: Ground, own_width: int, shown: Face | None, lie: Lie | None = None
) -> Table:
    x1, x2, y1, y2 = corners(here)
    clear = np.ones((len(here.xs), len(here.xs), len(here.ys), len(here.ys)), bool)
    for flaw in here.stock.flaws:
        if not _minds(part, flaw, own_width, shown):
            continue
        mx, my = _margins(flaw, here)
        met = (
            (flaw.x < x2 + mx)
            & (flaw.x + flaw.length > x1 - mx)
            & (flaw.y < y2 + my)
            & (flaw.y + flaw.width > y1 - my)
        )
        if lie is not None:
            met &= ~_cut_away(part, here, flaw, lie, met)
        clear &= ~met
    return clear


def _minds(part: Part, flaw: Flaw, own_width: int, shown: Face | None) -> bool:
    if flaw.kind is FlawKind.VOID:
        return True
    if flaw.kind in part.allow:
        return False
    if part.quality is Quality.CLEAR:
        return True
    if shown is not None:
        return not flaw.sound or flaw.face in (shown, Face.BOTH)
    if flaw.sound:
        return False
    small = flaw.kind in LOOSE and Fraction(flaw.width) <= Fraction(own_width, 3)
    return not (part.quality is Quality.HIDDEN and small)


def _margins(flaw: Flaw, here: Ground) -> tuple[int, int]:
    if flaw.sound or flaw.kind in (FlawKind.WANE, FlawKind.VOID):
        return 0, 0
    if flaw.kind not in RUNNING:
        return here.shop.flaw_margin, here.shop.flaw_margin
    if isinstance(here.stock, Sheet) and here.stock.grain is SheetGrain.WIDTH:
        return 0, here.shop.split_margin
    return here.shop.split_margin, 0


def _cut_away(part: Part, here: Ground, flaw: Flaw, lie: Lie, asked: Table) -> Table:
    """Return in which of the rectangles asked about a flaw lies wholly in the part's one arch.

    The arch counts as far as whole cells of the grid lie in it, and is convex: so it does where the
    corners of the flaw, grown to whole cells, lie in it.
    """
    found = np.zeros_like(asked)
    (arch,) = part.cutaways
    if flaw.kind is FlawKind.VOID or not isinstance(arch, Arch):
        return found
    grid = here.shop.grid
    xs = flaw.x // grid * grid, up(flaw.x + flaw.length, grid)
    ys = flaw.y // grid * grid, up(flaw.y + flaw.width, grid)
    for i, j, k, n in np.argwhere(asked):
        rect = here.xs[i], here.xs[j], here.ys[k], here.ys[n]
        found[i, j, k, n] = all(
            _under(arch, *on_part(part, arch, rect, lie, x, y)) for x in xs for y in ys
        )
    return found


def on_part(
    part: Part, arch: Arch, rect: tuple[int, int, int, int], lie: Lie, x: int, y: int
) -> tuple[int, int]:
    """Return a point of the stock as seen from the arch.

    It is told as twice the distance from the middle of its span, and the distance from its edge.
    """
    x1, x2, y1, y2 = rect
    if lie.turned:
        along, ends, across, sides = y, (y1, y2), x, (x1, x2)
    else:
        along, ends, across, sides = x, (x1, x2), y, (y1, y2)
    twice = 2 * along - sum(ends)  # from the middle of the part
    if lie.reversed != lie.turned:
        twice = -twice
    # The arch's own edge lies on the edge of the rectangle, whichever it is.
    low = (arch.edge == "near") == (lie.reversed == lie.flipped)
    return twice + part.length - 2 * arch.start - arch.span, (
        across - sides[0] if low else sides[1] - across
    )


def _under(arch: Arch, twice: int, up_from: int) -> bool:
    """Whether a point lies in an arch: no farther from the centre than the radius."""
    chord, rise = arch.span, arch.rise
    # Everything times 8 * rise, so that the radius chord^2 / 8 rise + rise / 2 is a whole number.
    radius = chord * chord + 4 * rise * rise
    below = radius - 8 * rise * rise
    along, across = 4 * rise * twice, 8 * rise * up_from + below
    return up_from >= 0 and along * along + across * across <= radius * radius


def offcut_table(here: Ground) -> Table:
    """Return which rectangles are big enough to keep."""
    x1, x2, y1, y2 = corners(here)
    length, width = x2 - x1, y2 - y1
    if here.board:
        least = here.shop.offcut_min
        return (length >= least[0]) & (width >= least[1])
    least = here.shop.sheet_offcut_min
    one = (length >= least[0]) & (width >= least[1])
    return one | ((width >= least[0]) & (length >= least[1]))


def sound_wood(here: Ground) -> NDArray[np.float64]:
    """Return the wood in each rectangle that no unsound flaw covers [1/320 mm squared]."""
    holes = [f for f in here.stock.flaws if not f.sound]
    xs = sorted({*here.xs, *(x for f in holes for x in (f.x, f.x + f.length))})
    ys = sorted({*here.ys, *(y for f in holes for y in (f.y, f.y + f.width))})
    sums = np.zeros((len(xs), len(ys)))
    for i in range(len(xs) - 1):
        for j in range(len(ys) - 1):
            box = xs[i], xs[i + 1], ys[j], ys[j + 1]
            inside = any(
                f.x <= box[0]
                and f.x + f.length >= box[1]
                and f.y <= box[2]
                and f.y + f.width >= box[3]
                for f in holes
            )
            sums[i + 1, j + 1] = 0.0 if inside else float(wood_in(here, *box))
    sums = sums.cumsum(axis=0).cumsum(axis=1)
    at = sums[np.ix_([xs.index(x) for x in here.xs], [ys.index(y) for y in here.ys])]
    return at[None, :, None, :] - at[:, None, None, :] - at[None, :, :, None] + at[:, None, :, None]


def wood_in(here: Ground, x1: int, x2: int, y1: int, y2: int) -> Fraction:
    """Return the wood in a box, which the far edge may cut off: a straight line."""
    low, high = here.width_at(x1), here.width_at(x2)
    if y2 <= min(low, high):
        return Fraction((x2 - x1) * (y2 - y1))
    stops = {Fraction(x1), Fraction(x2)}
    for y in (y1, y2):
        if min(low, high) < y < max(low, high):
            stops.add(x1 + (y - low) * (x2 - x1) / (high - low))
    total = Fraction(0)
    ordered = sorted(stops)
    for a, b in pairwise(ordered):
        middle = low + (high - low) * ((a + b) / 2 - x1) / (x2 - x1)
        total += (b - a) * (min(max(middle, Fraction(y1)), Fraction(y2)) - y1)
    return total
