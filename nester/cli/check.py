"""``nester check``: all that can be said of a project without planning it."""

from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from nester.cli.common import (
    Refusal,
    counted,
    errors_in,
    in_reading_order,
    json_option,
    print_issues,
    print_json,
    quiet_option,
    rack_option,
    shop_option,
    shop_profile,
    stock_option,
)

if TYPE_CHECKING:
    from inventory.issue import Issue
    from nester.check.report import Report
    from nester.cli.sources import StockSource
    from nester.model import Project


@click.command(short_help="Read a project and report all that matters.")
@click.argument("project_path", metavar="PROJECT", type=click.Path(readable=False, path_type=Path))
@stock_option
@rack_option
@shop_option
@json_option
@quiet_option
def check(
    project_path: Path,
    stock_file: Path | None,
    rack: Path | None,
    shop_file: Path | None,
    as_json: bool,
    quiet: bool,
) -> None:
    """Read a project and report all that matters before planning it.

    Names every fault with its file and line, prints the size of every blank, how long a part each
    board can give flat, how much wood is needed and held, and what wants care at the machines.
    Nothing is planned and nothing written. Ends with 1 where there are faults.

    \b
    Example:
      nester check project.toml --stock stock.toml
    """
    from nester.check.cautions import DEFER
    from nester.check.report import check_project
    from nester.cli.sources import stock_from
    from nester.readers.project import read_with_faults

    reading = read_with_faults(project_path, shop_profile(shop_file))
    source = stock_from(stock_file, rack)
    issues = list(reading.issues) + (source.issues if source else [])
    report = None
    if reading.project is not None and reading.project.parts:
        held = None if source is None else source.stock
        whole = source is None or not errors_in(source.issues)
        report = check_project(reading.project, held, reading.places, whole=whole)
        issues += report.issues
    issues = _without_repeats(issues)
    print_issues(issues)
    if as_json:
        print_json(_as_json(reading.project, report, issues))
    elif not quiet and reading.project is not None and report is not None:
        click.echo(_report(reading.project, report, source))
        if len(errors_in(issues)) < len(issues):
            click.echo(f"\n{DEFER}")
    faults = len(errors_in(issues))
    if faults:
        raise Refusal(f"{counted(faults, 'fault')} in what was read")


def _report(project: "Project", report: "Report", source: "StockSource | None") -> str:
    """Return the report as text, held against the stock where there is any to trust."""
    from nester.check.text import report_text

    if source is None:
        return report_text(project, report, None)
    if errors_in(source.issues):
        return report_text(project, report, None, f'"{source.name}" has faults')
    return report_text(project, report, source.name)


def _as_json(
    project: "Project | None", report: "Report | None", issues: "list[Issue]"
) -> dict[str, Any]:
    from nester.check.text import report_document

    document = report_document(project, report) if project and report else {}
    return {**document, "issues": [issue.as_dict() for issue in in_reading_order(issues)]}


def _without_repeats(issues: "list[Issue]") -> "list[Issue]":
    """Return the issues, each once; a file and the rack may both warn of one sheet."""
    seen = set()
    kept = []
    for issue in issues:
        if issue.line() not in seen:
            seen.add(issue.line())
            kept.append(issue)
    return kept
