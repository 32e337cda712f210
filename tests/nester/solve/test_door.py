"""The one door: what it says while it works, and that nothing but the input decides."""

import re
from dataclasses import dataclass, field
from math import inf
from random import Random
from typing import cast

import pytest

from nester.plan import plan_json
from nester.problem import build
from nester.solve.callbacks import Callbacks
from nester.solve.door import AnyEngine, neediest, solve
from nester.solve.raising import Raising
from nester.solve.result import Result
from nester.solve.stop import AnyOf, GapAtMost, Progress, Work
from tests.nester.maker import (
    PROVEN,
    Rounds,
    board,
    checked,
    part,
    planned,
    read,
    sheet,
    shop,
)

KNOT = {"kind": "knot", "x": "25", "y": "2", "length": "2", "width": "1"}
STOCK = (
    board("M-1", flaws=[KNOT])
    + board("M-2", length="48", price=40)
    + board("M-3", width=["5", "4"], price=45, surface="rough", edges="rough", crook="1/4")
    + sheet("P-1", count=2)
)
PARTS = (
    part("rail", count=3)
    + part("stile", length="24", width="2 1/2", count=4)
    + part("slat", length="14", width="1 1/2", count=6)
    + part("panel", material="plywood", length="20", width="10", count=3)
)


class Listener(Callbacks):
    """Remembers what it is told, and may ask to stop."""

    def __init__(self, stop_at: int | None = None) -> None:
        self.told: list[Progress] = []
        self.ended: list[Result] = []
        self.stop_at = stop_at

    def progress(self, progress: Progress) -> None:
        """Remember it."""
        self.told.append(progress)

    def end(self, result: Result) -> None:
        """Remember it."""
        self.ended.append(result)

    def should_stop(self) -> bool:
        """Ask to stop once enough was told."""
        return self.stop_at is not None and len(self.told) >= self.stop_at


def test_progress_only_gets_better() -> None:
    """Cost goes down, the bound up, missing parts are found; the last word is the result's."""
    project, items = read(STOCK, PARTS, shop())
    problem = build(project.parts, items, project.shop)
    listener = Listener()
    result = solve(problem, Rounds(25), callbacks=listener)
    assert listener.ended == [result]
    assert result.history == tuple(listener.told)
    for before, after in zip(listener.told, listener.told[1:], strict=False):
        assert after.missing <= before.missing
        assert after.work >= before.work
        assert after.rounds >= before.rounds
        if before.missing == after.missing == 0:
            assert before.cost is not None
            assert after.cost is not None
            assert before.bound is not None
            assert after.bound is not None
            assert after.cost <= before.cost
            assert after.bound >= before.bound
            assert after.bound <= after.cost
    last = listener.told[-1]
    assert last.missing == sum(result.missing) == 0
    assert last.cost == pytest.approx(float(result.cost / problem.ticks))
    assert result.bound <= result.cost
    assert result.gap == pytest.approx((result.cost - result.bound) / result.cost)


def test_the_last_word_tells_the_bound_of_the_result(monkeypatch: pytest.MonkeyPatch) -> None:
    """Also where the bound was still being raised beside attempts when the run was stopped."""
    monkeypatch.setattr(Raising, "_alone", lambda *_: inf)
    parts = part("rail", count=9) + part("slat", length="14", width="1 1/2", count=12)
    stock = [board(f"M-{i}", length=str(44 + i), price=40 + i, flaws=[KNOT]) for i in range(16)]
    project, items = read("".join(stock), parts, shop())
    problem = build(project.parts, items, project.shop)
    result = solve(problem, Rounds(3))
    before, last = result.history[-2:]
    assert before.rounds == last.rounds
    assert before.bound is not None
    assert last.bound is not None
    assert before.bound < last.bound == float(result.bound / problem.ticks)
    assert before.work < last.work == result.work


def test_columns_give_what_is_asked() -> None:
    """The layouts of a result give every demand, from no more copies than there are."""
    project, items = read(STOCK, PARTS, shop())
    problem = build(project.parts, items, project.shop)
    result = solve(problem, Rounds(10))
    for d, demand in enumerate(problem.demands):
        assert sum(c.counts[d] for c in result.columns) >= demand.copies - result.missing[d]
    for s, item in enumerate(problem.stock):
        assert sum(c.stock == s for c in result.columns) <= item.count
    assert sum(c.cost for c in result.columns) == result.cost


def test_interrupted() -> None:
    """A run that is asked to stop gives its best so far, and says why."""
    project, items = read(STOCK, PARTS, shop())
    listener = Listener(stop_at=3)
    plan = checked(project, items, Rounds(1000), callbacks=listener)
    assert len(listener.told) == 3
    assert plan.stopped_by == "interrupted"
    assert plan.layouts


