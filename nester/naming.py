"""Which copy of which part a blank is, and what an offcut is called."""

from collections import Counter
from collections.abc import Callable, Iterator, Sequence

from inventory.stock import Stock
from nester.problem import Problem


class PartNames:
    """Hands out copies of parts, demand by demand, in the order of the part list."""

    def __init__(self, problem: Problem) -> None:
        self.left: list[Iterator[tuple[str, int]]] = [
            iter([(name, copy) for name, copies in d.parts for copy in range(1, copies + 1)])
            for d in problem.demands
        ]

    def __call__(self, demand: int) -> tuple[str, int] | None:
        """Return the next copy of a demand as (part, copy); None where all are handed out."""
        return next(self.left[demand], None)

    def unused(self) -> Counter[str]:
        """Return how many copies of each part were never handed out; none are left after it."""
        return Counter(name for names in self.left for name, _ in names)


class OffcutIds:
    """Names offcuts after the stock they come from, never like other stock."""

    def __init__(self, items: Sequence[Stock]) -> None:
        self.taken = {item.id for item in items}
        self.next: Counter[str] = Counter()

    def maker(self, stock: str) -> Callable[[], str]:
        """Return a function that gives the next free id: "M-1a", "M-1b" and so on for "M-1"."""

        def make() -> str:
            while True:
                name = f"{stock}{letters(self.next[stock])}"
                self.next[stock] += 1
                if name not in self.taken:
                    self.taken.add(name)
                    return name

        return make


def letters(number: int) -> str:
    """Return a, b, ... z, aa, ab, ... for 0, 1, ..."""
    text = ""
    number += 1
    while number:
        number, rest = divmod(number - 1, 26)
        text = chr(ord("a") + rest) + text
    return text
