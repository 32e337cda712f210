"""What section pricing found, drawn: it can be sawn, says the exhaustive planner."""

from random import Random

import numpy as np
import pytest

from nester.problem import build
from nester.solve.arrays import arrays
from nester.solve.bound.drawn import drawn
from nester.solve.bound.sections import SectionPricer
from nester.solve.bound.sizes import largest_steps
from nester.solve.columns import column
from tests.oracle.cases import case
from tests.oracle.cutting import Sawyer, sets_of

KINDS = ({"plain": True}, {"usual": True}, {})


@pytest.mark.parametrize("kind", KINDS, ids=["plain", "usual", "wild"])
def test_drawn_layouts_can_be_sawn(kind: dict[str, bool]) -> None:
    """The planner that tries everything finds the same blanks in the stock, and no dearer."""
    seen = whole = 0
    for seed in range(40):
        rng = Random(seed)
        asked = case(seed, **kind)
        problem = build(asked.parts, asked.stock, asked.shop)
        found, sets = arrays(problem), sets_of(asked.parts)
        wanted = np.array([demand.copies for demand in problem.demands], np.int64)
        names = {name: d for d, demand in enumerate(problem.demands) for name, _ in demand.parts}
        for cls, direction in enumerate(found.directions):
            item = problem.stock[direction.stock]
            if not item.board or direction.rip_first or direction.bound_only:
                continue
            stock = next(one for one in asked.stock if one.id == item.id)
            kept = Sawyer(asked.parts, stock, asked.shop, sets).best()
            most, _ = largest_steps(found, cls, item)
            for step in {1, min(4, most)}:
                pricer = SectionPricer(found, cls, item, len(wanted), [(step, 1)])
                prices = np.array([rng.randrange(item.value + 1) for _ in wanted], np.int64)
                priced = pricer(prices)
                if priced.sketch is None:
                    continue
                row = drawn(item, found, priced.sketch, wanted)
                if row is None:
                    continue
                made = column(problem, direction.stock, row)
                counts = np.array(made.counts)
                assert (counts <= np.minimum(priced.counts, wanted)).all()
                of_kind = np.zeros((len(sets.counts), len(wanted)), int)
                for p, part in enumerate(asked.parts):
                    if part.name in names:
                        of_kind[:, names[part.name]] += np.array(sets.counts)[:, p]
                same = (of_kind == counts).all(axis=1)
                best = float(kept[same].max(initial=-1.0))
                assert best >= 0, f"case {seed}, {item.id}"
                least = item.value - item.cell_credit * (best / problem.grid**2 + item.beyond)
                slack = 1e-6 * item.value + 4 * item.cell_credit * (item.nx + item.ny)
                assert made.cost >= least - slack
                seen += 1
                whole += bool((counts == np.minimum(priced.counts, wanted)).all())
    assert seen > 20
    assert whole > seen // 2