@pytest.mark.parametrize(
    ("stop", "word"),
    [(Rounds(3), "work"), (Work(1), "work"), (GapAtMost(1.0), "gap")],
)
def test_what_stopped_it(stop: object, word: str) -> None:
    """The plan says which rule stopped the run."""
    project, items = read(STOCK, PARTS, shop())
    assert checked(project, items, stop).stopped_by == word  # type: ignore[arg-type]


def test_optimal_needs_no_rule() -> None:
    """A plan that is proven the best ends the run by itself."""
    plan = planned(board(), part(length="60", width="6"), stop=Rounds(10_000))
    assert plan.stopped_by == "optimal"
    assert plan.status.value == "optimal"


def test_work_ends_even_where_nothing_is_left_to_do() -> None:
    """A tiny plan that can neither be bettered nor proven comes to its limit of work."""
    plan = planned(board(), part() + part("top", material="elm"), stop=Work(3_000_000))
    assert plan.stopped_by == "work"
    assert [missing.part for missing in plan.missing] == ["top"]


def text(plan: object) -> str:
    """Return a plan's document without the seconds it took."""
    return re.sub(r'"seconds": [0-9.e+-]+', "", plan_json(plan))  # type: ignore[arg-type]


@pytest.fixture(scope="module")
def plan_text() -> str:
    """The document of one run with one worker."""
    project, items = read(STOCK, PARTS, shop())
    return text(checked(project, items, Work(1_500_000), workers=1))


def test_the_same_again(plan_text: str) -> None:
    """The same input, seed and amount of work give the same bytes."""
    project, items = read(STOCK, PARTS, shop())
    assert text(checked(project, items, Work(1_500_000), workers=1)) == plan_text


def test_with_two_workers(plan_text: str) -> None:
    """Two workers, and more, change nothing."""
    project, items = read(STOCK, PARTS, shop())
    for workers in (2, 5):
        assert text(checked(project, items, Work(1_500_000), workers=workers)) == plan_text


@pytest.mark.parametrize("seed", [1, 2])
def test_with_stock_in_another_order(plan_text: str, seed: int) -> None:
    """The order in which boards were loaded changes nothing."""
    project, items = read(STOCK, PARTS, shop())
    Random(seed).shuffle(items)
    found = checked(project, items, Work(1_500_000), workers=2)
    assert text(found) == plan_text


@pytest.mark.parametrize("seed", [1, 2])
def test_with_parts_in_another_order(plan_text: str, seed: int) -> None:
    """The order of the part list changes only the order in which parts are listed."""
    from dataclasses import replace

    project, items = read(STOCK, PARTS, shop())
    parts = list(project.parts)
    Random(seed).shuffle(parts)
    plan = checked(replace(project, parts=tuple(parts)), items, Work(1_500_000))
    assert text(replace(plan, parts=project.parts)) == plan_text


def test_another_seed_may_end_elsewhere_but_holds() -> None:
    """Another seed is another search; its plan holds all the same."""
    project, items = read(STOCK, PARTS, shop())
    plan = checked(project, items, Work(300_000), seed=7)
    assert plan.seed == 7
    assert not plan.missing


def test_a_cost_that_cannot_be_bettered_is_found_soon() -> None:
    """Two boards filled to the last sixteenth: proven in a few rounds."""
    stock = board("M-1", length="40 1/8") + board("M-2", length="60 1/4", price=80)
    plan = planned(stock, part(length="20", width="6", count=5), stop=AnyOf(PROVEN, Rounds(20)))
    assert plan.cost == 140
    assert plan.status.value == "optimal"


@dataclass
class _Merit:
    merit: tuple[int, ...] = (0,)


@dataclass
class _Unsettled:
    """A part of a problem of which no effort changes how unsettled it is."""

    slack: int
    effort: int = 0
    proven: bool = False
    stuck: bool = False
    best: _Merit = field(default_factory=_Merit)


def test_effort_goes_by_what_is_unsettled() -> None:
    """What is a tenth of the slack gets about a tenth of the effort, not a hundredth."""
    large, small = _Unsettled(slack=90), _Unsettled(slack=10)
    for _ in range(1000):
        found = cast(_Unsettled, neediest(cast(list[AnyEngine], [large, small])))
        found.effort += 1
    assert 80 <= small.effort <= 120
    assert small.effort + large.effort == 1000


def test_what_is_stuck_gets_little_effort() -> None:
    """Where nothing is to be gained, nine times the slack gets no more effort than the rest."""
    large, small = _Unsettled(slack=90, stuck=True), _Unsettled(slack=10)
    for _ in range(1000):
        found = cast(_Unsettled, neediest(cast(list[AnyEngine], [large, small])))
        found.effort += 1
    assert large.effort < small.effort
    assert large.effort > 100
