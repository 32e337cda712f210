"""Drawing a whole plan into a folder, one file per layout, names safe on every system."""

import hashlib
import re
from pathlib import Path

from inventory.files import write_together
from inventory.formatter import Formatter
from nester.cutouts import cutaway_notes
from nester.draw.page import A4, Paper
from nester.draw.sheet import Heading, draw_pages
from nester.draw.stale import signed
from nester.draw.subjects import Subject, leaves_of, panel_sheet
from nester.draw.type import clean
from nester.glued import glued_panels
from nester.joints import joints_of, place_words
from nester.layout import Layout
from nester.plan import Plan

LONGEST = 60
"""Most characters of a stock id in a file name."""

MOST_NOTES = 5
"""Notes about one layout alone that its sheet has room for."""

RESERVED = re.compile(r"(con|prn|aux|nul|com\d|lpt\d)(\..*)?", re.IGNORECASE)
"""Names that Windows keeps for devices."""


def draw_plan(plan: Plan, folder: Path, paper: Paper = A4) -> list[Path]:
    """Draw every layout of ``plan`` into ``folder`` and return the files, in the plan's order.

    Each is called ``<stock id>-<copy>.svg``; where lists run over, ``…-lists.svg`` follows. Resawn
    leaves come after their board, ``…-leaf-1.svg``; last, ``panel-<id>.svg`` for each panel. All
    files are written or none; raises ``inventory.files.WriteError`` where the folder, which must be
    there, cannot be written.
    """
    measure = Formatter(plan.units.value, plan.shop.tape)
    joints = joints_of(plan)
    drawings: dict[Path | str, bytes] = {}
    taken: set[str] = set()
    subjects: list[Subject] = []
    for layout in plan.layouts:
        subjects.append(of_stock(layout, plan, measure))
        subjects += leaves_of(layout, plan)
    subjects += [panel_sheet(glued, plan, measure) for glued in glued_panels(plan)]
    stem, leaf = "", 0
    for number, sheet in enumerate(subjects, start=1):
        heading = Heading(
            plan.project,
            plan.made[:10],
            number,
            len(subjects),
            sheet.notes,
            sheet.name,
            sheet.up,
            sheet.opened,
        )
        pages = draw_pages(
            sheet.layout,
            sheet.stock,
            plan.parts,
            measure,
            heading,
            paper=paper,
            joints=joints,
            panel=sheet.glued,
        )
        if sheet.leaf:
            leaf += 1
            name = f"{stem}-leaf-{leaf}"
        elif sheet.glued is not None:
            name = file_stem(f"panel-{sheet.layout.stock}", None, taken)
        else:
            name = stem = file_stem(sheet.layout.stock, sheet.layout.copy, taken)
            leaf = 0
        for page, text in enumerate(pages):
            more = "" if page == 0 else "-lists" if page == 1 else f"-lists-{page}"
            drawings[folder / f"{name}{more}.svg"] = signed(text, plan.project)
    write_together(drawings)
    return [Path(path) for path in drawings]


def of_stock(layout: Layout, plan: Plan, measure: Formatter) -> Subject:
    """Return the sheet of a piece of stock."""
    stock = plan.stock_by_id(layout.stock)
    name = place_words(layout.stock, layout.copy, plan)
    return Subject(stock, layout, name, noted(cutaway_notes(layout, stock, plan, measure)))


def noted(notes: list[str]) -> tuple[str, ...]:
    """Return notes that can be lettered, no more of them than a sheet has room for."""
    shown = [clean(note) for note in notes[:MOST_NOTES]]
    if len(notes) > MOST_NOTES:
        shown.append(f"And {len(notes) - MOST_NOTES} more such notes: see nester show.")
    return tuple(shown)


def file_stem(stock_id: str, copy: int | None, taken: set[str]) -> str:
    """Return a file name for a layout, without its ending, and add it to ``taken``.

    A panel has no ``copy``.

    Only plain letters, figures, dots, hyphens and underlines stay. A name that had to be changed,
    or that another differs from only in its capitals, carries a few figures made from the whole id.
    """
    plain = re.sub(r"[^A-Za-z0-9._-]+", "_", stock_id).strip("._-")[:LONGEST]
    if not plain or RESERVED.fullmatch(plain):
        plain = f"stock-{plain}".rstrip("-")
    digest = hashlib.sha256(stock_id.encode("utf-8", "surrogatepass")).hexdigest()
    end = "" if copy is None else f"-{copy}"
    stem = f"{plain}{end}" if plain == stock_id else f"{plain}~{digest[:6]}{end}"
    length = 6
    while stem.casefold() in taken:
        length += 2
        stem = f"{plain}~{digest[:length]}{end}"
    taken.add(stem.casefold())
    return stem
