"""Cutting diagrams: one SVG per layout, for a black and white printer, to take to the saw."""

from collections.abc import Iterable

from inventory.formatter import Formatter
from inventory.stock import Stock
from nester.draw.files import draw_plan
from nester.draw.page import A4, LETTER, PAPERS, Paper, paper_called
from nester.draw.sheet import Heading, draw_pages
from nester.draw.stale import Cleared, clear_stale
from nester.layout import Layout
from nester.model import Part


def draw_layout(
    layout: Layout,
    stock: Stock,
    parts: Iterable[Part],
    measure: Formatter,
    *,
    project: str = "",
    date: str = "",
    sheet: int = 1,
    sheets: int = 1,
    paper: Paper = A4,
    debug: bool = False,
) -> str:
    """Return the cutting diagram of one layout as SVG text.

    Lists too long for the sheet run over: ``draw_pages`` returns those further sheets too.
    """
    heading = Heading(project, date, sheet, sheets)
    return draw_pages(layout, stock, parts, measure, heading, paper=paper, debug=debug)[0]


__all__ = [
    "A4",
    "LETTER",
    "PAPERS",
    "Cleared",
    "Heading",
    "Paper",
    "clear_stale",
    "draw_layout",
    "draw_pages",
    "draw_plan",
    "paper_called",
]
