"""The bound where matches and panels may be made in more ways than one.

The master programme chooses a way for every set of a match: ways are columns that ask for blanks,
one a set. Panels are columns that give a blank and ask for strips. For any prices the Lagrangian
bound of ``colgen`` holds with each set priced at its cheapest way, and with a blank that may be
glued up worth no more than its cheapest panel. Ways that break more corners than the plan at hand
are kept out by a price of corners: no plan that breaks no more costs less than the bound.

Strips are first thought of in some widths only: each stands for all strips up to the next width, so
it is as narrow as the narrowest of them and glues up to as much as the widest. No panel is lost by
that. Higher rungs know all widths.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise
from typing import Any

import numpy as np
from numpy.typing import NDArray

from nester.problem import Problem, StockItem
from nester.problem.choice import Arc, Choice, Glue
from nester.solve.arrays import arrays
from nester.solve.bound.colgen import Bounding
from nester.solve.bound.ladder import BUDGETS, groups
from nester.solve.bound.places import rising
from nester.solve.bound.pricing import Priced
from nester.solve.columns import Column
from nester.solve.lp import GrowingLp
from nester.solve.panels import Panels
from nester.solve.ways import cheapest_way

WIDTHS = (10, 10, 64)
"""Widths of strips that the bound tells apart on each rung, the last on all that follow."""

DEAREST = 10**12
"""More than any blank costs [ticks]."""

MOST_CHEAP = 30
"""Times that panels and ways are added to the master before stock is priced again."""

UNBOUNDED = 50.0
"""The price of a blank that no stock item gives, in prices of the dearest item."""


@dataclass(frozen=True, slots=True, eq=False)
class Reduced:
    """A problem with the kinds of blanks that the bound needs; ``place[d]`` is kind d's number.

    A strip that is left out goes by the number of the widest kept one that is no wider. ``kinds``
    are the kinds that are kept, by their numbers in the whole problem.
    """

    problem: Problem
    kinds: tuple[int, ...]
    place: Mapping[int, int]

    def counts(self, column: Column) -> NDArray[np.int64]:
        """Return what a layout of the whole problem gives, in this problem's numbers."""
        held = np.zeros(len(self.problem.demands), np.int64)
        for d, count in enumerate(column.counts):
            if count and d in self.place:
                held[self.place[d]] += count
        return held


@dataclass(frozen=True, slots=True, eq=False)
class Prices:
    """Duals of a master programme: of the kinds of a reduced problem, then of the groups."""

    small: Reduced
    duals: NDArray[np.float64]
    kinds: int
    group_of: Mapping[int, int]
    scale: float

    def reduced_costs(self, columns: Sequence[Column]) -> NDArray[np.float64]:
        """Return what layouts of the whole problem cost beyond what their blanks are worth."""
        worth = np.zeros(self.kinds)
        for d, place in self.small.place.items():
            worth[d] = self.duals[place]
        counts = np.array([column.counts for column in columns], np.int32)
        groups = np.array([self.group_of[column.stock] for column in columns], np.int64)
        costs = np.array([column.cost for column in columns], np.float64) / self.scale
        of_group = self.duals[len(self.small.kinds) + groups]
        reduced: NDArray[np.float64] = costs - counts @ worth - of_group
        return reduced


def reduced(problem: Problem, most: int) -> Reduced:
    """Return the problem with the kinds that are always wanted, matches, and some of the strips.

    ``most`` widths of strips are kept, and those of which panels share strips.
    """
    strips = {kind for glue in problem.glues for kind, _ in glue.strips}
    asked = {arc.demand for choice in problem.choices for arc in choice.arcs}
    asked |= {glue.demand for glue in problem.glues}
    kept = _kept_widths(problem, most)
    demands = [
        d
        for d, demand in enumerate(problem.demands)
        if (d in kept if d in strips else d in asked or demand.copies > 0)
    ]
    place = {d: i for i, d in enumerate(demands)}
    glues = []
    for glue in problem.glues:
        own = [(kind, width) for kind, width in glue.strips if kind in kept]
        last = None
        for kind, _ in glue.strips:
            last = place.get(kind, last)
            if last is not None:
                place.setdefault(kind, last)
        glues.append(
            replace(
                glue,
                demand=place[glue.demand],
                strips=tuple((place[kind], width) for kind, width in own),
            )
        )
    choices = tuple(
        replace(
            choice,
            arcs=tuple(replace(arc, demand=place[arc.demand]) for arc in choice.arcs),
        )
        for choice in problem.choices
    )
    kept_only = {d: i for i, d in enumerate(demands)}
    loosest = _loosest(problem, kept)
    stock = tuple(
        replace(
            item,
            options=tuple(
                replace(
                    option,
                    demand=kept_only[option.demand],
                    shows=_shows(item, loosest.get(option.demand, ()), option.shows),
                )
                for option in item.options
                if option.demand in kept_only
            ),
        )
        for item in problem.stock
    )
    small = replace(
        problem,
        demands=tuple(problem.demands[d] for d in demands),
        stock=stock,
        choices=choices,
        glues=tuple(glues),
        together=tuple(
            replace(own, kinds=tuple(place[kind] for kind in own.kinds)) for own in problem.together
        ),
    )
    return Reduced(small, tuple(demands), place)


