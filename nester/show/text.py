"""A whole plan as text, to read in a terminal or to keep beside the saw."""

from dataclasses import replace
from fractions import Fraction

from inventory.formatter import Formatter, money
from inventory.measure import area, board_feet, cubic_metres, yard_tally
from inventory.stock import Board, Stock
from nester.check.blank_table import blank_table
from nester.check.text import tally, wood
from nester.layout import Layout
from nester.model import Project
from nester.plan import Plan
from nester.readers.shop import units_of
from nester.show.cutouts import cutouts_text
from nester.show.cuts import cut_rows
from nester.show.matches import matches_text
from nester.show.panels import panel_texts
from nester.show.summary import headline, offcuts_of
from nester.table import safe, table

MORE = Fraction(135, 100)
"""Bought for one of blanks, with kerf, trims and flaws; common practice is 20 to 35 % more."""

CUT_HEAD = ["cut", "saw", "line", "saw side", "stop", "gives", "size"]
HOW_TO_READ = """\
A line is where the piece that is kept begins or ends, kerf apart; the saw runs on the side named.
The stop is the same line measured on the piece in hand, from its own end A or near edge."""


def plan_text(plan: Plan) -> str:
    """Return the outcome, the wood used, a cut list for each layout, offcuts, what is missing."""
    sizes = Formatter(units_of(plan.units), plan.shop.tape)
    blocks = [headline(plan), _yield(plan), _wood(plan, sizes)]
    blocks.append(HOW_TO_READ if plan.layouts else "")
    blocks += [
        _layout(layout, number, plan, sizes) for number, layout in enumerate(plan.layouts, 1)
    ]
    blocks += panel_texts(plan, sizes, CUT_HEAD)
    blocks += [
        _offcuts(plan, sizes),
        cutouts_text(plan),
        matches_text(plan),
        _missing(plan),
        _to_buy(plan, sizes),
    ]
    return "\n\n".join(block for block in blocks if block)


def _yield(plan: Plan) -> str:
    areas = plan.yields
    if not areas.stock:
        return ""
    shares = (
        (100 * getattr(areas, key) / areas.stock, word)
        for key, word in (
            ("parts", "blanks"),
            ("offcuts", "offcuts"),
            ("kerf", "kerf"),
            ("waste", "waste"),
        )
    )
    return "Of the wood cut into: " + ", ".join(f"{share:.0f} % {word}" for share, word in shares)


def _wood(plan: Plan, sizes: Formatter) -> str:
    """Return the wood used by material: pieces, true measure, the yard's tally, money."""
    groups: dict[tuple[bool, str], list[tuple[Stock, Fraction]]] = {}
    for layout in plan.layouts:
        item = plan.stock_by_id(layout.stock)
        board = isinstance(item, Board)
        groups.setdefault((not board, item.material), []).append((item, Fraction(layout.value)))
    lines = []
    for (sheet, material), items in sorted(groups.items()):
        boards = [replace(item, count=1) for item, _ in items if isinstance(item, Board)]
        worth = sum((value for _, value in items), Fraction(0))
        if sheet:
            spread = sum((area(item) for item, _ in items), Fraction(0))
            lines.append([material, str(len(items)), sizes.area(spread), "", money(worth)])
            continue
        feet = sum((board_feet(board) for board in boards), Fraction(0))
        volume = sum((cubic_metres(board) for board in boards), Fraction(0))
        billed = tally(sizes, yard_tally(boards))
        lines.append([material, str(len(items)), wood(sizes, feet, volume), billed, money(worth)])
    head = ["wood", "pieces", "measure", "yard tally", "worth"]
    if not any(line[3] for line in lines):
        head, lines = head[:3] + head[4:], [line[:3] + line[4:] for line in lines]
    return table(head, lines, right=[1, 2, 3, 4])


def _layout(layout: Layout, number: int, plan: Plan, sizes: Formatter) -> str:
    item = plan.stock_by_id(layout.stock)
    parts = {part.name: part for part in plan.parts}
    rows = cut_rows(layout, parts, sizes)
    lines = [[row.cut, row.saw, row.line, row.runs, row.stop, row.gives, row.size] for row in rows]
    copy = f" (piece {layout.copy} of {item.count})" if item.count > 1 else ""
    head = f"{number}. {safe(layout.stock)}{copy}: {_described(item, sizes)}"
    return f"{head}\n{table(CUT_HEAD, lines, right=[0, 4])}"


def _described(item: Stock, sizes: Formatter) -> str:
    if not isinstance(item, Board):
        size = f"{sizes.near(item.length)} × {sizes.near(item.width)}"
        return f"{safe(item.material)}, {size}, {sizes.near(item.thickness)} thick; sheet saw"
    width = sizes.near(item.width_a)
    if item.width_a != item.width_b:
        width += f" at end A, {sizes.near(item.width_b)} at end B"
    return (
        f"{safe(item.species)}, {sizes.near(item.length)} × {width}, "
        f"{sizes.near(item.thickness)} thick"
    )


def _offcuts(plan: Plan, sizes: Formatter) -> str:
    lines = [
        [
            offcut.id,
            offcut.stock,
            f"{sizes.near(offcut.length)} × {sizes.near(offcut.width)}",
            sizes.near(offcut.thickness),
            money(offcut.worth),
        ]
        for offcut in offcuts_of(plan)
    ]
    text = table(["offcut", "from", "size", "thick", "credit"], lines, right=[4])
    return f"Offcuts to keep\n{text}" if text else ""


def _missing(plan: Plan) -> str:
    lines = [f"{m.count} of {safe(m.part)}: {safe(m.reason, 400)}" for m in plan.missing]
    return "\n".join(["Missing", *lines]) if lines else ""


def _to_buy(plan: Plan, sizes: Formatter) -> str:
    """Return how much wood the missing blanks would take, by material and thickness."""
    lost = {missing.part: missing.count for missing in plan.missing}
    parts = tuple(
        replace(part, count=lost[part.name], spare=0) for part in plan.parts if part.name in lost
    )
    project = Project(plan.project, plan.units, plan.shop, parts)
    solid: dict[tuple[str, int], tuple[Fraction, Fraction]] = {}
    areas: dict[tuple[str, int], int] = {}
    for row in blank_table(project, plan.stock) if parts else ():
        named = " or ".join(row.part.materials)
        if row.board_feet is not None and row.volume is not None and row.bought is not None:
            feet, volume = solid.get((named, row.bought), (Fraction(0), Fraction(0)))
            solid[named, row.bought] = feet + row.board_feet, volume + row.volume
        elif row.area is not None:
            sheet = (named, row.part.thickness)
            areas[sheet] = areas.get(sheet, 0) + row.area
    lines = [
        f"{safe(named)} sold as {sizes.sold(thick)}: {wood(sizes, feet * MORE, volume * MORE)} "
        f"({wood(sizes, feet, volume)} in the blanks, the rest for kerf, trims and flaws)"
        for (named, thick), (feet, volume) in solid.items()
    ]
    lines += [
        f"{safe(named)} {sizes.near(thick)} thick: sheets for {sizes.area(need)} of blanks"
        for (named, thick), need in areas.items()
    ]
    return "\n".join(["To buy for what is missing, about", *lines]) if lines else ""
