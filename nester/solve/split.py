"""Parts of a problem that have no stock in common are problems of their own."""

from dataclasses import replace

from nester.problem import Problem


def independent(problem: Problem) -> list[tuple[Problem, tuple[int, ...], tuple[int, ...]]]:
    """Return sub-problems with their stock's and demands' places in the whole.

    Demands that no stock can give belong to none.
    """
    parent = list(range(len(problem.stock) + len(problem.demands)))

    def root(i: int) -> int:
        while parent[i] != i:
            parent[i] = parent[parent[i]]
            i = parent[i]
        return i

    for s, item in enumerate(problem.stock):
        for option in item.options:
            a, b = root(s), root(len(problem.stock) + option.demand)
            parent[max(a, b)] = min(a, b)
    groups: dict[int, tuple[list[int], list[int]]] = {}
    for s in range(len(problem.stock)):
        groups.setdefault(root(s), ([], []))[0].append(s)
    for d in range(len(problem.demands)):
        found = groups.get(root(len(problem.stock) + d))
        if found is not None:
            found[1].append(d)
    return [
        (_part(problem, stock, demands), tuple(stock), tuple(demands))
        for stock, demands in groups.values()
        if demands
    ]


def _part(problem: Problem, stock: list[int], demands: list[int]) -> Problem:
    place = {d: i for i, d in enumerate(demands)}
    items = tuple(
        replace(
            problem.stock[s],
            options=tuple(
                replace(option, demand=place[option.demand]) for option in problem.stock[s].options
            ),
        )
        for s in stock
    )
    return replace(problem, demands=tuple(problem.demands[d] for d in demands), stock=items)
