"""Blanks of several parts, as text and as plain data: the tables of glue-ups and of matches."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from inventory.formatter import Formatter
from inventory.length import Length
from nester.plan.write import mm
from nester.table import table

RESAWN = "resawn in two"
"""The way of a match that is had as two leaves of one thick blank."""


@dataclass(frozen=True, slots=True)
class RunRow:
    """One way to have a whole match in one blank, and the longest piece of stock that may give it.

    ``length`` lies along the stock. ``best`` is None where none may; ``nearest`` is then the
    longest of the wood. ``room`` is the length and width of either between its trims, ``many`` how
    many pieces of stock may give the blank.
    """

    match: str
    way: str
    length: Length
    width: Length
    best: str | None
    nearest: str | None
    room: tuple[Length, Length]
    many: int


@dataclass(frozen=True, slots=True)
class GlueRow:
    """A panel: its size, how wide its strips may be, and how few of the widest make it up.

    ``widest`` is the widest strip that a board at hand gives, ``board`` that board; both None where
    no board gives any. ``strips`` is None where those that there are do not make the width;
    ``made`` is then what the widest ``most`` of them come to, else what ``strips`` of them do.
    """

    panel: str
    length: Length
    width: Length
    limits: tuple[Length, Length]
    widest: Length | None
    board: str | None
    strips: int | None
    made: Length
    most: int


def panels_text(rows: Sequence[GlueRow], sizes: Formatter) -> str:
    """Return the table of panels that may be glued up; empty where there are none."""
    head = ["glued up", "panel", "strips may be", "widest at hand", "fewest strips"]
    lines = [
        [
            row.panel,
            f"{sizes.near(row.length)} × {sizes.near(row.width)}",
            f"{sizes.near(row.limits[0])} to {sizes.near(row.limits[1])}",
            "none" if row.widest is None else f"{sizes.near(row.widest)} on {row.board}",
            _fewest(row, sizes),
        ]
        for row in rows
    ]
    text = table(head, lines)
    return (
        f"Strips for each panel, from all the boards at hand, flaws apart\n{text}" if text else ""
    )


def _fewest(row: GlueRow, sizes: Formatter) -> str:
    if row.strips is not None:
        return str(row.strips)
    if not row.most:
        return "no board gives one"
    come = "comes" if row.most == 1 else "come"
    return f"too few: {row.most} {come} to {sizes.near(row.made)}"


def runs_text(rows: Sequence[RunRow], sizes: Formatter) -> str:
    """Return the table of blanks that matches need in one piece; empty where there are none."""
    head = ["match", "in one blank", "blank", "longest that may give it", "pieces"]
    lines = [
        [
            row.match,
            row.way,
            f"{sizes.near(row.length)} × {sizes.near(row.width)}",
            _longest(row, sizes),
            str(row.many),
        ]
        for row in rows
    ]
    text = table(head, lines, right=[4])
    note = "Whole matches, each in one blank, flaws apart (boards without their trims)"
    return f"{note}\n{text}" if text else ""


def _longest(row: RunRow, sizes: Formatter) -> str:
    if row.best is not None:
        return f"{row.best}, {sizes.length(row.room[0])}"
    long, wide = (sizes.length(max(side, 0)) for side in row.room)
    return f"none; the longest is {row.nearest}, {long} × {wide}"


def panel_entry(row: GlueRow) -> dict[str, Any]:
    """Return a panel as plain data, lengths in millimetres."""
    return {
        "panel": row.panel,
        "length": mm_of(row.length),
        "width": mm_of(row.width),
        "strip_limits": [mm_of(limit) for limit in row.limits],
        "widest_strip": mm_of(row.widest),
        "from": row.board,
        "fewest_strips": row.strips,
    }


def run_entry(row: RunRow) -> dict[str, Any]:
    """Return the blank of a match as plain data, lengths in millimetres."""
    return {
        "match": row.match,
        "in_one_blank": row.way,
        "length": mm_of(row.length),
        "width": mm_of(row.width),
        "longest": row.best,
        "longest_of_the_wood": row.best or row.nearest,
        "room": [mm_of(side) for side in row.room],
        "pieces": row.many,
    }


def mm_of(value: Length | None) -> int | float | None:
    """Return a length in millimetres as a plan has it; None where there is none."""
    return None if value is None else mm(value)
