"""Leaving out what no stock can give, so that no time is spent on it."""

from dataclasses import replace

from nester.problem.choice import Choice, Glue
from nester.problem.records import Problem


def possible(problem: Problem) -> Problem:
    """Return the problem without the arcs and panels whose blanks no stock item gives.

    A part alone stays, lest a match be left with no way at all. Blanks that are never asked for are
    left out of what stock may give, and so is stock that gives nothing else.
    """
    if not problem.choices and not problem.glues:
        return problem
    cut = {option.demand for item in problem.stock for option in item.options}
    glues = tuple(glue for glue in problem.glues if _can_be_glued(glue, cut))
    had = cut | {glue.demand for glue in glues}
    choices = tuple(_with_arcs(choice, had) for choice in problem.choices)
    wanted = {arc.demand for choice in choices for arc in choice.arcs}
    wanted |= {d for d, demand in enumerate(problem.demands) if demand.copies}
    glues = tuple(glue for glue in glues if glue.demand in wanted)
    wanted |= {kind for glue in glues for kind, _ in glue.strips}
    stock = (
        replace(item, options=tuple(o for o in item.options if o.demand in wanted))
        for item in problem.stock
    )
    useful = tuple(item for item in stock if item.options)
    return replace(problem, stock=useful, choices=choices, glues=glues)


def _can_be_glued(glue: Glue, cut: set[int]) -> bool:
    widths = [width for kind, width in glue.strips if kind in cut]
    return bool(widths) and glue.most * (max(widths) - glue.per_strip) >= glue.need


def _with_arcs(choice: Choice, had: set[int]) -> Choice:
    arcs = tuple(arc for arc in choice.arcs if arc.count == 1 or arc.demand in had)
    return replace(choice, arcs=arcs)
