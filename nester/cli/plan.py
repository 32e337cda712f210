"""``nester plan``: from projects and stock to a plan that was checked before it is written."""

import math
import os
from collections.abc import Sequence
from datetime import UTC, datetime
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from nester.cli.common import (
    Exit,
    Refusal,
    counted,
    errors_in,
    json_option,
    print_issues,
    print_json,
    quiet_option,
    rack_option,
    shop_option,
    shop_profile,
    stock_option,
    tell,
)

if TYPE_CHECKING:
    from inventory.issue import Issue
    from inventory.stock import Stock
    from nester.model import Project
    from nester.plan import Plan
    from nester.solve.stop import Stop

    _Number = click.ParamType[float]
else:
    _Number = click.ParamType

GAP = 0.01
SECONDS = 20.0
MOST_WORKERS = 64


class Amount(_Number):
    """A number from 0 to ``most``, infinite only where there is no most; never NaN."""

    name = "number"

    def __init__(self, most: float = math.inf) -> None:
        self.most = most

    def convert(
        self, value: Any, param: click.Parameter | None, ctx: click.Context | None
    ) -> float:
        """Return the number, or fail with what would be accepted."""
        try:
            number = float(value)
        except (TypeError, ValueError):
            number = math.nan
        if not 0 <= number <= self.most:
            upto = "" if self.most == math.inf else f" to {self.most:g}"
            self.fail(f'"{value}" is not a number from 0{upto}', param, ctx)
        return number


@click.command(short_help="Plan which board or sheet gives which part.")
@click.argument(
    "project_paths",
    metavar="PROJECT...",
    nargs=-1,
    required=True,
    type=click.Path(readable=False, path_type=Path),
)
@click.option(
    "-o",
    "--output",
    metavar="PLAN.json",
    type=click.Path(readable=False, path_type=Path),
    default=Path("plan.json"),
    show_default=True,
    help="Where to write the plan.",
)
@stock_option
@rack_option
@shop_option
@click.option(
    "--gap",
    type=Amount(1),
    default=GAP,
    show_default=True,
    help="Stop once it is proven that at most this share of the plan's cost might be saved.",
)
@click.option(
    "--seconds",
    type=Amount(),
    default=None,
    help=f"Stop after so many seconds.  [default: {SECONDS:g}; none with --work]",
)
@click.option(
    "--work",
    type=click.IntRange(min=1),
    default=None,
    help="Stop after so much solver work; the plan is then the same on any machine.",
)
@click.option("--seed", type=click.IntRange(min=0), default=0, show_default=True, help="Seed.")
@click.option(
    "--workers",
    type=click.IntRange(1, MOST_WORKERS),
    default=None,
    help="Threads to plan with; the plan does not depend on it.  [default: one a core]",
)
@json_option
@quiet_option
def plan(
    project_paths: tuple[Path, ...],
    output: Path,
    stock_file: Path | None,
    rack: Path | None,
    shop_file: Path | None,
    gap: float,
    seconds: float | None,
    work: int | None,
    seed: int,
    workers: int | None,
    as_json: bool,
    quiet: bool,
) -> None:
    """Plan which board or sheet gives which part, and prove how good the plan is.

    Several projects are planned as one, from one stock. The plan is derived again by the checker
    before it is written. Ctrl-C ends the search and writes the best plan so far. Ends with 3 where
    parts are missing.

    \b
    Examples:
      nester plan project.toml
      nester plan bench.toml stool.toml --stock stock.toml -o plan.json --seconds 60
    """
    from nester.cli.output import check_writable

    check_writable(output)
    _spare_the_inputs(output, [*project_paths, *(p for p in (stock_file, rack) if p is not None)])
    project, stock = read_inputs(project_paths, stock_file, rack, shop_profile(shop_file))
    made = plan_and_write(
        project,
        stock,
        output,
        stop_rule(gap, seconds, work),
        seed=seed,
        workers=workers,
        quiet=quiet,
        project_paths=project_paths,
    )
    _tell_the_end(made, output, as_json, quiet)
    if made.missing:
        raise click.exceptions.Exit(Exit.SHORT)


def plan_and_write(
    project: "Project",
    stock: "Sequence[Stock]",
    output: Path,
    stop: "Stop",
    *,
    seed: int = 0,
    workers: int | None = None,
    quiet: bool = False,
    project_paths: Sequence[Path] = (),
) -> "Plan":
    """Plan, check the plan, write it, and return it; progress goes to a terminal.

    Raises
    ------
    Refusal
        Where the plan does not hold or cannot be written.
    """
    from nester.cli.output import write_text
    from nester.cli.progress import watcher
    from nester.plan import plan_json
    from nester.planning import make_plan

    watch = watcher(quiet)
    with watch.watching():
        made = make_plan(
            project,
            stock,
            stop=stop,
            seed=seed,
            workers=workers or min(os.cpu_count() or 1, MOST_WORKERS),
            callbacks=watch,
            made=datetime.now(UTC).strftime("%Y-%m-%dT%H:%M:%SZ"),
        )
    text = plan_json(made)
    refuse_unless_it_holds(text, project_paths)
    try:
        write_text(output, text)
    except Refusal as refused:
        raise Refusal(_kept(text, str(refused))) from refused
    return made


