"""All that is said of a project before planning, put together."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from inventory.formatter import Formatter
from inventory.issue import Issue, Source
from inventory.stock import Stock
from nester.check.blank_table import BlankRow, blank_table
from nester.check.cautions import cautions
from nester.check.composites import GlueRow, RunRow
from nester.check.flat_table import FlatTable, flat_tables
from nester.check.impossible import cannot_work
from nester.check.need import NeedRow, need_table
from nester.model import Project
from nester.readers.not_planned import not_planned_yet
from nester.readers.shop import units_of
from nester.readers.stock_ids import check_against_stock

if TYPE_CHECKING:
    from nester.check.lesser import Lesser


@dataclass(frozen=True, slots=True)
class Report:
    """The tables of a project, and its issues beyond those of its file."""

    blanks: tuple[BlankRow, ...]
    flat: tuple[FlatTable, ...]
    needs: tuple[NeedRow, ...]
    issues: tuple[Issue, ...]
    panels: tuple[GlueRow, ...] = ()
    runs: tuple[RunRow, ...] = ()
    lesser: "tuple[Lesser, ...]" = ()


def formatter_of(project: Project) -> Formatter:
    """Return how the lengths of a project are printed."""
    return Formatter(units_of(project.units), project.shop.tape)


def check_project(
    project: Project,
    stock: Sequence[Stock] | None,
    places: Mapping[tuple[str, str], Source] | None = None,
    *,
    whole: bool = True,
) -> Report:
    """Return what can be said of ``project`` beside ``stock``; None where there is no stock to see.

    Where the stock is not ``whole``, because its file has faults, nothing is said to be wanting.
    ``places`` gives the line of a part's key (``nester.readers.project.Reading``).
    """
    sizes = formatter_of(project)
    held = stock or ()
    rows = blank_table(project, held)
    issues = not_planned_yet(project, places)
    if stock is not None and whole:
        issues += check_against_stock(project, stock, places)
        nowhere = _from_nowhere(project, stock)
        issues += [i for i in cannot_work(project, stock, sizes) if i.subject not in nowhere]
    issues += cautions(project, rows, held, sizes)
    runs = _runs(project, held)
    return Report(
        blanks=tuple(rows),
        flat=tuple(flat_tables(project, held)),
        needs=tuple(need_table(rows, held)),
        issues=tuple(issues),
        panels=_panels(project, held),
        runs=runs,
        lesser=_lesser(project, held, runs),
    )


def _panels(project: Project, stock: Sequence[Stock]) -> tuple[GlueRow, ...]:
    if all(part.glue_up is None for part in project.parts):
        return ()
    # Loaded for projects that have glue-ups only: it brings in more than a check needs else.
    from nester.check.glued import glue_table

    return tuple(glue_table(project, stock))


def _runs(project: Project, stock: Sequence[Stock]) -> tuple[RunRow, ...]:
    if not project.matches:
        return ()
    from nester.check.runs import run_table

    return tuple(run_table(project, stock))


def _lesser(
    project: Project, stock: Sequence[Stock], runs: Sequence[RunRow]
) -> "tuple[Lesser, ...]":
    if all(row.best is not None for row in runs):
        return ()
    from nester.check.lesser import lesser_runs

    return tuple(lesser_runs(project, stock, runs))


def _from_nowhere(project: Project, stock: Sequence[Stock]) -> set[str]:
    """Return the parts wanted only from stock that is not there, which is told by its ids."""
    there = {item.id for item in stock}
    return {p.name for p in project.parts if p.from_stock and there.isdisjoint(p.from_stock)}
