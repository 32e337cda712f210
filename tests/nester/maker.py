"""Tiny projects as a maker writes them, planned and checked in one go.

``board``, ``sheet``, ``part`` and ``shop`` give TOML text: what a test says, over stock and habits
in which nothing is lost (square ends, straight edges, no allowances), so that one rule at a time
shows.
"""

import json
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

from inventory.issue import Severity
from inventory.readers.stock import read_stock
from inventory.stock import Stock
from nester.layout import BlankUse, Layout, Node, OffcutUse
from nester.model import Project
from nester.plan import Plan, plan_json
from nester.planning import make_plan
from nester.readers.project import read_project
from nester.solve.stop import AnyOf, GapAtMost, Progress, Stop
from nester.verify import verify_text

MADE = "2026-11-25T10:00:00Z"
PLAIN_SHOP = {
    "blank_extra_length": 0,
    "blank_extra_width": 0,
    "shortest_milled": 0,
    "shortest_rip": 0,
}


@dataclass(frozen=True)
class Rounds:
    """Stop after so many rounds, whatever the clock says."""

    most: int

    def __call__(self, progress: Progress) -> str | None:
        return "work" if progress.rounds >= self.most else None


@dataclass(frozen=True)
class Complete:
    """Stop as soon as nothing is missing."""

    def __call__(self, progress: Progress) -> str | None:
        return None if progress.missing else "work"


SOON = AnyOf(Complete(), Rounds(6))
"""Enough to see whether parts fit."""

PROVEN = AnyOf(GapAtMost(0.0), Rounds(150))
"""Enough to prove a tiny plan the best."""


def _table(head: str, keys: dict[str, Any]) -> str:
    return head + "\n" + "".join(f"{key} = {_value(value)}\n" for key, value in keys.items())


def _value(value: Any) -> str:
    if isinstance(value, dict):
        inner = ", ".join(f'"{key}" = {_value(item)}' for key, item in value.items())
        return "{" + inner + "}"
    if isinstance(value, list | tuple):
        return "[" + ", ".join(map(_value, value)) + "]"
    return json.dumps(value, ensure_ascii=False)


def board(name: str = "M-1", **keys: Any) -> str:
    """Return a maple board as it stands in a stock file: 60 x 6 x 1, planed all round."""
    plain = {
        "id": name,
        "species": "maple",
        "length": "60",
        "width": "6",
        "thickness": "1",
        "surface": "S4S",
        "ends": "square",
        "edges": "straight",
        "price": 60,
        "per": "piece",
    }
    return _table("[[board]]", {**plain, **keys})


def sheet(name: str = "P-1", **keys: Any) -> str:
    """Return a sheet of plywood: 48 x 24 x 3/4."""
    plain = {
        "id": name,
        "material": "plywood",
        "length": "48",
        "width": "24",
        "thickness": "3/4",
        "price": 48,
    }
    return _table("[[sheet]]", {**plain, **keys})


def part(name: str = "rail", **keys: Any) -> str:
    """Return a part as it stands in a project: 20 x 3 x 3/4 of maple."""
    plain = {"name": name, "length": "20", "width": "3", "thickness": "3/4", "material": "maple"}
    return _table("[[part]]", {**plain, **keys})


def match(name: str = "case", **keys: Any) -> str:
    """Return a match as it stands in a project: a wrap, unless it says otherwise."""
    return _table("[[match]]", {"name": name, "how": "wrap", **keys})


def shop(**keys: Any) -> str:
    """Return a shop without allowances, changed by ``keys``."""
    return _table("[shop]", {**PLAIN_SHOP, **keys})


def read(stock: str, parts: str, shop: str, units: str = "in") -> tuple[Project, list[Stock]]:
    """Return what the readers make of the text of a stock file and of a project."""
    with TemporaryDirectory() as folder:
        project_file, stock_file = Path(folder, "project.toml"), Path(folder, "stock.toml")
        head = f'[project]\nname = "Tiny"\nunits = "{units}"\n'
        project_file.write_text(head + parts + shop, encoding="utf-8")
        stock_file.write_text(f'units = "{units}"\n' + stock, encoding="utf-8")
        project, issues = read_project(project_file)
        items, more = read_stock(stock_file)
    assert project is not None, [issue.message for issue in issues]
    faults = [issue.message for issue in more if issue.severity is Severity.ERROR]
    assert not faults, faults
    return project, items


def planned(
    stock: str, parts: str, habits: str | None = None, stop: Stop = SOON, units: str = "in"
) -> Plan:
    """Return the plan for a stock file and parts, after the checker has found nothing wrong."""
    project, items = read(stock, parts, shop() if habits is None else habits, units)
    return checked(project, items, stop)


def checked(project: Project, items: list[Stock], stop: Stop = SOON, **more: Any) -> Plan:
    """Return the plan that is made of records, after the checker has found nothing wrong."""
    plan = make_plan(project, items, stop=stop, made=MADE, **more)
    faults = verify_text(plan_json(plan))
    assert not faults, [fault.line() for fault in faults]
    return plan


def fits(
    stock: str, parts: str, habits: str | None = None, stop: Stop = SOON, units: str = "in"
) -> bool:
    """Whether all parts can be had; where they cannot, the plan must say so and why."""
    plan = planned(stock, parts, habits, stop, units)
    for missing in plan.missing:
        assert missing.count > 0
        assert missing.reason
    assert (plan.status.value == "short") == bool(plan.missing)
    return not plan.missing


def nodes(plan: Plan) -> Iterator[tuple[Layout, Node]]:
    """Yield every node of a plan with its layout."""

    def inside(node: Node) -> Iterator[Node]:
        yield node
        for piece in node.pieces:
            yield from inside(piece)

    for layout in plan.layouts:
        for node in inside(layout.tree):
            yield layout, node


def blanks(plan: Plan) -> list[tuple[Node, BlankUse]]:
    """Return the blanks of a plan."""
    return [(node, node.use) for _, node in nodes(plan) if isinstance(node.use, BlankUse)]


def offcuts(plan: Plan) -> list[tuple[Node, OffcutUse]]:
    """Return the offcuts of a plan."""
    return [(node, node.use) for _, node in nodes(plan) if isinstance(node.use, OffcutUse)]
