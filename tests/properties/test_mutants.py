"""Plans of the solver, broken on purpose: the checker finds every one out."""

from random import Random

import pytest

from nester.model import Project, System
from nester.plan import plan_json
from nester.solve.stop import AnyOf, GapAtMost
from nester.verify.look import parsed
from tests.nester.maker import Rounds, board, checked, part, planned, sheet, shop
from tests.nester.verify.mutations import named_mutants
from tests.nester.verify.plans import Doc, codes
from tests.oracle.cases import case

KNOT = {"kind": "knot", "x": "25", "y": "2", "length": "2", "width": "1"}
NAIL = {"kind": "metal", "x": "40", "y": "4", "length": "1/8", "width": "1/8"}


@pytest.fixture(scope="module")
def plans() -> list[tuple[str, Doc]]:
    """Plans of many kinds, made once: random ones, and a few as a shop has them."""
    found = []
    for seed in range(40):
        asked = case(seed, usual=seed % 2 == 0)
        project = Project("tiny", System.INCH, asked.shop, asked.parts)
        plan = checked(project, list(asked.stock), AnyOf(GapAtMost(0.0), Rounds(2)))
        if plan.layouts:
            found.append((f"case {seed}", plan_json(plan)))
    rough = board(
        "R-1",
        length="72",
        width=["8", "7"],
        surface="rough",
        ends="rough",
        edges="rough",
        crook="1/4",
        bow="1/8",
        flaws=[KNOT, NAIL],
    )
    both = rough + sheet("P-1", count=2)
    parts = part("rail", count=3, quality="sound") + part(
        "panel", material="plywood", length="20", width="10", count=3
    )
    for name, habits in (
        ("trimmed", shop(sheet_trim="1/2", shortest_rip=12)),
        ("ripped first", shop(first_cut="rip")),
        ("default", ""),
    ):
        found.append((name, plan_json(planned(both, parts, habits))))
    return [(name, parsed(text)[0]) for name, text in found]


def test_every_mutant_is_caught(plans: list[tuple[str, Doc]]) -> None:
    """Of each plan every mutant gives a fault with the code of its rule; a thousand are tried."""
    tried = 0
    seen = set()
    for name, doc in plans:
        for mutation, mutant in named_mutants(doc, Random(name)):
            found = codes(mutant)
            assert mutation.rule in found, f"{name}: {mutation.name} gave only {found}"
            tried += 1
            seen.add(mutation.name)
    assert tried >= 1000
    assert len(seen) >= 40
