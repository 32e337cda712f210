"""The layouts that a search knows."""

from nester.solve.columns import Column
from nester.solve.known import Known
from nester.solve.rows import Row

BARE = Row("x", ())


def test_the_cheapest_of_the_same_blanks_is_kept() -> None:
    """A dearer layout of the same blanks from the same board is no news; a cheaper one is."""
    known = Known(10)
    first, dearer, cheaper = (Column(0, BARE, (1, 2), cost) for cost in (50, 60, 40))
    other = Column(1, BARE, (1, 2), 55)
    known.add([first, dearer, other])
    assert list(known) == [first, other]
    assert known.news() == [first, other]
    known.add([cheaper, dearer])
    assert list(known) == [other, cheaper]
    assert known.news() == [cheaper]
    assert known.news() == []


def test_the_oldest_give_way() -> None:
    """There is room for so many; the newest are told in the order in which they were found."""
    known = Known(3)
    columns = [Column(s, BARE, (1,), 10) for s in range(5)]
    known.add(columns)
    assert list(known) == columns[2:]
    assert known.latest(2) == columns[3:]
    assert known.news() == columns[2:]
