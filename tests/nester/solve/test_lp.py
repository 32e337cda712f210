"""The linear programme that grows, and whether the solver beneath it is sound."""

import importlib.metadata

import highspy
import numpy as np
import pytest

from nester.solve.lp import GrowingLp

INF = np.inf


def test_a_programme_by_pencil() -> None:
    """At least 4 of one, at most 3 of the cheap column: 3 at 2 and 1 at 5."""
    lp = GrowingLp([4.0], [INF])
    lp.add(2.0, 3.0, {0: 1.0})
    lp.add(5.0, INF, {0: 1.0})
    assert lp.solve()
    assert lp.objective == pytest.approx(11)
    assert list(lp.values) == pytest.approx([3, 1])
    assert list(lp.duals) == pytest.approx([5])  # one more would cost the dear one


def test_it_grows() -> None:
    """A column that comes later is used where it is better, from the basis that was left."""
    lp = GrowingLp([6.0, 4.0], [INF, INF])
    lp.add(3.0, INF, {0: 1.0})
    lp.add(4.0, INF, {1: 1.0})
    assert lp.solve()
    assert lp.objective == pytest.approx(34)
    lp.add(5.0, INF, {0: 1.0, 1: 1.0})
    assert lp.solve()
    assert lp.objective == pytest.approx(4 * 5 + 2 * 3)
    assert list(lp.duals) == pytest.approx([3, 2])


def test_limits_on_rows() -> None:
    """A row may have an upper limit: no more than two of the cheap ones in all."""
    lp = GrowingLp([5.0, -INF], [INF, 2.0])
    lp.add(1.0, INF, {0: 1.0, 1: 1.0})
    lp.add(4.0, INF, {0: 1.0})
    assert lp.solve()
    assert lp.objective == pytest.approx(2 + 12)


def test_no_answer() -> None:
    """Where demand cannot be met there is no optimum, and it is said so."""
    lp = GrowingLp([5.0], [INF])
    lp.add(1.0, 3.0, {0: 1.0})
    assert not lp.solve()


def test_the_excluded_version_is_not_here() -> None:
    """highspy 1.16.0 gives wrong optima where an integer programme is given a start."""
    assert importlib.metadata.version("highspy") != "1.16.0"


def test_an_integer_programme_with_a_start() -> None:
    """A start that is feasible but poor is bettered, and the objective is that of the values.

    The bug that this would show: highspy 1.16.0 called the objective 91 of a plan that costs 461
    optimal, where the best costs 356.
    """
    rows = 50
    rng = np.random.default_rng(7)
    demand = rng.integers(3, 40, rows).astype(float)
    size = rng.uniform(0.05, 0.6, rows)
    columns = [{i: float(int(1 / size[i]))} for i in range(rows)]
    while len(columns) < 500:
        left, pattern = 1.0, {}
        for i in rng.permutation(rows):
            most = int(left / size[i])
            taken = int(rng.integers(0, min(most, int(demand[i])) + 1)) if most else 0
            if taken:
                pattern[int(i)] = float(taken)
                left -= taken * size[i]
        if pattern:
            columns.append(pattern)
    highs = highspy.Highs()
    highs.setOptionValue("output_flag", False)
    highs.setOptionValue("threads", 1)
    highs.setOptionValue("mip_rel_gap", 0.02)  # near enough to tell right from wrong
    for i in range(rows):
        highs.addRow(demand[i], highspy.kHighsInf, 0, np.empty(0, np.int32), np.empty(0))
    for pattern in columns:
        at = np.array(list(pattern), np.int32)
        highs.addCol(1.0, 0.0, highspy.kHighsInf, len(at), at, np.array(list(pattern.values())))
    count = highs.getNumCol()
    kinds = np.full(count, highspy.HighsVarType.kInteger)
    highs.changeColsIntegrality(count, np.arange(count, dtype=np.int32), kinds)
    start = np.zeros(count)
    start[:rows] = [np.ceil(demand[i] / columns[i][i]) for i in range(rows)]
    solution = highspy.HighsSolution()
    solution.col_value = list(start)
    highs.setSolution(solution)
    highs.run()
    values = np.array(highs.getSolution().col_value)
    objective = highs.getInfo().objective_function_value
    assert objective == pytest.approx(values.sum())
    given = np.zeros(rows)
    for value, pattern in zip(values, columns, strict=True):
        for i, times in pattern.items():
            given[i] += round(value) * times
    assert (given >= demand).all()
    assert objective < start.sum() - 1


def test_all_at_once() -> None:
    """Columns, rows and limits given together do what one by one they do."""
    lp = GrowingLp([0.0, 0.0], [INF, INF])
    lp.add_all(np.array([3.0, 4.0, 5.0]), np.array([[1, 0], [0, 1], [1, 1]]))
    lp.set_rows(np.array([6.0, 4.0]), np.array([INF, INF]))
    assert lp.solve()
    assert lp.objective == pytest.approx(4 * 5 + 2 * 3)
    lp.set_uppers(np.array([INF, INF, 0.0]))
    assert lp.solve()
    assert lp.objective == pytest.approx(6 * 3 + 4 * 4)