def read_inputs(
    project_paths: Sequence[Path],
    stock_file: Path | None,
    rack: Path | None,
    profile: Path | None,
) -> "tuple[Project, list[Stock]]":
    """Return the projects as one and the stock to plan from, all cautions printed.

    Raises
    ------
    Refusal
        Where anything keeps them from being planned; all of it has been printed.
    """
    from nester.cli.sources import stock_from
    from nester.readers.merge import merge_projects
    from nester.readers.not_planned import not_planned_yet
    from nester.readers.project import read_with_faults
    from nester.readers.stock_ids import check_against_stock

    readings = [read_with_faults(path, profile) for path in project_paths]
    source = stock_from(stock_file, rack)
    issues: list[Issue] = [issue for reading in readings for issue in reading.issues]
    issues += source.issues if source is not None else []
    for reading in readings:
        if reading.project is not None:
            issues += not_planned_yet(reading.project, reading.places)
            if source is not None and not errors_in(source.issues):
                issues += check_against_stock(reading.project, source.stock, reading.places)
    project = None
    if not errors_in(issues):
        project, more = merge_projects([r.project for r in readings if r.project is not None])
        issues += more
    issues = list(dict.fromkeys(issues))
    print_issues(issues)
    faults = len(errors_in(issues))
    if faults or project is None:
        raise Refusal(f"{counted(faults, 'fault')}; nothing was planned")
    if source is None:
        raise Refusal(
            "there is no rack yet: load stock with nester stock load FILE, or name a stock file "
            "with --stock FILE"
        )
    if not source.stock:
        raise Refusal(f'there is no stock in "{source.name}" to plan from')
    return project, source.stock


def stop_rule(gap: float, seconds: float | None, work: int | None) -> "Stop":
    """Return when to stop: at the gap, and after the seconds or the work that were given.

    The clock has its usual limit only where no amount of work is given, since the clock would
    make the plan depend on the machine.
    """
    from nester.solve.stop import AnyOf, GapAtMost, Seconds, Work

    rules: list[Stop] = [GapAtMost(gap)]
    if work is not None:
        rules.append(Work(work))
    if seconds is not None or work is None:
        rules.append(Seconds(SECONDS if seconds is None else seconds))
    return AnyOf(*rules)


def refuse_unless_it_holds(text: str, project_paths: Sequence[Path]) -> None:
    """Check a plan before it is written, by code that shares nothing with the solver.

    Raises
    ------
    Refusal
        Where the plan does not hold: the program's own fault. The case is saved to be looked into.
    """
    from nester.verify import verify_text

    faults = [fault.line() for fault in verify_text(text)]
    if not faults:
        return
    for line in faults:
        click.echo(line, err=True)
    path = _save_case(text, faults, project_paths)
    kept = f'the case is saved as "{path}"' if path else "the case could not be saved"
    raise Refusal(
        f"the plan breaks {counted(len(faults), 'rule')}, so it was not written; this is a fault "
        f"of the program, not of your files; {kept}"
    )


def _kept(text: str, why: str) -> str:
    """Keep a plan that could not be written where it should; return ``why``, and where it is."""
    from nester.cli.crash import save

    path = save(f"plan-{datetime.now(UTC):%Y%m%d-%H%M%S}-{os.getpid()}.json", text)
    if path is None:
        return why
    return f'{why.removesuffix("; nothing was written")}; the plan is kept as "{path}"'


def _save_case(text: str, faults: Sequence[str], project_paths: Sequence[Path]) -> Path | None:
    import json

    from nester.cli.crash import save

    case = {
        "faults": list(faults),
        "projects": [str(path) for path in project_paths],
        "plan": json.loads(text),
    }
    name = f"case-{datetime.now(UTC):%Y%m%d-%H%M%S}-{os.getpid()}.json"
    return save(name, json.dumps(case, ensure_ascii=False, indent=1))


def _spare_the_inputs(output: Path, inputs: Sequence[Path]) -> None:
    for path in inputs:
        if output.exists() and path.exists() and output.samefile(path):
            raise Refusal(f'"{output}" is read for this plan, so the plan is not written over it')


def _tell_the_end(made: "Plan", output: Path, as_json: bool, quiet: bool) -> None:
    from nester.show import headline, loose_lines, summary

    if made.stopped_by == "interrupted":
        tell("interrupted; this is the best plan found until then")
    for missing in made.missing:
        tell(f'missing: {missing.count} of "{missing.part}": {missing.reason}')
    for caution in loose_lines(made):
        tell(f"caution: {caution}")
    if as_json:
        print_json({**summary(made), "file": str(output)})
    elif not quiet:
        click.echo(headline(made))
        click.echo(f'written to "{output}"; see it with nester show, draw it with nester draw')
