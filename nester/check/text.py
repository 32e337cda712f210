"""The report of a project as text, and as plain data."""

from collections.abc import Sequence
from fractions import Fraction
from typing import Any

from inventory.formatter import Formatter, board_feet, money
from inventory.length import FOOT, MM, Length
from nester.check.blank_table import BlankRow
from nester.check.composites import mm_of, panel_entry, panels_text, run_entry, runs_text
from nester.check.flat_table import Asked, FlatTable
from nester.check.need import NeedRow
from nester.check.report import Report, formatter_of
from nester.model import Project
from nester.reasons.unfit import ON_S4S
from nester.table import safe, table

NO_STOCK = "No rack yet and no stock file given"


def report_text(
    project: Project, report: Report, stock_name: str | None, why_none: str = NO_STOCK
) -> str:
    """Return the report; ``stock_name`` is the file or rack it was held against.

    None where there is nothing to hold it against, for the reason ``why_none``.
    """
    sizes = formatter_of(project)
    parts, copies = len(project.parts), sum(part.copies for part in project.parts)
    counts = f"{parts:,} part{'s' * (parts != 1)}, {copies:,} blank{'s' * (copies != 1)}"
    system = "inches" if sizes.units == "in" else "millimetres"
    head = f"{safe(project.name)}: {counts}; sizes in {system}"
    blocks = [head, _blanks(report.blanks, sizes)]
    blocks += [_flat(one, sizes) for one in report.flat]
    blocks += [panels_text(report.panels, sizes), _matches(report, sizes)]
    blocks.append(_needs(report.needs, stock_name, why_none, sizes))
    return "\n\n".join(block for block in blocks if block)


def report_document(project: Project, report: Report) -> dict[str, Any]:
    """Return the report as plain data, lengths in millimetres."""
    return {
        "project": project.name,
        "units": project.units.value,
        "blanks": [_blank_entry(row) for row in report.blanks],
        "flat": [
            {
                "material": one.material,
                "thickness": [mm_of(asked.thickness) for asked in one.asked],
                "plane_off": [mm_of(asked.plane_off) for asked in one.asked],
                "pulled_flat": [asked.pulled_flat for asked in one.asked],
                "boards": [
                    {"id": row.board.id, "longest": [mm_of(length) for length in row.longest]}
                    for row in one.rows
                ],
            }
            for one in report.flat
        ],
        "panels": [panel_entry(row) for row in report.panels],
        "runs": [run_entry(row) for row in report.runs],
        "lesser_runs": _lesser(report),
        "needs": [
            {
                "kind": row.kind,
                "material": list(row.materials),
                "measure": "board feet" if row.kind == "boards" else "square feet",
                "needed": _number(row.needed),
                "held": _number(row.held),
                "cubic_metres_needed": _maybe(row.volume_needed),
                "cubic_metres_held": _maybe(row.volume_held),
                "yard_tally": _maybe(row.tally),
                "value": _number(row.value),
            }
            for row in report.needs
        ],
    }


def _matches(report: Report, sizes: Formatter) -> str:
    """Return the table of whole matches, and under it what is next where one is not had."""
    text = runs_text(report.runs, sizes)
    if not report.lesser:
        return text
    from nester.check.lesser import lesser_text  # with what it needs, for such matches only

    return f"{text}\n{lesser_text(report.lesser, sizes)}"


def _lesser(report: Report) -> list[dict[str, Any]]:
    if not report.lesser:
        return []
    from nester.check.lesser import lesser_entry

    return [lesser_entry(one) for one in report.lesser]


def _blanks(rows: Sequence[BlankRow], sizes: Formatter) -> str:
    lines = []
    for row in rows:
        part = row.part
        lines.append(
            [
                part.name,
                str(part.copies),
                _sized(sizes, part.length, part.width, part.thickness),
                _on_board(row, sizes),
                _sized(sizes, *row.sheet) if row.sheet else "",
                _bought(row, sizes),
            ]
        )
    head = ["part", "copies", "finished", "blank on a board", "blank on a sheet", "wood"]
    return table(head, _used(head, lines), right=[1])


def _on_board(row: BlankRow, sizes: Formatter) -> str:
    """Return the blank on a board; what is otherwise on S4S stands beside it, or alone."""
    found = []
    if row.board is not None and row.board != row.dressed:
        found.append(_sized(sizes, row.board.length, row.board.width))
    if row.dressed is not None:
        found.append(f"{_sized(sizes, row.dressed.length, row.dressed.width)} {ON_S4S}")
    return ", ".join(found)