def _loosest(problem: Problem, kept: set[int]) -> dict[int, tuple[int, ...]]:
    """Return for each kept strip the kinds up to the next one kept, the widest first.

    A wider strip may hold larger loose knots, so the flaws of the widest are the fewest.
    """
    found: dict[int, tuple[int, ...]] = {}
    for glue in problem.glues:
        last: int | None = None
        for kind, _ in glue.strips:
            if kind in kept:
                last = kind
            if last is not None:
                found[last] = (kind, *(k for k in found.get(last, ()) if k != kind))
    return found


def _shows(
    item: StockItem, kinds: tuple[int, ...], own: tuple[tuple[int, bool], ...]
) -> tuple[tuple[int, bool], ...]:
    for kind in kinds:
        for option in item.options:
            if option.demand == kind:
                return option.shows
    return own


def _kept_widths(problem: Problem, most: int) -> set[int]:
    """Return the strips to keep: the narrowest of every panel, and some in even proportions."""
    kept: set[int] = set()
    for glue in problem.glues:
        own = glue.strips
        n = min(most, len(own))
        low, high = own[0][1], own[-1][1]
        at = 0
        for i in range(n):
            # Widths in proportion: what is given away is the same share of each.
            width = low * (high / low) ** (i / n)
            while at < len(own) - 1 and own[at][1] < width * (1 - 1e-9):
                at += 1
            kept.add(own[at][0])
        if n == len(own):
            kept.update(kind for kind, _ in own)
        kept.add(own[0][0])
    # Panels that share strips keep each other's, and each must have its own narrowest.
    return kept


