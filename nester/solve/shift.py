"""Other ways to make a match or a panel: what the search tries besides moving blanks about."""

from collections.abc import Callable, Sequence

import numpy as np
from numpy.typing import NDArray

from nester.problem import Problem, StockItem
from nester.problem.choice import Arc, Choice
from nester.solve.config import Config, made
from nester.solve.panels import NEVER, Panels
from nester.solve.ways import cheapest_way

Prices = NDArray[np.int64]

CORNER = 10**13
"""The price of a corner that comes before money: more than all the stock together [ticks]."""

BARRED = 10**16
"""The price of what is only taken where there is no other way [ticks]."""

NOISES = (0.02, 0.1, 0.3, 1.0)
DEAREST = 10**12


class Shifter:
    """Proposes configurations of one problem."""

    def __init__(self, problem: Problem) -> None:
        self.problem = problem
        self.solid = {option.demand for item in problem.stock for option in item.options}
        self.panels = [
            Panels(
                glue,
                [kind for kind, _ in glue.strips if kind in self.solid],
                [width for kind, width in glue.strips if kind in self.solid],
                problem.grid,
            )
            for glue in problem.glues
        ]
        self.width_of = {kind: width for glue in problem.glues for kind, width in glue.strips}
        self.glue_of = {glue.demand: g for g, glue in enumerate(problem.glues)}
        self.guide = guide(problem)
        self.plain = np.minimum(self.guide, DEAREST).astype(np.int64)
        self.units = [
            ("way", c, s)
            for c, choice in enumerate(problem.choices)
            if len(choice.arcs) > choice.slots
            for s in range(choice.copies)
        ]

    @property
    def flexible(self) -> bool:
        """Whether there is anything to choose."""
        return bool(self.units or self.problem.glues)

    def first(self, longest: int | None = None) -> Config:
        """Return the configuration that looks cheapest, with the most corners.

        No more than ``longest`` parts of a match lie in one blank, where it may be broken up.
        """
        ways = tuple(
            (self._way(choice, self.plain, CORNER, _shorter(longest)),) * choice.copies
            for choice in self.problem.choices
        )
        return self._repaired(ways, [[] for _ in self.problem.glues], self.plain)

    def glued(self, few: bool) -> Config:
        """Return the first configuration with all glued up that may be, from ``few`` strips."""
        prices = self.plain.copy()
        if few:
            for kind in self.width_of:
                prices[kind] += DEAREST // 100
        bare = self.first()
        copies = made(self.problem, Config(bare.ways, tuple(() for _ in self.problem.glues)))
        panels: list[list[tuple[int, ...]]] = []
        for glue, own in zip(self.problem.glues, self.panels, strict=True):
            cost, found = own.cheapest(prices)
            panels.append([found] * int(copies[glue.demand]) if cost < NEVER else [])
        return self._repaired(bare.ways, panels, prices)

    def panels_like(self, g: int, rng: np.random.Generator, most: int) -> list[tuple[int, ...]]:
        """Return panels for one kind of blank, cheap at prices that are shaken a little."""
        found: dict[tuple[int, ...], None] = {}
        for _ in range(most):
            noise = NOISES[rng.integers(len(NOISES))]
            shaken = self.guide * np.exp(noise * rng.standard_normal(len(self.guide)))
            cost, strips = self.panels[g].cheapest(np.minimum(shaken, DEAREST).astype(np.int64))
            if cost < NEVER:
                found[strips] = None
        return list(found)

    def other(self, config: Config, complete: bool, rng: np.random.Generator) -> Config:
        """Return a configuration that differs from ``config`` in one match or one panel."""
        noise = NOISES[rng.integers(len(NOISES))]
        shaken = self.guide * np.exp(noise * rng.standard_normal(len(self.guide)))
        prices = np.minimum(shaken, DEAREST).astype(np.int64)
        ways = [list(sets) for sets in config.ways]
        panels = [list(found) for found in config.panels]
        places = [(g, i) for g, found in enumerate(panels) for i in range(len(found))]
        toggles = [g for g, glue in enumerate(self.problem.glues) if glue.demand in self.solid]
        pick = int(rng.integers(len(self.units) + len(places) + len(toggles)))
        if pick < len(self.units):
            _, c, s = self.units[pick]
            choice = self.problem.choices[c]
            corner = CORNER if complete or rng.random() < 0.5 else 0
            # Some ways are left out, so that it is not always the one with the most corners.
            barred = rng.random(len(choice.arcs)) < (0.5 if rng.random() < 0.5 else 0.0)
            out = {arc for arc, bar in zip(choice.arcs, barred, strict=True) if bar}
            ways[c][s] = self._way(choice, prices, corner, lambda arc: arc in out)
        elif pick < len(self.units) + len(places):
            g, i = places[pick - len(self.units)]
            panels[g][i] = self._panel(g, panels[g][i], prices, rng)
        else:
            self._toggle(toggles[pick - len(self.units) - len(places)], config, panels, prices, rng)
        return self._repaired(tuple(tuple(sorted(sets)) for sets in ways), panels, prices)

    def _way(
        self, choice: Choice, prices: Prices, corner: int, barred: Callable[[Arc], bool]
    ) -> tuple[int, ...]:
        """Return the cheapest way, empty if there is none; ``barred`` arcs only if they must be."""
        corner = choice.penalty or corner
        of_kind = {kind: self._price(kind, prices) for kind in {a.demand for a in choice.arcs}}

        def price(arc: Arc) -> int:
            return of_kind[arc.demand] + (BARRED if arc.count > 1 and barred(arc) else 0)

        found = cheapest_way(choice, price, corner)
        return () if found is None else found[1]

    def _price(self, kind: int, prices: Prices) -> int:
        """Return the price of a blank, cut in one piece or glued up, whichever is less."""
        solid = int(prices[kind]) if kind in self.solid else DEAREST
        if kind not in self.glue_of:
            return solid
        return min(solid, self.panels[self.glue_of[kind]].cheapest(prices)[0], DEAREST)

    def _panel(
        self, g: int, strips: tuple[int, ...], prices: Prices, rng: np.random.Generator
    ) -> tuple[int, ...]:
        """Return other strips for a panel: new ones, or two of them narrower and wider."""
        if rng.random() < 0.5:
            moved = self._moved(g, strips, rng)
            if moved is not None:
                return moved
        cost, found = self.panels[g].cheapest(prices)
        return found if cost < NEVER else strips

    def _moved(
        self, g: int, strips: tuple[int, ...], rng: np.random.Generator
    ) -> tuple[int, ...] | None:
        glue, own = self.problem.glues[g], self.panels[g]
        widths = [self.width_of[kind] for kind in strips]
        grid = self.problem.grid
        i, j = rng.choice(len(strips), size=2, replace=False)
        target = widths[i] + grid * int(rng.integers(1, max(2, 2 * widths[i] // (5 * grid))))
        wider = [k for k in own.kinds if self.width_of[int(k)] <= target]
        if not wider:
            return None
        widths[i] = self.width_of[int(wider[-1])]
        need = glue.need + glue.per_strip * len(strips)
        rest = need - sum(widths) + widths[j]
        narrow = [k for k in own.kinds if self.width_of[int(k)] >= rest]
        if not narrow:
            return None
        chosen = [int(k) for n, k in enumerate(strips) if n not in (i, j)]
        chosen += [int(wider[-1]), int(narrow[0])]
        return tuple(sorted(chosen, key=self._width))

    def _width(self, kind: int) -> int:
        return self.width_of[kind]

    def _toggle(
        self,
        g: int,
        config: Config,
        panels: list[list[tuple[int, ...]]],
        prices: Prices,
        rng: np.random.Generator,
    ) -> None:
        """Glue up one more of a kind, or cut one more in one piece."""
        all_of = int(made(self.problem, config)[self.problem.glues[g].demand])
        if panels[g] and (len(panels[g]) >= all_of or rng.random() < 0.5):
            panels[g].pop(int(rng.integers(len(panels[g]))))
        elif len(panels[g]) < all_of:
            cost, found = self.panels[g].cheapest(prices)
            if cost < NEVER:
                panels[g].append(found)

    def _repaired(
        self,
        ways: tuple[tuple[tuple[int, ...], ...], ...],
        panels: Sequence[Sequence[tuple[int, ...]]],
        prices: Prices,
    ) -> Config:
        """Return a configuration with as many panels as there are blanks to be glued up."""
        copies = made(self.problem, Config(ways, tuple(() for _ in self.problem.glues)))
        settled = []
        for g, glue in enumerate(self.problem.glues):
            n = int(copies[glue.demand])
            own = list(panels[g])[:n]
            if glue.demand not in self.solid:
                cost, found = self.panels[g].cheapest(prices)
                if cost < NEVER:
                    own += [found] * (n - len(own))
            settled.append(tuple(sorted(own)))
        return Config(ways, tuple(settled))


def _shorter(longest: int | None) -> Callable[[Arc], bool]:
    """Return which arcs hold more than ``longest`` parts; none where there is no such limit."""
    return lambda arc: longest is not None and arc.count > longest


def guide(problem: Problem) -> NDArray[np.float64]:
    """Return what each kind of blank costs about: its share of the stock that gives it best."""
    best = np.full(len(problem.demands), float(DEAREST))
    strips = {kind for glue in problem.glues for kind, _ in glue.strips}
    for item in problem.stock:
        long = item.x1 - item.x0 + item.kx
        wide = item.ny - int(item.near[0]) + item.ky
        for option in item.options:
            share = (option.length + item.kx) / long
            if option.demand in strips:
                share /= max(1, _beside(item, option.length, option.width))
            else:
                share *= (option.width + item.ky) / wide
            best[option.demand] = min(best[option.demand], max(1.0, share * item.value))
    return best


def _beside(item: StockItem, length: int, width: int) -> int:
    """Return how many strips fit side by side across a board."""
    room = item.ny - 2 * int(item.near[min(length, item.nx)])
    return (room + item.ky) // (width + item.ky)
