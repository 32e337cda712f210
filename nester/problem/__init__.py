"""The planning problem in whole numbers of grid cells, ready for the solver."""

from nester.problem.build import build
from nester.problem.records import Demand, Option, Problem, StockItem

__all__ = ["Demand", "Option", "Problem", "StockItem", "build"]
