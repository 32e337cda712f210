"""An exhaustive planner for tiny problems, written apart from the solver, to hold it against.

It tries every cut on the grid that the rules allow, so what it finds is the best there is.
"""