class MixedBounding(Bounding):
    """Raises a lower bound for a problem with choices.

    ``prices`` to begin with are by kinds of the whole problem. No plan is looked at that breaks
    more corners than ``broken``.
    """

    # Widths of strips that are told apart only later gain more than all ways to use few boards.
    few = 0
    goes_on = False
    draws = False
    # So do finer pricings, which a coarse one first would only put off.
    budgets = (BUDGETS[0], *BUDGETS[2:])

    def __init__(self, whole: Problem, prices: NDArray[np.float64], broken: int) -> None:
        small = reduced(whole, WIDTHS[0])
        super().__init__(
            small.problem, arrays(small.problem), _of_class(small, prices), groups(whole)
        )
        self.whole = whole
        self.small = small
        self.broken = broken
        self.priced_corners = whole.corners_have_a_price
        self.corner = 0
        self.known: set[tuple[Any, ...]] = set()
        self.seen: Prices | None = None
        self._look_at(small)

    def _look_at(self, small: Reduced) -> None:
        self.small = small
        self.panels = [_relaxed(glue, small.problem.grid) for glue in small.problem.glues]
        cut = {option.demand for item in small.problem.stock for option in item.options}
        for d in range(len(self.wanted)):
            if d not in cut:
                self.dear[d] = max(self.dear[d], UNBOUNDED)

    def _finer(self) -> bool:
        """Tell more widths of strips apart, where this rung does."""
        most = WIDTHS[min(self.rung_at, len(WIDTHS) - 1)]
        small = reduced(self.whole, most)
        if small.kinds == self.small.kinds:
            return False
        old = self.small
        for node in (self.node, *self.open, *self.leaves):
            node.prices = np.floor(carried(old, small, node.prices)).astype(np.int64)
        self.dear = carried(old, small, self.dear)
        self.region.least = carried(old, small, self.region.least)
        moved = [small.place[d] for d in old.kinds]
        for i, proposal in enumerate(self.proposals):
            counts = np.zeros(len(small.kinds), np.int64)
            counts[moved] = proposal.counts
            self.proposals[i] = replace(proposal, counts=counts)
        self.problem, self.found = small.problem, arrays(small.problem)
        self.wanted = np.array([d.copies for d in small.problem.demands], np.int64)
        self._look_at(small)
        return True

    def allow(self, broken: int) -> None:
        """Look only at plans that break no more corners than this: fewer than before."""
        if broken < self.broken:
            self.broken = broken
            if self.lp is not None and not self.priced_corners:
                self.lp.set_row(self._corner_row, -np.inf, float(broken))

    @property
    def _corner_row(self) -> int:
        return len(self.wanted) + len(self.groups) + len(self.problem.choices)

    def _asked(self, duals: NDArray[np.float64], smoothing: float) -> NDArray[np.int64]:
        if not self.priced_corners:
            asked = int(max(0.0, -float(duals[self._corner_row])) * self.scale)
            self.corner = self.node.corner if smoothing == 1.0 else asked
        return super()._asked(duals, smoothing)

    def _sound(self, prices: NDArray[np.int64]) -> NDArray[np.int64]:
        return self._capped(rising(prices, self.found))

    def _keep(self, asked: NDArray[np.int64], value: int) -> None:
        super()._keep(asked, value)
        self.node.corner = self.corner

    def _capped(self, prices: NDArray[np.int64]) -> NDArray[np.int64]:
        """Return prices in which no blank is worth more than the strips to glue it up."""
        capped = prices.copy()
        for glue, panels in zip(self.problem.glues, self.panels, strict=True):
            capped[glue.demand] = min(int(prices[glue.demand]), panels.cheapest(prices)[0])
        return capped

    def _value(
        self, asked: NDArray[np.int64], found: Sequence[Priced | None], duals: NDArray[np.float64]
    ) -> tuple[int, bool]:
        value, fresh = super()._value(asked, found, duals)
        self.seen = Prices(self.small, duals, len(self.whole.demands), self.group_of, self.scale)
        self._more_panels(asked)
        for c, choice in enumerate(self.problem.choices):
            way = self._cheapest(choice, asked)
            if way is not None:
                value += choice.copies * way[0]
                self._more_ways(c, choice, way[1])
        if not self.priced_corners:
            value -= self.corner * self.broken
        return value, fresh

    def _taken(self) -> bool:
        """Take over offers, then panels and ways until no other would lower the master's value."""
        assert self.lp is not None
        solved = super()._taken()
        for _ in range(MOST_CHEAP):
            if not solved or not self._more_at(self.lp.duals):
                break
            solved = self.lp.solve()
        return solved

    def _more_at(self, duals: NDArray[np.float64]) -> bool:
        """Add the panels and ways that are cheapest at some duals; whether the master gains."""
        bare = np.maximum(0.0, duals[: len(self.wanted)]) * self.scale
        prices = np.floor(bare).astype(np.int64)
        fresh = self._more_panels(prices, duals)
        capped = self._capped(prices)
        for c, choice in enumerate(self.problem.choices):
            way = self._cheapest(choice, capped)
            fresh |= way is not None and self._more_ways(c, choice, way[1], duals)
        return fresh

    @property
    def prices(self) -> Prices | None:
        """The prices of the master programme to compare layouts by, where there are any yet."""
        return self.seen

    def proposed(self, most: int) -> list[tuple[int, NDArray[np.int64]]]:
        """Return the groups and blanks of the newest proposals, by kinds of the whole problem."""
        found = []
        for proposal in self.proposals[-most:]:
            counts = np.zeros(len(self.whole.demands), np.int64)
            counts[list(self.small.kinds)] = proposal.counts
            if counts.any():
                found.append((proposal.group, counts))
        return found

    def ways(self) -> list[list[tuple[int, ...]]]:
        """Return for each match the ways to make a set that the master knows."""
        found: list[list[tuple[int, ...]]] = [[] for _ in self.problem.choices]
        for key in self.known:
            if key[0] == "way":
                found[key[1]].append(key[2:])
        return [sorted(own) for own in found]

    def _cheapest(
        self, choice: Choice, prices: NDArray[np.int64]
    ) -> tuple[int, tuple[int, ...]] | None:
        corner = choice.penalty or self.corner
        return cheapest_way(choice, lambda arc: int(prices[arc.demand]), corner)

    def _more_panels(
        self, prices: NDArray[np.int64], duals: NDArray[np.float64] | None = None
    ) -> bool:
        fresh = False
        for glue, panels in zip(self.problem.glues, self.panels, strict=True):
            for _, strips in panels.by_number(prices):
                entries: dict[int, float] = {glue.demand: 1.0}
                for kind in strips:
                    entries[kind] = entries.get(kind, 0.0) - 1.0
                fresh |= self._add_new(("panel", glue.demand, *strips), 0.0, entries, duals)
        return fresh

    def _more_ways(
        self,
        c: int,
        choice: Choice,
        way: Sequence[int],
        duals: NDArray[np.float64] | None = None,
    ) -> bool:
        arcs = [choice.arcs[a] for a in way]
        cost = choice.penalty * _broken(choice, arcs) / self.scale
        return self._add_new(("way", c, *way), cost, self._way(c, choice, arcs), duals)

    def _add_new(
        self,
        key: tuple[Any, ...],
        cost: float,
        entries: dict[int, float],
        duals: NDArray[np.float64] | None,
    ) -> bool:
        """Add a column that is not known, where ``duals`` are given only if it costs less then."""
        if key in self.known or self.lp is None:
            return False
        if duals is not None and cost - sum(n * duals[row] for row, n in entries.items()) > -1e-9:
            return False
        self.known.add(key)
        self.lp.add(cost, np.inf, entries)
        return True

    def _way(self, c: int, choice: Choice, arcs: Sequence[Arc]) -> dict[int, float]:
        entries: dict[int, float] = {len(self.wanted) + len(self.groups) + c: 1.0}
        for arc in arcs:
            entries[arc.demand] = entries.get(arc.demand, 0.0) - 1.0
        if not self.priced_corners:
            entries[self._corner_row] = float(_broken(choice, arcs))
        return entries

    def _fractional(self) -> tuple[int, float] | None:
        """Return the kind of stock used in the most fractional number, None where all are whole."""
        assert self.lp is not None
        n = len(self.wanted)
        used = self.lp.activities[n : n + len(self.groups)]
        worth = [(min(k % 1, 1 - k % 1) * self.values[g], -g) for g, k in enumerate(used)]
        most, g = max(worth)
        return None if most <= 1e-6 * self.scale else (-g, float(used[-g]))

    def _counted(self, column: Column) -> NDArray[np.int64]:
        return self.small.counts(column)

    def _fresh_master(self, columns: Sequence[Column]) -> None:
        choices = self.problem.choices
        copies = [float(choice.copies) for choice in choices]
        corners = [] if self.priced_corners else [float(self.broken)]
        # Layouts of a looser rung are worth more than any of this one: nothing would be looked for.
        self.proposals = []
        self.offers.clear()
        self.lp = GrowingLp(
            [
                *(float(n) for n in self.wanted),
                *(0.0 for _ in self.groups),
                *copies,
                *(-np.inf for _ in corners),
            ],
            [
                *(np.inf for _ in self.wanted),
                *(float(n) for n in self.counts),
                *copies,
                *corners,
            ],
        )
        self.known = set()
        self._slack()
        for g, value in enumerate(self.values):
            self._add(g, value, ())
        for c, choice in enumerate(choices):
            self._first_ways(c, choice)
        self._more_panels(self.node.prices)
        for chain in self.found.chains:
            # A wider strip does for a narrower one.
            for narrow, wide in pairwise(chain.tolist()):
                self.lp.add(0.0, np.inf, {narrow: 1.0, wide: -1.0})
        for column in columns:
            self._add(self.group_of[column.stock], column.cost, self._counted(column))

    def _first_ways(self, c: int, choice: Choice) -> None:
        """Add the cheapest way, and the one with the most corners, so that there is a solution."""
        prices = self._capped(self.node.prices)
        for corner in (0, 10**15):
            way = cheapest_way(choice, lambda arc: int(prices[arc.demand]), corner)
            if way is not None:
                self._more_ways(c, choice, way[1])


