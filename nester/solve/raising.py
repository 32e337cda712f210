"""Work on a bound while plans are searched for, over as many rounds as it takes.

Where one board takes longer to price than the others together, its pricing leaves a second worker
idle. So what one round begins a later one may end, and attempts go on beside it. Which one, is
counted in work, not in seconds, so that a run is the same on any machine.
"""

from collections.abc import Sequence
from concurrent.futures import Executor, Future
from dataclasses import dataclass
from math import ceil
from threading import Thread

from nester.solve.bound.colgen import Bounding
from nester.solve.columns import Column
from nester.solve.lp import CELLS_A_MASTER

CELLS_A_SECOND = 5e8

MOST_PRICED = 150_000_000
"""Programme cells of pricing after which no further one follows, so that it ends soon."""


@dataclass(frozen=True, slots=True)
class Raised:
    """What one pricing took [programme cells], the bound after it, and the layouts it drew."""

    work: int
    bound: int
    drawn: tuple[Column, ...]


def raised(
    bounding: Bounding,
    pool: Executor,
    known: Sequence[Column],
    best: int,
    room: float,
    seconds: float,
) -> list[Raised]:
    """Price until that has taken its ``room`` [programme cells] or ``seconds`` do not suffice.

    ``known``: all layouts; ``best``: the cost of the best plan [ticks].
    """
    made: list[Raised] = []
    done = 0
    while done < MOST_PRICED and _goes_on(bounding, best, room - done, seconds):
        bounding.round(pool, known, best)
        made.append(Raised(bounding.last_work, bounding.bound, tuple(bounding.drawn)))
        bounding.drawn.clear()
        done += bounding.last_work + CELLS_A_MASTER
    return made


def _goes_on(bounding: Bounding, best: int, room: float, seconds: float) -> bool:
    if bounding.done or bounding.bound >= best:
        return False
    # Only a run that the clock stops may leave out a pricing for want of time.
    if bounding.next_work / CELLS_A_SECOND >= seconds:
        return False
    ahead = bounding.expected if bounding.again else 0  # it may take longer than all before
    return ahead < room


class Raising:
    """Raises a bound beside other work; ``beside``: over several rounds, else within one."""

    def __init__(self, bounding: Bounding, *, beside: bool) -> None:
        self.bounding = bounding
        self.beside = beside
        self.job: Future[list[Raised]] | None = None
        self.until = 0.0

    @property
    def underway(self) -> bool:
        """Whether it is being raised: nothing may be asked of it until that is over."""
        return self.job is not None

    def begin(
        self,
        pool: Executor,
        known: Sequence[Column],
        best: int,
        room: float,
        searched: int,
        seconds: float,
    ) -> None:
        """Begin what ``raised`` does; ``searched``: what plans took so far [programme cells]."""
        if not _goes_on(self.bounding, best, room, seconds):
            return
        self.until = searched + self._alone(room) if self.beside else searched
        self.job = Future()
        args = (self.job, pool, known, best, room, seconds)
        if self.until <= searched:  # a thread of its own would only take memory
            self._run(*args)
        else:
            Thread(target=self._run, args=args, daemon=True).start()

    def _alone(self, room: float) -> float:
        """Return about how long the slowest pricings run alone [programme cells].

        So much can a second worker do for plans meanwhile.
        """
        works = self.bounding.works
        one = self.bounding.next_work + CELLS_A_MASTER
        times = max(1, ceil(min(room, MOST_PRICED) / one))
        return times * one * (2 * max(works, default=0) / max(1, sum(works)) - 1)

    def due(self, searched: int) -> bool:
        """Whether to wait for what is underway: plans have had their share meanwhile."""
        return self.job is not None and searched >= self.until

    def end(self) -> list[Raised]:
        """Wait for what is underway and return what it came to."""
        if self.job is None:
            return []
        made = self.job.result()
        self.job = None
        return made

    def _run(
        self,
        job: "Future[list[Raised]]",
        pool: Executor,
        known: Sequence[Column],
        best: int,
        room: float,
        seconds: float,
    ) -> None:
        try:
            job.set_result(raised(self.bounding, pool, known, best, room, seconds))
        except BaseException as error:  # whoever waits for it is told
            job.set_exception(error)
