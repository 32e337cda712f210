"""Getting the kernels ready: compiled or loaded before a run's clock starts."""

from fractions import Fraction

import numpy as np

from nester.problem import Demand, Option, Problem, StockItem
from nester.solve.arrays import arrays
from nester.solve.bound.bought import Bought
from nester.solve.bound.ladder import BUDGETS, Rung, groups
from nester.solve.bound.pricing import PlatePricer
from nester.solve.engine import Engine
from nester.solve.kernels.bar import best_bar
from nester.solve.kernels.bar_list import worthy_bars
from nester.solve.kernels.room import grown_float, grown_int, grown_one, ranked
from nester.solve.plate.layouts import Grown, Search
from nester.solve.plate.pieces import Pieces, Wanted
from nester.solve.plate.prices import priced
from nester.solve.plates import Filler


def warm_search() -> None:
    """Plan one small flawed board, so that the kernels of the search are called once."""
    Engine(_small(), seed=0).first()


def warm_bounds() -> None:
    """Price the small board once by every kind of pricing, and a bar; list its cuttings."""
    problem = _small()
    prices = np.full(len(problem.demands), 10**8, np.int64)
    found = arrays(problem)
    for budget in BUDGETS[:2]:
        for pricers in Rung(problem, found, groups(problem), budget).pricers:
            for price in pricers:
                price(prices)
    PlatePricer(found, 0, problem.stock[0], len(prices), 1)(prices)
    bought = Bought(problem)
    while not bought.done:
        bought.step()
    one = np.ones(1, np.int32)
    best_bar(2, one, np.ones(1, np.int64), one, 0, 1, 1)
    worthy_bars(2, one, np.ones(1, np.int64), one, 1, 9, 9)
    Filler(problem, 0)(prices, np.ones(len(prices), np.int64))


def warm_beside() -> None:
    """Call what may be compiled while the search is: what that comes to last, then the bounds."""
    ranked(np.zeros(1), 1)
    grown_int(np.zeros((1, 1), np.int32))
    grown_one(np.zeros(1, np.int32))
    grown_float(np.zeros(1))
    warm_bounds()


def warm_counted() -> None:
    """Price the small board with copies counted, which few jobs need and none at first."""
    problem = _small()
    last = Rung(problem, arrays(problem), groups(problem), BUDGETS[-1])
    for price in (price for pricers in last.pricers for price in pricers):
        price(np.full(len(problem.demands), 10**8, np.int64))


def warm_plates() -> None:
    """Put together layouts of a small plate with counted copies, so that each kernel is called."""
    pieces = Pieces(9, 7, [Wanted(((4, 3),), 5, 2), Wanted(((2, 2),), 3, 3)])
    prices = priced(pieces, lambda _: True)
    Grown(pieces, prices.prices, 1)
    Search(pieces, prices, 0, 100).run(100)


def _small() -> Problem:
    nx, ny = 40, 12
    credit = np.zeros((ny + 1, nx + 1), np.int32)
    credit[1:, 1:] = np.cumsum(np.cumsum(np.ones((ny, nx), np.int32), axis=0), axis=1)
    knot = np.array([[10, 3, 13, 6]], np.int32)
    sizes = ((12, 4), (9, 5), (14, 3))
    board = StockItem(
        id="trial",
        board=True,
        count=2,
        nx=nx,
        ny=ny,
        x0=1,
        x1=nx - 1,
        kx=1,
        ky=1,
        near=np.ones(nx + 1, np.int32),
        blocks=(knot, np.zeros((0, 4), np.int32)),
        metal=np.zeros((0, 4), np.int32),
        options=tuple(
            Option(d, length, width, False, ((0, False), (1, True)) if d else ((0, False),))
            for d, (length, width) in enumerate(sizes)
        ),
        first_x=True,
        first_y=False,
        stages=3,
        rip_min=-1,
        off_length=8,
        off_width=4,
        off_either=False,
        credit=credit,
        beyond=0,
        square=True,
        far=ny,
        value=10**9,
        cell_credit=10**6,
    )
    demands = tuple(Demand(((f"p{d}", 2),), 2, a * b) for d, (a, b) in enumerate(sizes))
    return Problem(1, Fraction(1), demands, (board,))