def _used(head: list[str], lines: list[list[str]]) -> list[list[str]]:
    """Drop the columns with a head that hold nothing, from the head too."""
    empty = [i for i, name in enumerate(head) if name and not any(line[i] for line in lines)]
    for i in reversed(empty):
        del head[i]
        for line in lines:
            del line[i]
    return lines


def _bought(row: BlankRow, sizes: Formatter) -> str:
    found = []
    if row.board_feet is not None and row.volume is not None and row.bought is not None:
        bulk = wood(sizes, row.board_feet, row.volume)
        found.append(f"{bulk} of {sizes.sold(row.bought)}")
    if row.area is not None:
        found.append(sizes.area(row.area))
    return " or ".join(found)


def _flat(flat: FlatTable, sizes: Formatter) -> str:
    head = ["board", "size", *(_asked(asked, sizes) for asked in flat.asked)]
    lines = []
    for row in flat.rows:
        board = row.board
        cells = [
            "too thick" if length is None else sizes.length(length) if length else "too thin"
            for length in row.longest
        ]
        lines.append([board.id, _sized(sizes, board.length, board.width, board.thickness), *cells])
    widths = ", ".join(
        f"{sizes.length(asked.width)} for {_asked(asked, sizes)}" for asked in flat.asked
    )
    right = range(2, len(head))
    return (
        f"Longest flat {safe(flat.material)} part that each board can give, flaws apart\n"
        f"(reckoned at the narrowest blank: {widths})\n{table(head, lines, right=right)}"
    )


def _asked(asked: Asked, sizes: Formatter) -> str:
    """Return a thickness asked for, and how its parts are milled where that is their own way."""
    text = f"{sizes.length(asked.thickness)} thick"
    if asked.plane_off is not None:
        text += f", {sizes.length(asked.plane_off)} planed off"
    return f"{text}, pulled flat" if asked.pulled_flat else text


def _needs(rows: Sequence[NeedRow], stock_name: str | None, why_none: str, sizes: Formatter) -> str:
    if not rows:
        return ""
    head = ["material", "", "in the blanks"]
    lines = [
        [" or ".join(row.materials), row.kind, _measure(row.needed, row.volume_needed, sizes)]
        for row in rows
    ]
    if stock_name is not None:
        head += ["in the stock", "yard tally", "worth"]
        for row, line in zip(rows, lines, strict=True):
            held = _measure(row.held, row.volume_held, sizes)
            line += [held, tally(sizes, row.tally), money(row.value)]
    if stock_name is None:
        note = f"{why_none}, so this is held against nothing."
    else:
        note = (
            f"Held against {safe(stock_name, 200)}. Blanks are net of saw kerf, trims and flaws: a "
            "third more wood, or half as much again, is usual."
        )
    lines = _used(head, lines)
    return f"{table(head, lines, right=range(2, len(head)))}\n{note}"


def _measure(value: Fraction, volume: Fraction | None, sizes: Formatter) -> str:
    """Return board feet or a volume of boards, or the area of sheets [square feet]."""
    if volume is not None:
        return wood(sizes, value, volume)
    return sizes.area(value * FOOT * FOOT)


def wood(sizes: Formatter, feet: Fraction, volume: Fraction) -> str:
    """Return how much solid wood there is, as it is bought where ``sizes`` are printed."""
    return board_feet(feet) if sizes.units == "in" else f"{float(volume):.4f} m³"


def tally(sizes: Formatter, feet: Fraction | None) -> str:
    """Return a yard's tally; empty for sheets, and where wood is sold by the cubic metre."""
    if feet is None or sizes.units == "mm":
        return ""
    return f"{round(float(feet), 2):g} bd ft"


def _sized(sizes: Formatter, *values: Length) -> str:
    return " × ".join(sizes.near(value) for value in values)


def _blank_entry(row: BlankRow) -> dict[str, Any]:
    part, board, sheet = row.part, row.board, row.sheet
    return {
        "part": part.name,
        "copies": part.copies,
        "finished": [mm_of(part.length), mm_of(part.width), mm_of(part.thickness)],
        "board": None if board is None else [mm_of(board.length), mm_of(board.width)],
        "sheet": None if sheet is None else [mm_of(value) for value in sheet],
        "board_feet": _maybe(row.board_feet),
        "cubic_metres": _maybe(row.volume),
        "square_metres": None
        if row.area is None
        else _number(Fraction(row.area, (1000 * MM) ** 2), 6),
    }


def _maybe(value: Fraction | None) -> int | float | None:
    return None if value is None else _number(value, 6)


def _number(value: Fraction, places: int = 3) -> int | float:
    rounded = round(value, places)
    return int(rounded) if rounded.denominator == 1 else float(rounded)
