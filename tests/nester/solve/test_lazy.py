"""Lazy attributes: worked out once for each instance, and nobody waits for another's."""

from concurrent.futures import ThreadPoolExecutor
from threading import Barrier

from nester.solve.lazy import Lazy

LONG = 30.0  # seconds that one waits for the other before the test fails


class Counting:
    """Counts how often its property is worked out."""

    def __init__(self) -> None:
        self.times = 0

    @Lazy
    def answer(self) -> int:
        """How often it was worked out."""
        self.times += 1
        return self.times


class Meeting:
    """Its property is worked out only once two of them are about it at the same time."""

    both = Barrier(2)

    @Lazy
    def met(self) -> bool:
        """Whether the other one came."""
        self.both.wait(LONG)
        return True


class TestLazy:
    def test_is_worked_out_once_for_each_instance(self) -> None:
        first, second = Counting(), Counting()
        assert [first.answer, first.answer, second.answer] == [1, 1, 1]
        assert first.times == second.times == 1

    def test_is_kept_in_the_instance_alone(self) -> None:
        first = Counting()
        assert "answer" not in vars(first)
        assert first.answer == 1
        assert vars(first)["answer"] == 1

    def test_tells_what_it_is(self) -> None:
        assert Counting.answer.__doc__ == "How often it was worked out."

    def test_two_instances_are_worked_out_at_once(self) -> None:
        with ThreadPoolExecutor(2) as pool:
            jobs = [pool.submit(lambda: Meeting().met) for _ in range(2)]
            assert all(job.result(LONG) for job in jobs)
