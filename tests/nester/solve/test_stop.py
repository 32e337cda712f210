"""When a run stops."""

import pytest

from nester.solve.stop import AnyOf, GapAtMost, Progress, Seconds, Stop, Work, seconds_left


def now(**keys: object) -> Progress:
    """Return where a run stands: a complete plan at $100, $90 of which is proven."""
    values: dict[str, object] = {
        "seconds": 3.0,
        "work": 500,
        "cost": 100.0,
        "bound": 90.0,
        "gap": 0.1,
        "missing": 0,
    }
    return Progress(**{**values, **keys})  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("rule", "word"),
    [
        (Seconds(3.0), "seconds"),
        (Seconds(3.1), None),
        (Work(500), "work"),
        (Work(501), None),
        (GapAtMost(0.1), "gap"),
        (GapAtMost(0.0999), None),
        (AnyOf(), None),
        (AnyOf(Seconds(9), Work(400), GapAtMost(0.5)), "work"),
        (AnyOf(AnyOf(Seconds(9)), AnyOf(GapAtMost(0.5))), "gap"),
    ],
)
def test_rules(rule: Stop, word: str | None) -> None:
    """Each rule stops at its limit, and not before; together the first that does."""
    assert rule(now()) == word


def test_a_gap_says_nothing_while_parts_are_missing() -> None:
    """A plan that is short has no gap, and one that cannot be told has none."""
    assert GapAtMost(1.0)(now(missing=1)) is None
    assert GapAtMost(1.0)(now(gap=None, bound=None)) is None


@pytest.mark.parametrize(
    ("rule", "left"),
    [
        (Seconds(10.0), 7.0),
        (Seconds(1.0), 0.0),
        (Work(5), float("inf")),
        (AnyOf(Work(5), Seconds(4.0), Seconds(9.0)), 1.0),
        (AnyOf(), float("inf")),
        (AnyOf(AnyOf(Seconds(5.0)), Work(1)), 2.0),
    ],
)
def test_seconds_left(rule: Stop, left: float) -> None:
    """The clock of the rule that runs out first; without a clock there is no end."""
    assert seconds_left(rule, now()) == left
