"""The command of the benchmark; see ``tests/bench/__init__.py``."""

import argparse
import os
import random
import sys
import time
from collections.abc import Sequence
from pathlib import Path

import tests.bench
from tests.bench import report, results
from tests.bench.records import BenchSet, Instance, Limits, Outcome
from tests.bench.run import attempted, complaints
from tests.bench.sets import (
    bins,
    demo,
    fewest,
    furniture,
    kerf,
    kernel,
    lumber,
    matched,
    onedim,
    peers,
    real,
    variable,
)
from tests.bench.warm import warm_up

FILES = (
    demo,
    lumber,
    real,
    matched,
    furniture,
    fewest,
    kerf,
    bins,
    variable,
    onedim,
    kernel,
    peers,
)
SETS: tuple[BenchSet, ...] = tuple(bench for file in FILES for bench in file.SETS)


def main(arguments: Sequence[str] | None = None) -> int:
    """Run the sets that are asked for; return 1 where something in them cannot be right."""
    given = list(sys.argv[1:] if arguments is None else arguments)
    parser = _parser()
    options = parser.parse_args(given)
    if options.list:
        for bench in SETS:
            print(f"{bench.name:<18} {bench.title}")
        return 0
    chosen = _chosen(options.sets, parser)
    data = _data(options.data)
    if any(bench.needs_data for bench in chosen) and not data.is_dir():
        parser.error(f'there is no folder "{data}"; say where the published data is: --data PATH')
    warm_up(options.workers)
    ran: list[results.Ran] = []
    stopped = False
    try:
        for bench in chosen:
            one = _run(bench, data, options)
            if one is not None:
                ran.append(one)
                _write(options.out, ran, given)
    except KeyboardInterrupt:
        stopped = True
        print("\nstopped; the set that was running is not counted", file=sys.stderr)
    failed = [said for one in ran for found in one.outcomes for said in complaints(found)]
    _close(ran, failed)
    return 1 if failed else 130 if stopped else 0


def _parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(prog="python -m tests.bench", description=tests.bench.__doc__)
    parser.formatter_class = argparse.RawDescriptionHelpFormatter
    parser.add_argument("sets", nargs="*", metavar="SET", help="sets to run; none named: all")
    parser.add_argument("--data", type=Path, help="the folder of published instances")
    parser.add_argument("--seconds", type=_positive, help="for each plan, whatever the set says")
    parser.add_argument("--sample", type=int, metavar="N", help="a fixed sample of N from each set")
    parser.add_argument("--seed", type=int, default=1, help="which sample (default 1)")
    parser.add_argument("--workers", type=int, default=2, help="threads of the solver (default 2)")
    parser.add_argument("--only", metavar="TEXT", help="instances with TEXT in name or group")
    parser.add_argument("--out", type=Path, metavar="FILE", help="Markdown file to renew")
    parser.add_argument("--list", action="store_true", help="name the sets and stop")
    return parser


def _positive(text: str) -> float:
    seconds = float(text)
    if seconds <= 0:
        raise argparse.ArgumentTypeError(f'"{text}" is not more than 0')
    return seconds


def _chosen(names: Sequence[str], parser: argparse.ArgumentParser) -> list[BenchSet]:
    if not names:
        return list(SETS)
    known = {bench.name for bench in SETS} | {name for b in SETS for name in b.families}
    for name in names:
        if name not in known:
            parser.error(f'there is no set "{name}"; there are {", ".join(sorted(known))}')
    return [b for b in SETS if b.name in names or any(name in names for name in b.families)]


def _data(given: Path | None) -> Path:
    if given is not None:
        return given
    named = os.environ.get("NESTER_BENCHMARKS")
    checkout = Path(__file__).resolve().parents[2]
    return Path(named) if named else checkout.parent / "shared" / "benchmarks"


def sample(bench: str, instances: list[Instance], count: int, seed: int) -> list[Instance]:
    """Return ``count`` of the instances in their order, always the same for a set and a seed."""
    if count >= len(instances):
        return instances
    places = random.Random(f"{bench} {seed}").sample(range(len(instances)), count)
    return [instances[i] for i in sorted(places)]


def _run(bench: BenchSet, data: Path, options: argparse.Namespace) -> results.Ran | None:
    print(f"\n{bench.name}: {bench.title}")
    reason = bench.unready()
    if reason is not None:
        print(f"  skipped: {reason}")
        return None
    instances = bench.instances(data)
    if options.only:
        instances = [i for i in instances if options.only in i.name or options.only in i.group]
    if options.sample is not None:
        instances = sample(bench.name, instances, options.sample, options.seed)
    if not instances:
        print("  no such instance")
        return None
    print(report.heading())
    begun = time.monotonic()
    outcomes: list[Outcome] = []
    for instance in instances:
        limits = Limits(options.seconds or instance.seconds, options.workers)
        found = attempted(instance, limits)
        outcomes.append(found)
        print(report.line(found), flush=True)
        for said in complaints(found):
            print(f"  FAULT {said}", flush=True)
    measures = bench.measures(outcomes)
    for measure in measures:
        print(report.measure_line(measure))
    return results.Ran(bench, outcomes, measures, time.monotonic() - begun)


def _write(path: Path | None, ran: Sequence[results.Ran], given: Sequence[str]) -> None:
    if path is None:
        return
    order = [bench.name for bench in SETS]
    results.write(path, results.renewed(path, ran, order, results.command_line(given)))


def _close(ran: Sequence[results.Ran], failed: Sequence[str]) -> None:
    print("\nSummary")
    for one in ran:
        for measure in one.measures:
            if measure.goal:
                print(f"  {one.bench.name} -{report.measure_line(measure)[1:]}")
    if failed:
        print(f"\nFailed: {len(failed)}")
        for said in failed:
            print(f"  {said}")


if __name__ == "__main__":
    sys.exit(main())
