"""Tables of a run, in the terminal and in Markdown."""

from collections.abc import Iterable, Sequence
from fractions import Fraction
from statistics import median

from tests.bench.records import BenchSet, Measure, Outcome
from tests.bench.run import complaints, money

ROWS_MOST = 150
"""A longer table is cut down to its groups and to the rows that are not optimal."""


def line(found: Outcome) -> str:
    """Return one outcome as one line for the terminal."""
    cells = _cells(found)
    text = f"{cells[0]:<22} " + " ".join(f"{cell:>11}" for cell in cells[1:6])
    others = "".join(f"  {name} {money(cost)}" for name, cost in found.others.items())
    return f"{text}  {found.status}{others}" + ("  FAULTS" if complaints(found) else "")


def heading() -> str:
    """Return the heading over such lines."""
    names = ("cost", "bound", "gap", "published", "seconds")
    return f"{'instance':<22} " + " ".join(f"{name:>11}" for name in names) + "  status"


def measure_line(measure: Measure) -> str:
    """Return one figure as one line for the terminal."""
    asked = f" (asked: {measure.goal}) {verdict(measure)}" if measure.goal else ""
    return f"  {measure.what}: {measure.found}{asked}"


def verdict(measure: Measure) -> str:
    """Return whether a goal was met, in a word; empty where there is none."""
    return "" if measure.met is None else "met" if measure.met else "not met"


def table(headings: Sequence[str], rows: Iterable[Sequence[str]]) -> str:
    """Return a Markdown table."""
    lines = ["| " + " | ".join(headings) + " |", "|" + " --- |" * len(headings)]
    lines += ["| " + " | ".join(_plain(cell) for cell in row) + " |" for row in rows]
    return "\n".join(lines)


def measures_table(bench: BenchSet, measures: Sequence[Measure]) -> str:
    """Return the figures of a set as a Markdown table."""
    rows = [(bench.name, m.what, m.found, m.goal, verdict(m)) for m in measures]
    return table(("set", "measure", "found", "asked", ""), rows)


def outcomes_table(outcomes: Sequence[Outcome]) -> str:
    """Return the outcomes as a Markdown table, or their groups and the odd ones where too many."""
    if len(outcomes) <= ROWS_MOST:
        return _rows(outcomes)
    odd = [o for o in outcomes if not o.reached or o.status != "optimal"]
    text = _groups(outcomes)
    if odd:
        shown = odd[:ROWS_MOST]
        text += f"\n\nNot proven optimal, or above the published value ({len(odd)}):\n\n"
        text += _rows(shown)
        if len(odd) > len(shown):
            text += f"\n\nand {len(odd) - len(shown)} more."
    return text


def _rows(outcomes: Sequence[Outcome]) -> str:
    names = list(dict.fromkeys(name for o in outcomes for name in o.others))
    headings = ["instance", "cost", "bound", "gap", "published", "seconds", "status", *names]
    rows = [
        [*_cells(o), o.status, *(money(o.others.get(name)) for name in names)] for o in outcomes
    ]
    return table(headings, rows)


def _groups(outcomes: Sequence[Outcome]) -> str:
    groups: dict[str, list[Outcome]] = {}
    for found in outcomes:
        groups.setdefault(found.group, []).append(found)
    rows = []
    for name, members in groups.items():
        shares = [o.gap for o in members if o.gap is not None]
        rows.append(
            (
                name,
                str(len(members)),
                money(_sum(o.cost for o in members)),
                money(_sum(o.bound for o in members)),
                f"{100 * median(shares):.2f} %" if shares else "-",
                money(_sum(o.known for o in members)),
                f"{sum(o.seconds for o in members):.0f}",
                str(sum(o.status == "optimal" for o in members)),
            )
        )
    headings = (
        "group",
        "instances",
        "cost",
        "bound",
        "median gap",
        "published",
        "seconds",
        "proven optimal",
    )
    return table(headings, rows)


def _cells(found: Outcome) -> list[str]:
    published = found.words or money(found.known)
    gap = "-" if found.gap is None else f"{100 * found.gap:.2f} %"
    cost, bound = money(found.cost), money(found.bound)
    return [found.name, cost, bound, gap, published, f"{found.seconds:.1f}"]


def _plain(cell: str) -> str:
    return cell.replace("|", "\\|").replace("\n", " ")


def _sum(values: Iterable[Fraction | None]) -> Fraction:
    return sum((value for value in values if value is not None), Fraction(0))