def _of_class(small: Reduced, prices: NDArray[np.float64]) -> NDArray[np.float64]:
    """Return the prices of what is kept, of each strip that of the widest it stands for."""
    found = np.zeros(len(small.kinds))
    for d, place in small.place.items():
        found[place] = min(prices[d], float(DEAREST))
    return found


def carried(old: Reduced, new: Reduced, prices: NDArray[Any]) -> NDArray[np.float64]:
    """Return prices of one choice of widths for another; a strip's go by its width.

    What a strip was worth holds for the widest that it stood for, and between those evenly.
    """
    found = np.array([float(prices[old.place[d]]) for d in new.kinds])
    grid = old.problem.grid
    for before, after in zip(old.problem.glues, new.problem.glues, strict=True):
        widths = [width - grid for _, width in before.strips[1:]] + [before.widest]
        worth = [float(prices[kind]) for kind, _ in before.strips]
        for kind, width in after.strips:
            share = min(1.0, width / widths[0])
            found[kind] = share * float(np.interp(width, widths, worth))
    return found


def _broken(choice: Choice, arcs: Sequence[Arc]) -> int:
    return sum(arc.broken for arc in arcs) - choice.free


def _relaxed(glue: Glue, grid: int) -> Panels:
    """Return a panel's strips, each as wide as the widest that it stands for."""
    kinds = [kind for kind, _ in glue.strips]
    widths = [width - grid for _, width in glue.strips[1:]] + [glue.widest]
    return Panels(glue, kinds, widths, grid)
