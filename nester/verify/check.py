"""The whole check: read the document, then ask every rule."""

from collections.abc import Callable, Iterator, Mapping
from itertools import groupby
from typing import Any, TypeAlias

from nester.verify.blank import Blank, blanks
from nester.verify.deal import check_match_parts
from nester.verify.demand import check_copies, check_names
from nester.verify.fault import Fault
from nester.verify.fit import (
    check_grain,
    check_material,
    check_sheet_thickness,
    check_size,
    check_source,
)
from nester.verify.laid import Laid, lay, lay_panels
from nester.verify.look import parsed, strange_values
from nester.verify.matched import check_penalties, check_required, check_results
from nester.verify.metal import check_metal
from nester.verify.money import check_cost, check_value
from nester.verify.offcuts import check_offcut_ids, check_offcut_sizes
from nester.verify.panels import (
    check_panel_ids,
    check_panel_parts,
    check_panel_sizes,
    check_strip_widths,
    check_strips,
)
from nester.verify.quality import check_quality
from nester.verify.read_plan import read_plan
from nester.verify.records import Plan, Shop
from nester.verify.resaw import check_leaves, check_pairs, check_resaw_cuts
from nester.verify.run_rules import (
    check_rows,
    check_run_cuts,
    check_run_marks,
    check_run_names,
    check_run_order,
    check_run_parts,
    check_run_sides,
    check_run_sizes,
)
from nester.verify.stages import check_first_cut, check_stages
from nester.verify.status import check_gap, check_status
from nester.verify.straighten import check_far_edge, check_near_edge, check_short_rips
from nester.verify.strips import check_strip_quality, check_strip_stock, strip_blanks
from nester.verify.thickness import check_spare_thickness, check_thickness
from nester.verify.tree import check_cuts, check_grid, check_order, check_root, check_saws
from nester.verify.trims import check_ends, check_sheet_edges, check_trim_labels, check_trims
from nester.verify.usage import check_counts, check_stock
from nester.verify.yields import check_yield

PlanRule: TypeAlias = Callable[[Plan], Iterator[Fault]]
LayoutRule: TypeAlias = Callable[[Shop, Laid], Iterator[Fault]]
BlankRule: TypeAlias = Callable[[Shop, Blank], Iterator[Fault]]
SumRule: TypeAlias = Callable[[Plan, list[Laid]], Iterator[Fault]]
PanelRule: TypeAlias = Callable[[Plan, list[Laid], list[Laid]], Iterator[Fault]]

PLAN_RULES: tuple[PlanRule, ...] = (
    check_status,
    check_gap,
    check_stock,
    check_counts,
    check_names,
    check_copies,
    check_offcut_ids,
    check_match_parts,
)
TREE_RULES: tuple[LayoutRule, ...] = (
    check_root,
    check_cuts,
    check_grid,
    check_saws,
    check_order,
    check_run_names,
    check_run_marks,
    check_run_parts,
    check_run_cuts,
    check_run_sides,
    check_run_order,
    check_run_sizes,
    check_rows,
    check_resaw_cuts,
    check_short_rips,
)
LAYOUT_RULES: tuple[LayoutRule, ...] = (
    *TREE_RULES,
    check_leaves,
    check_pairs,
    check_first_cut,
    check_stages,
    check_trims,
    check_trim_labels,
    check_ends,
    check_sheet_edges,
    check_near_edge,
    check_far_edge,
    check_metal,
    check_offcut_sizes,
    check_value,
)
WOOD_RULES: tuple[BlankRule, ...] = (
    check_material,
    check_source,
    check_thickness,
    check_spare_thickness,
)
LYING_RULES: tuple[BlankRule, ...] = (check_grain, check_size)
BLANK_RULES: tuple[BlankRule, ...] = (
    *WOOD_RULES,
    *LYING_RULES,
    check_sheet_thickness,
    check_quality,
)
SUM_RULES: tuple[SumRule, ...] = (check_cost, check_yield)
MATCH_RULES: tuple[SumRule, ...] = (check_results, check_required, check_penalties)
PANEL_RULES: tuple[PanelRule, ...] = (
    check_panel_ids,
    check_panel_parts,
    check_strips,
    check_strip_widths,
    check_panel_sizes,
)


def verify_document(doc: Mapping[str, Any]) -> list[Fault]:
    """Return every rule that a plan document breaks; an empty list for a plan that holds.

    Parameters
    ----------
    doc
        The document as read from JSON, numbers as ``int``, ``Decimal`` or ``float``. Anything else,
        a document of another kind included, gives faults and never an exception.
    """
    faults = strange_values(doc)
    if faults:
        return faults
    plan = read_plan(doc, faults)
    if plan is not None:
        faults.extend(_broken(plan))
    return faults


def verify_text(text: str) -> list[Fault]:
    """Return every rule that the plan document in ``text`` breaks; see ``verify_document``."""
    document, faults = parsed(text)
    return faults or verify_document(document)


def _broken(plan: Plan) -> Iterator[Fault]:
    """Yield the faults of a plan that could be read, layout by layout, then panel by panel."""
    laids, panels = lay(plan), lay_panels(plan)
    for plan_rule in PLAN_RULES:
        yield from plan_rule(plan)
    for laid in laids:
        for layout_rule in LAYOUT_RULES:
            yield from layout_rule(plan.shop, laid)
        for blank in blanks(plan, laid):
            for blank_rule in BLANK_RULES:
                yield from blank_rule(plan.shop, blank)
    yield from _broken_panels(plan, laids, panels)
    for match_rule in MATCH_RULES:
        yield from match_rule(plan, laids + panels)
    for sum_rule in SUM_RULES:
        yield from sum_rule(plan, laids)


def _broken_panels(plan: Plan, laids: list[Laid], panels: list[Laid]) -> Iterator[Fault]:
    """Yield the faults of the panels and of the strips that they are made of."""
    for panel_rule in PANEL_RULES:
        yield from panel_rule(plan, laids, panels)
    for laid in panels:
        for tree_rule in TREE_RULES:
            yield from tree_rule(plan.shop, laid)
        for blank in blanks(plan, laid):
            for lying_rule in LYING_RULES:
                yield from lying_rule(plan.shop, blank)
    for _, group in groupby(strip_blanks(plan, laids, panels), key=lambda blank: blank.place):
        strip = list(group)
        yield from check_strip_stock(strip[0])
        yield from check_strip_quality(plan, strip)
        for blank in strip:
            for wood_rule in WOOD_RULES:
                yield from wood_rule(plan.shop, blank)
