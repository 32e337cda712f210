"""Which pricer prices which stock item, from quick and loose to slow and exact."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import partial

from nester.problem import Problem, StockItem
from nester.solve.arrays import Arrays
from nester.solve.bound.bars import BarPricer, is_bar
from nester.solve.bound.counted import CountedPricer, counted_pricer
from nester.solve.bound.counted_sections import CountedSectionPricer
from nester.solve.bound.level import RATIO, Steps
from nester.solve.bound.plain import PlainPricer, plain_work
from nester.solve.bound.pricing import PlatePricer, Pricer, plate_work
from nester.solve.bound.sections import SectionPricer, section_work
from nester.solve.bound.sizes import is_plain, largest_steps, plate_size


@dataclass(frozen=True, slots=True)
class Budget:
    """What a round of pricing may take at a rung.

    ``cells``: programme cells it may fill, over all stock items. ``flaws``: whether it looks at
    flaws. ``states``: how many states of copies section pricing counts, once it is exact.
    """

    cells: float
    flaws: bool = True
    states: int = 1


PLATES = Budget(30e6, flaws=False)

COUNTED = 64
"""States of copies that section pricing may count."""

BUDGETS = (
    PLATES,
    Budget(10e6),
    Budget(100e6),
    Budget(400e6),
    Budget(2e9),
    Budget(2e9, states=COUNTED),
)
"""The rungs from quick and loose to slow and exact.

