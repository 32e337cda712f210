"""When work on a bound is begun and waited for."""

from concurrent.futures import Executor, ThreadPoolExecutor
from threading import Event
from typing import Any, cast

import pytest

from nester.solve.bound.colgen import Bounding
from nester.solve.lp import CELLS_A_MASTER
from nester.solve.raising import CELLS_A_SECOND, Raising

ONE = 10_000_000
LONG = 60.0


class Pricing:
    """Stands in for a bound: each round takes ``ONE`` and raises it by one."""

    def __init__(self, works: list[int]) -> None:
        self.works = works
        self.bound = 0
        self.last_work = self.expected = self.next_work = ONE
        self.again = self.done = False
        self.drawn: list[Any] = []
        self.goes = Event()
        self.goes.set()

    def round(self, pool: Executor, known: object, best: int) -> None:
        """Raise the bound by one, once it may."""
        assert self.goes.wait(LONG)
        if self.bound == best - 2:
            raise ArithmeticError
        self.bound += 1


def raising(pricing: Pricing, *, beside: bool = True) -> Raising:
    """Return what raises it."""
    return Raising(cast(Bounding, pricing), beside=beside)


def begin(it: Raising, room: float, best: int = 100, seconds: float = LONG) -> None:
    """Begin, with ``room`` for so much work; nothing was searched so far."""
    with ThreadPoolExecutor(1) as pool:
        it.begin(pool, [], best, room, 0, seconds)


def test_it_is_raised_until_the_room_is_used_up() -> None:
    it = raising(Pricing([ONE]))
    begin(it, room=2.5 * (ONE + CELLS_A_MASTER))
    made = it.end()
    assert [priced.bound for priced in made] == [1, 2, 3]
    assert all(priced.work == ONE for priced in made)
    assert not it.underway
    assert it.end() == []


@pytest.mark.parametrize(
    ("room", "best", "seconds"),
    [(0.0, 100, LONG), (1e9, 0, LONG), (1e9, 100, ONE / CELLS_A_SECOND)],
    ids=["no room", "nothing above the best plan", "no time"],
)
def test_it_is_not_begun_in_vain(room: float, best: int, seconds: float) -> None:
    it = raising(Pricing([ONE]))
    begin(it, room, best, seconds)
    assert not it.underway


def test_a_pricing_that_runs_alone_is_waited_for_once_plans_had_as_much() -> None:
    """One of two takes 3/4 of all: for half of the time a second worker has nothing else to do."""
    it = raising(Pricing([3 * ONE // 4, ONE // 4]))
    begin(it, room=1.0)
    alone = (ONE + CELLS_A_MASTER) // 2
    assert it.underway
    assert not it.due(alone - 1)
    assert it.due(alone + 1)


def test_pricings_that_keep_two_busy_are_waited_for_at_once() -> None:
    it = raising(Pricing([ONE // 2, ONE // 2]))
    begin(it, room=1.0)
    assert it.due(0)


def test_what_is_not_beside_is_waited_for_in_the_same_round() -> None:
    it = raising(Pricing([ONE]), beside=False)
    begin(it, room=1.0)
    assert it.due(0)


def test_it_goes_on_beside_other_work() -> None:
    pricing = Pricing([ONE])
    pricing.goes.clear()
    it = raising(pricing)
    begin(it, room=1.0)
    assert it.underway
    assert pricing.bound == 0
    pricing.goes.set()
    assert [priced.bound for priced in it.end()] == [1]


def test_what_goes_wrong_is_told_to_who_waits() -> None:
    it = raising(Pricing([ONE]))
    begin(it, room=1.0, best=2)
    with pytest.raises(ArithmeticError):
        it.end()
