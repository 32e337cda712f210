"""Parts of a problem that have no stock in common are problems of their own."""

from dataclasses import replace

from nester.problem import Problem


def independent(problem: Problem) -> list[tuple[Problem, tuple[int, ...], tuple[int, ...]]]:
    """Return sub-problems with their stock's and demands' places in the whole.

    Demands that no stock can give belong to none, nor does a match of which none can be had.
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
    for asked in _together(problem):
        a = root(len(problem.stock) + asked[0])
        for d in asked[1:]:
            b = root(len(problem.stock) + d)
            parent[max(a, b)] = min(a, b)
            a = min(a, b)
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
        if _asks(problem, demands)
    ]


def _asks(problem: Problem, demands: list[int]) -> bool:
    """Whether any of these kinds of blanks is wanted, or may be chosen."""
    asked = {arc.demand for choice in problem.choices for arc in choice.arcs}
    return any(problem.demands[d].copies or d in asked for d in demands)


def _together(problem: Problem) -> list[list[int]]:
    """Return the kinds of blanks that are chosen between: of one match, or of one panel."""
    found = [[arc.demand for arc in choice.arcs] for choice in problem.choices if choice.arcs]
    found += [list(own.kinds) for own in problem.together]
    found += [[glue.demand, *(kind for kind, _ in glue.strips)] for glue in problem.glues]
    return found


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
    choices = tuple(
        replace(
            choice,
            arcs=tuple(replace(arc, demand=place[arc.demand]) for arc in choice.arcs),
        )
        for choice in problem.choices
        if choice.arcs and choice.arcs[0].demand in place
    )
    glues = tuple(
        replace(
            glue,
            demand=place[glue.demand],
            strips=tuple((place[kind], width) for kind, width in glue.strips),
        )
        for glue in problem.glues
        if glue.demand in place
    )
    return replace(
        problem,
        demands=tuple(problem.demands[d] for d in demands),
        stock=items,
        choices=choices,
        glues=glues,
        together=tuple(
            replace(own, kinds=tuple(place[kind] for kind in own.kinds))
            for own in problem.together
            if own.kinds[0] in place
        ),
    )
