"""Glued-up panels as the plan tells them: their size, and the cuts made in them once glued."""

from nester.naming import Panel as Named
from nester.plan import Panel
from nester.problem import Problem
from nester.solve.parted import parted
from nester.solve.tree import numbered


def panel_of(named: Named, problem: Problem) -> Panel:
    """Return the panel that ``named`` strips make up.

    Its width is what the strips have together, less what each loses to jointing and glue lines.
    """
    glue = problem.glues[named.glue]
    width_of = dict(glue.strips)
    width = sum(width_of[kind] for kind in named.strips) - glue.per_strip * len(named.strips)
    length = glue.length * problem.grid
    tree = parted(glue.inner, named.parts, (0, 0, length, width), problem.grid, False)
    return Panel(
        id=named.id,
        parts=named.parts,
        match=tree.run or None,
        strips=len(named.strips),
        length=length,
        width=width,
        tree=numbered(tree),
    )
