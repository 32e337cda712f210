"""Diving: plans made of what the master programme proposes."""

import numpy as np

from nester.problem import build
from nester.solve.arrays import arrays
from nester.solve.bound.ladder import groups
from nester.solve.correct import fillers
from nester.solve.dive import dive
from nester.solve.proposal import Proposal
from tests.bench.plates import Item, Plate, sheets_job
from tests.nester.maker import board, part, read, shop


def test_proposals_are_cut_out_as_far_as_they_fit() -> None:
    """Two boards, three parts to a board: what is proposed comes, and the rest is packed after."""
    boards = board("B-1", length="100", width="4") + board("B-2", length="100", width="4")
    asked, stock = read(boards, part(count=5, length="30"), shop())
    problem = build(asked.parts, stock, asked.shop)
    found = arrays(problem)
    alike = groups(problem)
    cost = problem.stock[0].value
    proposals = [Proposal(0, np.array([9]), cost), Proposal(0, np.array([2]), cost)]
    made = dive(problem, found, np.ones(1), alike, proposals, np.array([2.0]), float(cost))
    assert made.draft.complete
    assert sorted(column.counts[0] for column in made.columns) == [2, 3]


def test_what_cannot_be_cut_is_left_out() -> None:
    """One board for one part of two: the plan says what is missing."""
    asked, stock = read(board(length="100", width="4"), part(count=2, length="60"), shop())
    problem = build(asked.parts, stock, asked.shop)
    proposals = [Proposal(0, np.array([2]), problem.stock[0].value)]
    cost = float(problem.stock[0].value)
    found = arrays(problem)
    made = dive(problem, found, np.ones(1), groups(problem), proposals, np.array([2.0]), cost)
    assert made.draft.missing == (1,)


def test_sheets_are_filled_on_the_way() -> None:
    """Nothing is proposed: layouts are filled at prices of what is left, eight on two sheets."""
    items = [Item(10, 5, 4), Item(5, 10, 4)]
    project, stock = sheets_job("trial", [Plate(20, 10)], items)
    problem = build(project.parts, stock, project.shop)
    found = arrays(problem)
    alike = groups(problem)
    fill = fillers(problem, found, alike)
    cost = float(problem.stock[0].value)
    dear = np.full(2, 1.0)
    made = dive(problem, found, np.ones(2), alike, (), dear, cost, fillers=fill)
    assert made.draft.complete
    assert len(made.draft.columns) == 2
    assert made.work > 0
    again = dive(
        problem, found, np.ones(2), alike, (), dear, cost, fillers=fill, layouts=made.columns
    )
    known = {column.counts for column in made.columns}
    assert {column.counts for column in again.draft.columns} <= known
