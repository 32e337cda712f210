"""Entering the same sizes in inches or in millimetres makes no difference."""

import re
from fractions import Fraction

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from nester.plan import plan_json
from nester.solve.stop import Work
from tests.nester.maker import board, part, planned, read, sheet, shop


def eighths(least: int, most: int) -> st.SearchStrategy[Fraction]:
    """Sizes in inches, to the eighth."""
    return st.integers(8 * least, 8 * most).map(lambda n: Fraction(n, 8))


def inches(size: Fraction) -> str:
    """Return a size as a maker writes it in inches: "23 3/8"."""
    whole, rest = divmod(size, 1)
    return f"{whole} {rest}" if rest and whole else str(rest or whole)


def millimetres(size: Fraction) -> str:
    """Return the same size in millimetres, exactly: an eighth of an inch is 3.175 mm."""
    return f"{float(size * Fraction(127, 5))} mm"


@settings(
    max_examples=25,
    deadline=None,
    derandomize=True,
    suppress_health_check=[HealthCheck.too_slow],
)
@given(
    st.tuples(eighths(21, 70), eighths(2, 10)),
    st.lists(st.tuples(eighths(1, 50), eighths(1, 5)), min_size=1, max_size=3),
    st.tuples(eighths(0, 13), eighths(0, 2)),
)
def test_inches_and_millimetres_agree(
    size: tuple[Fraction, Fraction],
    sizes: list[tuple[Fraction, Fraction]],
    place: tuple[Fraction, Fraction],
) -> None:
    """Boards, flaws and parts written in either system are the same records and the same plan."""
    plans = []
    for write in (inches, millimetres):
        length, width = size
        knot = {
            "kind": "knot",
            "x": write(min(place[0], length - 1)),
            "y": write(min(place[1], width - 1)),
            "length": write(Fraction(1)),
            "width": write(Fraction(1)),
        }
        stock = board(
            length=write(length),
            width=write(width),
            thickness=write(Fraction(1)),
            crook=write(Fraction(1, 4)),
            flaws=[knot],
        ) + sheet(length=write(length), width=write(width + 10), thickness=write(Fraction(3, 4)))
        parts = "".join(
            part(
                f"part {i}",
                length=write(a),
                width=write(b),
                thickness=write(Fraction(3, 4)),
                material=["maple", "plywood"],
            )
            for i, (a, b) in enumerate(sizes)
        )
        project, items = read(stock, parts, shop())
        plan = planned(stock, parts, stop=Work(200_000))
        plans.append((items, project.parts, without_hash(plan_json(plan))))
    (stock_a, parts_a, text_a), (stock_b, parts_b, text_b) = plans
    assert stock_a == stock_b
    assert [(p.length, p.width, p.thickness) for p in parts_a] == [
        (p.length, p.width, p.thickness) for p in parts_b
    ]
    assert text_a == text_b


def without_hash(text: str) -> str:
    """Leave out what goes by the file's letters (its hash) and by the clock."""
    return re.sub(r'"sha256": "[0-9a-f]+"|"seconds": [0-9.e+-]+', "", text)
