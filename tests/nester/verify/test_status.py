"""What a plan claims of itself."""

from decimal import Decimal

import pytest

from tests.nester.verify.plans import codes, simple

GONE = [{"part": "front", "count": 1, "reason": "no board is left"}]


def claims(status: str, bound: object, gap: object) -> set[str]:
    """Return the faults of a plan that costs 10, with this status, bound and gap."""
    return codes({**simple(), "status": status, "bound": bound, "gap": gap})


@pytest.mark.parametrize(
    ("status", "bound", "gap"),
    [
        ("optimal", 10, 0),
        ("within gap", Decimal("9.95"), Decimal("0.005")),
        ("feasible", 8, Decimal("0.2")),
        ("feasible", 0, 1),
        ("within gap", Decimal("9.667"), Decimal("0.0333")),
        ("within gap", 10, 0),
    ],
)
def test_true_claims(status: str, bound: object, gap: object) -> None:
    """The gap is the share of the cost between bound and cost."""
    assert claims(status, bound, gap) == set()


@pytest.mark.parametrize(
    ("status", "bound", "gap", "code"),
    [
        ("optimal", 9, Decimal("0.1"), "status"),
        ("optimal", 9, 0, "gap"),
        ("feasible", 8, Decimal("0.201"), "gap"),
        ("feasible", 8, Decimal("-0.2"), "gap"),
        ("feasible", Decimal("10.001"), 0, "bound"),
        ("optimal", None, 0, "bound"),
        ("optimal", 10, None, "gap"),
        ("short", 10, 0, "short"),
        ("perfect", 10, 0, "wrong-value"),
    ],
)
def test_false_claims(status: str, bound: object, gap: object, code: str) -> None:
    """A bound above the cost, a gap that is none, an optimum with a gap: all are faults."""
    assert code in claims(status, bound, gap)


def test_short_plans() -> None:
    """Only a plan with missing parts is short, and it has no bound and no gap."""
    missing = {**simple(count=2), "missing": GONE}
    short = {"status": "short", "bound": None, "gap": None}
    assert codes({**missing, **short}) == set()
    assert codes(missing) == {"short"}
    assert codes({**missing, **short, "bound": 5}) == {"short"}
    assert codes({**missing, **short, "gap": 0}) == {"short"}
    assert codes({**simple(), **short}) == {"short"}
