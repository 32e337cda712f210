"""Plans of the solver, broken on purpose: the checker finds every one out."""

from random import Random

import pytest

from nester.model import Project, System
from nester.plan import plan_json
from nester.solve.stop import AnyOf, GapAtMost
from nester.verify.look import parsed
from tests.nester.maker import Rounds, board, checked, match, part, planned, sheet, shop
from tests.nester.verify import mutations_glued, mutations_matches, mutations_runs
from tests.nester.verify.mutations import named_mutants
from tests.nester.verify.plans import Doc, codes
from tests.oracle.cases import arched, case
from tests.oracle.choices import glued, matched

KNOT = {"kind": "knot", "x": "25", "y": "2", "length": "2", "width": "1"}
NAIL = {"kind": "metal", "x": "40", "y": "4", "length": "1/8", "width": "1/8"}


def fronts(count: int = 1) -> str:
    """Return the four sides of a small case and two drawer fronts."""
    sides = "".join(
        part(name, length=length, width="4", count=count)
        for name, length in (("left", "9"), ("top", "16"), ("right", "9"), ("bottom", "16"))
    )
    return sides + part("front", length="8", width="3", count=4)


RING = ["left", "top", "right", "bottom"]
LONG = board("L-1", length="70", width="9", flaws=[KNOT]) + board("L-2", length="40", width="9")
THICK = board("T-1", length="40", width="5", thickness="2 1/4")
TOGETHER = {
    "strip": (LONG, fronts() + match(parts=RING), ""),
    "pair": (THICK, fronts() + match(parts=RING), "resaw_height = 6\n"),
    "priced": (LONG, fronts(2) + match(parts=RING, sets=2), "corner_penalty = 5\n"),
    "bank": (
        LONG,
        fronts()
        + match("row", how="sequence", parts=["front", "front"], sets=2)
        + match("bank", how="stack", parts=["row", "row"]),
        "",
    ),
    "book": (
        THICK + LONG,
        fronts() + match("doors", how="book", parts=["left", "right"], required=True),
        "",
    ),
    "board": (LONG, fronts() + match("set", how="same board", parts=["top", "bottom"]), ""),
    "panels": (
        LONG,
        part("lid", width="14", glue_up={"strips": ["2", "6"]})
        + part("end", length="9", width="14", glue_up={"strips": ["2", "6"]}, count=2)
        + match("case", parts=["lid", "end"]),
        "",
    ),
    "arch": (
        board("A-1", length="40", flaws=[{**KNOT, "y": 0}]),
        part(
            "rail",
            length="30",
            width="4",
            cutaway=[{"arch": {"edge": "near", "start": "2", "span": "26", "rise": "2"}}],
        ),
        "",
    ),
}


@pytest.fixture(scope="module")
def plans() -> list[tuple[str, Doc]]:
    """Plans of many kinds, made once: random ones, and a few as a shop has them."""
    found = []
    tiny = [(f"case {seed}", case(seed, usual=seed % 2 == 0), ()) for seed in range(12)]
    tiny += [(f"arched {seed}", arched(seed), ()) for seed in range(3)]
    chosen = [(f"matched {seed}", matched(seed)) for seed in range(4)]
    chosen += [(f"glued {seed}", glued(seed)) for seed in range(4)]
    tiny += [(name, asked.case, asked.matches) for name, asked in chosen]
    for name, asked, matches in tiny:
        project = Project("tiny", System.INCH, asked.shop, asked.parts, matches)
        plan = checked(project, list(asked.stock), AnyOf(GapAtMost(0.0), Rounds(2)))
        if plan.layouts:
            found.append((name, plan_json(plan)))
    for name, (stock, parts, habits) in TOGETHER.items():
        plan = planned(stock, parts, shop() + habits, Rounds(3))
        assert plan.layouts, name
        found.append((name, plan_json(plan)))
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
    assert len(seen) >= 180
    assert seen & {m.name for m in mutations_runs.MUTATIONS}
    assert seen & {m.name for m in mutations_matches.MUTATIONS}
    assert seen & {m.name for m in mutations_glued.MUTATIONS}
