"""The layouts that a search knows: of each set of blanks from a stock item the cheapest."""

from collections.abc import Iterable, Iterator

from nester.solve.columns import Column


class Known:
    """Layouts in the order in which they were found; beyond ``most`` the oldest give way."""

    def __init__(self, most: int) -> None:
        self.most = most
        self.fresh: list[Column] = []
        self._columns: dict[tuple[int, tuple[int, ...]], Column] = {}

    def __iter__(self) -> Iterator[Column]:
        return iter(self._columns.values())

    def latest(self, most: int) -> list[Column]:
        """Return the newest."""
        return list(self._columns.values())[-most:]

    def add(self, columns: Iterable[Column]) -> None:
        """Add those that are new, or cheaper than what is known with the same blanks."""
        for column in columns:
            key = (column.stock, column.counts)
            known = self._columns.get(key)
            if known is None or column.cost < known.cost:
                self._columns.pop(key, None)
                self._columns[key] = column
                self.fresh.append(column)
        while len(self._columns) > self.most:
            del self._columns[next(iter(self._columns))]
        del self.fresh[: -self.most]

    def news(self) -> list[Column]:
        """Return what was added since this was last asked."""
        found, self.fresh = self.fresh, []
        return found