The second is coarse, but its prices are close to those of the third, where a round takes longer.
"""

COARSEST = 32
"""Cells a step, where section pricing begins."""

ROUGH_WORK = 3e6
"""Programme cells that the first and coarsest look may take."""

PRUNED = 0.03
"""Share of its programme cells that a level looks at, once a coarser one has told where."""

MOST_WORK = 50_000_000
"""Programme cells after which a level of section pricing is given up: far from the prices of a plan
there is much to look into, and little to learn."""

PLAIN = 0.3
"""Looking without flaws may take so much of the work of the first level of section pricing."""

UNLIMITED = 10_000
"""More blanks than any piece of stock holds."""

STEPS = (1, 2, 3, 4, 6, 8, 12, 16, 24, 32, 48, 64)


def groups(problem: Problem) -> list[tuple[int, ...]]:
    """Return stock items in groups that price alike: same size, price, flaws and options."""
    alike: dict[tuple[object, ...], list[int]] = {}
    for s, item in enumerate(problem.stock):
        alike.setdefault(_likeness(item), []).append(s)
    return [tuple(group) for group in alike.values()]


def _likeness(item: StockItem) -> tuple[object, ...]:
    return (
        item.board,
        item.nx,
        item.ny,
        item.x0,
        item.x1,
        item.kx,
        item.ky,
        item.near.tobytes(),
        tuple(blocks.tobytes() for blocks in item.blocks),
        item.excuses,
        item.options,
        item.first_x,
        item.first_y,
        item.stages,
        item.off_length,
        item.off_width,
        item.value,
        item.cell_credit,
    )


class Rung:
    """The pricers of every group at one level of exactness."""

    def __init__(
        self, problem: Problem, found: Arrays, grouped: Sequence[tuple[int, ...]], budget: Budget
    ) -> None:
        self.pricers: list[tuple[Pricer, ...]] = []
        copies, fixed = _copies(problem), not (problem.choices or problem.glues)
        for group in grouped:
            item = problem.stock[group[0]]
            classes = [c for c, d in enumerate(found.directions) if d.stock == group[0]]
            self.pricers.append(_chosen(found, classes, item, copies, fixed, budget, len(grouped)))
        self.exact = budget.flaws and all(p.step == 1 for g in self.pricers for p in g)
        self.steps = [type(p).__name__ + str(p.step) for group in self.pricers for p in group]

    @property
    def work(self) -> int:
        """About how many programme cells a round of pricing fills."""
        return sum(p.work for group in self.pricers for p in group)

    def more(self) -> bool:
        """Let pricings that were cut short take more from now on; whether there are any."""
        kinds = CountedPricer | SectionPricer
        able = [p for group in self.pricers for p in group if isinstance(p, kinds)]
        return sum(p.more() for p in able) > 0

    @property
    def cut(self) -> bool:
        """Whether a section pricing of the last round was cut short."""
        return any(is_cut(own) for own in self.pricers)

    def take_over(self, earlier: "Rung") -> None:
        """Take over what the pricers of an earlier rung have at hand and these need too."""
        for new, old in zip(self.pricers, earlier.pricers, strict=True):
            for n, o in zip(new, old, strict=False):
                if isinstance(n, SectionPricer) and isinstance(o, SectionPricer):
                    n.take_over(o)


def is_cut(pricers: Sequence[Pricer]) -> bool:
    """Whether a section pricing of one stock item was cut short the last time."""
    return any(isinstance(p, SectionPricer) and p.cut for p in pricers)


def _copies(problem: Problem) -> list[int]:
    """Return how many copies of each blank are of use at the most, whatever is chosen."""
    copies = [demand.copies for demand in problem.demands]
    for choice in problem.choices:
        least: dict[int, int] = {}
        for arc in choice.arcs:
            least[arc.demand] = min(arc.count, least.get(arc.demand, arc.count))
        for d, count in least.items():
            copies[d] += choice.copies * (choice.slots // count)
    for glue in problem.glues:
        for d, _ in glue.strips:
            copies[d] = UNLIMITED
    return copies


def _chosen(
    found: Arrays,
    classes: Sequence[int],
    item: StockItem,
    copies: Sequence[int],
    fixed: bool,
    budget: Budget,
    kinds: int,
) -> tuple[Pricer, ...]:
    """Return the pricers whose best value bounds the item's: one a direction of first cut.

    The item may take its share of the budget: there are so many ``kinds`` of stock. ``fixed``:
    whether nothing is left to choose, so that as many ``copies`` are wanted as are of use.
    """
    if not classes:
        return ()
    staged = item.board and 0 < item.stages <= 3
    # Crosscut first loses least at the edges, and a plate with any stages tells all from there.
    classes = sorted(classes, key=lambda cls: found.directions[cls].rip_first)
    if is_bar(found, classes[0], item):
        return (BarPricer(found, classes[0], item, copies),)
    if budget.flaws and fixed:
        counted = counted_pricer(found, classes[0], item, copies)
        if counted is not None:
            return (counted,)
    made: list[Pricer] = []
    for cls in classes if staged else classes[:1]:
        sharing = kinds * (len(classes) if staged else 1)
        if staged and budget.flaws and (budget.states > 1 or not is_plain(found, cls)):
            steps = _section_steps(found, cls, item, budget.cells / sharing)
            first = section_work(found, cls, *steps[0])
            plain = _plain_step(found, cls, item, PLAIN * first)
            most = max(MOST_WORK, 2 * first)
            if budget.states > 1:
                counting = budget.states, plain, most
                made.append(CountedSectionPricer(found, cls, item, copies, steps, *counting))
            else:
                made.append(SectionPricer(found, cls, item, len(copies), steps, plain, most))
            continue
        share = max(budget.cells, PLATES.cells) / sharing
        if staged:
            step = _plain_step(found, cls, item, share)
            made.append(PlainPricer(found, cls, item, len(copies), step))
        else:
            most = min(largest_steps(found, cls, item))
            step = _finest(partial(_plate, *plate_size(found, cls)), share, most)
            made.append(PlatePricer(found, cls, item, len(copies), step))
    return tuple(made)


def _section_steps(found: Arrays, cls: int, item: StockItem, share: float) -> list[Steps]:
    """Return steps from coarse to fine; the finest is what the share of work allows."""
    most_u, most_v = largest_steps(found, cls, item)
    rip_first = found.directions[cls].rip_first
    chain: list[Steps] = []
    step = 1
    while step <= min(most_u, COARSEST):
        fine_v = min(8 if step > 2 else 2 * step, most_v) if rip_first else 1
        if chain or PRUNED * section_work(found, cls, step, fine_v) <= share:
            chain.append((step, fine_v))
        if chain and section_work(found, cls, step, fine_v) <= ROUGH_WORK:
            break
        step *= RATIO
    return chain[::-1] or [(max(1, step // RATIO), min(8, most_v) if rip_first else 1)]


def _plain_step(found: Arrays, cls: int, item: StockItem, share: float) -> int:
    """Return the steps where flaws are not looked at."""
    most, _ = largest_steps(found, cls, item)
    return _finest(partial(plain_work, found, cls), share, most)


def _plate(nx: int, ny: int, step: int) -> int:
    return plate_work(nx // step, ny // step)


def _finest(work: Callable[[int], int], share: float, most: int) -> int:
    """Return the least step whose work stays within the share, ``most`` where none does."""
    for step in STEPS:
        if step >= most:
            break
        if work(step) <= share:
            return step
    return most
