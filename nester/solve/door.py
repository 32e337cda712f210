"""The one door of the solver."""

import time
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, replace
from typing import TypeAlias

from nester.problem import Problem
from nester.problem.choice import Arc
from nester.solve.callbacks import Callbacks
from nester.solve.columns import Column
from nester.solve.engine import Engine
from nester.solve.mixed import MixedEngine
from nester.solve.result import Result
from nester.solve.seeds import hash_seed
from nester.solve.split import independent
from nester.solve.stop import Progress, Stop, seconds_left

STUCK = 0.1
"""How much what is unsettled counts where no better bound and hardly a better plan will come."""

AnyEngine: TypeAlias = Engine | MixedEngine
Part: TypeAlias = tuple[Problem, tuple[int, ...], tuple[int, ...]]
"""An independent part of a problem, with its stock's and its demands' places in the whole."""


@dataclass(frozen=True, slots=True)
class Homeless:
    """What no stock can give: copies by demand, and how many parts of matches."""

    demands: dict[int, int]
    in_matches: int

    @property
    def count(self) -> int:
        """How many parts there are in all."""
        return sum(self.demands.values()) + self.in_matches


def solve(
    problem: Problem,
    stop: Stop,
    *,
    seed: int = 0,
    workers: int = 2,
    callbacks: Callbacks | None = None,
) -> Result:
    """Plan ``problem`` until ``stop`` says so or nothing better can exist.

    The parts of the problem that share no stock are planned apart; each round goes to the part
    whose cost and bound are furthest apart. The same problem, seed and stop by gap or work give the
    same result with any number of ``workers``.
    """
    hooks = callbacks or Callbacks()
    hooks.start(problem)
    begun = time.monotonic()
    parts = independent(problem)
    engines = [_engine(part, hash_seed(seed, i)) for i, (part, _, _) in enumerate(parts)]
    homeless = _homeless(problem, parts)
    history: list[Progress] = []

    def progress() -> Progress:
        now = _progress(problem, engines, homeless, time.monotonic() - begun)
        history.append(now)
        hooks.progress(now)
        return now

    reason: str | None = None
    with ThreadPoolExecutor(max_workers=max(1, workers)) as pool:
        for engine in engines:
            engine.first()
        while True:
            now = progress()
            if all(engine.proven for engine in engines) and not now.missing:
                reason = "optimal"
            elif hooks.should_stop():
                reason = "interrupted"
            else:
                reason = stop(now)
            if reason is not None:
                break
            if not engines:
                reason = "optimal"  # no stock suits any part: nothing can be better
                break
            neediest(engines).round(pool, seconds_left(stop, now))
        underway = [e for e in engines if isinstance(e, Engine) and e.raising.underway]
        for engine in underway:
            engine.end()
        if underway:
            now = progress()
            if all(engine.proven for engine in engines) and not now.missing:
                reason = "optimal"
    return _finish(problem, parts, engines, homeless, reason, history, hooks)


def _engine(problem: Problem, seed: int) -> AnyEngine:
    if problem.choices or problem.glues or problem.together:
        return MixedEngine(problem, seed)
    return Engine(problem, seed)


def neediest(engines: list[AnyEngine]) -> AnyEngine:
    """Return the engine to work on: what is missing first, then what is least settled.

    Each gets about as much effort as its share of what is unsettled, so small parts are not left
    behind: a little effort settles them. What is stuck counts for little.
    """
    return max(
        engines,
        key=lambda e: (
            not e.proven,
            min(e.best.merit[0], 1),
            e.slack * (STUCK if e.stuck else 1.0) / (1 + e.effort),
        ),
    )


def _homeless(problem: Problem, parts: list[Part]) -> Homeless:
    known = {d for _, _, demands in parts for d in demands}
    names = {choice.match for part, _, _ in parts for choice in part.choices}
    lost = sum(c.slots * c.copies for c in problem.choices if c.match not in names)
    return Homeless(
        {d: demand.copies for d, demand in enumerate(problem.demands) if d not in known}, lost
    )


def _progress(
    problem: Problem, engines: list[AnyEngine], homeless: Homeless, seconds: float
) -> Progress:
    cost = sum(engine.best.cost for engine in engines)
    bound = sum(min(engine.bound, engine.best.cost) for engine in engines)
    missing = sum(engine.best.merit[0] for engine in engines) + homeless.count
    unsettled = any(isinstance(e, MixedEngine) and not e.settled for e in engines)
    return Progress(
        seconds=seconds,
        work=sum(engine.work for engine in engines),
        cost=float(cost / problem.ticks),
        bound=None if missing else float(bound / problem.ticks),
        gap=None if missing or unsettled else ((cost - bound) / cost if cost else 0.0),
        missing=missing,
        rounds=sum(engine.rounds for engine in engines),
    )


def _finish(
    problem: Problem,
    parts: list[Part],
    engines: list[AnyEngine],
    homeless: Homeless,
    reason: str,
    history: list[Progress],
    hooks: Callbacks,
) -> Result:
    columns: list[Column] = []
    missing = [homeless.demands.get(d, 0) for d in range(len(problem.demands))]
    ways: dict[str, tuple[tuple[Arc, ...], ...]] = {}
    panels: dict[int, tuple[tuple[int, ...], ...]] = {}
    arcs = {choice.match: choice.arcs for choice in problem.choices}
    for engine, (part, stock, demands) in zip(engines, parts, strict=True):
        for found in engine.best.columns:
            counts = [0] * len(problem.demands)
            for d, count in zip(demands, found.counts, strict=True):
                counts[d] = count
            columns.append(replace(found, stock=stock[found.stock], counts=tuple(counts)))
        for d, count in zip(demands, engine.best.missing, strict=True):
            missing[d] = count
        if isinstance(engine, MixedEngine):
            for c, choice in enumerate(part.choices):
                own = arcs[choice.match]
                ways[choice.match] = tuple(tuple(own[a] for a in s) for s in engine.realised(c))
            for g, glue in enumerate(part.glues):
                panels[demands[glue.demand]] = tuple(
                    tuple(demands[kind] for kind in strips) for strips in engine.glued(g)
                )
    last = history[-1]
    result = Result(
        columns=tuple(sorted(columns, key=lambda c: c.stock)),
        missing=tuple(missing),
        cost=sum(engine.best.cost for engine in engines),
        bound=sum(min(engine.bound, engine.best.cost) for engine in engines),
        stopped_by=reason,
        seconds=last.seconds,
        work=last.work,
        history=tuple(history),
        ways=tuple(ways.get(c.match, ((),) * c.copies) for c in problem.choices),
        panels=tuple(panels.get(glue.demand, ()) for glue in problem.glues),
    )
    hooks.end(result)
    return result
