"""Layouts besides the best one, against all sequences of sections there are."""

from itertools import pairwise

import numpy as np
import pytest
from numpy.typing import NDArray

from nester.solve.bound.other_layouts import Sections, other_layouts, sections_from, sections_to

LONG = 34


def priced(seed: int) -> tuple[NDArray[np.int64], NDArray[np.int64], NDArray[np.int32]]:
    """Return sections worth something at random, and the most up to each step, as pricing does."""
    rng = np.random.default_rng(seed)
    sections = np.full((LONG + 1, LONG + 1), -1, np.int64)
    for us in range(LONG):
        for ue in range(us + 3, LONG + 1):
            if rng.random() < 0.3:
                sections[us, ue] = rng.integers(1, 9 * (ue - us))
    reached = np.zeros(LONG + 1, np.int64)
    came = np.full(LONG + 1, -1, np.int32)
    for ue in range(1, LONG + 1):
        reached[ue] = reached[ue - 1]
        for us in range(ue):
            if sections[us, ue] > 0 and reached[us] + sections[us, ue] > reached[ue]:
                reached[ue], came[ue] = reached[us] + sections[us, ue], us
    return sections, reached, came


def from_each(sections: NDArray[np.int64]) -> NDArray[np.int64]:
    """Return the most from each step to the end."""
    after = np.zeros(LONG + 1, np.int64)
    for us in range(LONG - 1, -1, -1):
        ends = [sections[us, ue] + after[ue] for ue in range(LONG + 1) if sections[us, ue] > 0]
        after[us] = max([after[us + 1], *ends])
    return after


def worth(sections: NDArray[np.int64], layout: Sections) -> int:
    """Return what a layout is worth; its sections must not overlap."""
    assert all(before[1] <= later[0] for before, later in pairwise(layout))
    return sum(int(sections[us, ue]) for us, ue in layout)


@pytest.mark.parametrize("seed", range(12))
def test_each_is_worth_what_is_said_and_has_a_section_of_its_own(seed: int) -> None:
    """The first besides the best is the best of all that have a section which that has not."""
    sections, reached, came = priced(seed)
    after = from_each(sections)
    best = sections_to(came, LONG)
    assert worth(sections, best) == reached[-1] == after[0]
    assert worth(sections, sections_from(sections, after, 0)) == after[0]
    least = int(reached[-1]) * 3 // 4
    found = list(other_layouts(reached, came, sections, after, least, 3))
    assert found
    before = [best]
    for value, layout in found:
        assert least < value == worth(sections, layout)
        assert all(set(layout) - set(other) for other in before)
        before.append(layout)
    near = max(1, (LONG + 1) // 16)
    apart = [
        int(reached[us] + sections[us, ue] + after[ue])
        for us in range(LONG)
        for ue in range(us + 1, LONG + 1)
        if sections[us, ue] > 0
        and not any(abs(us - a) <= near and abs(ue - b) <= near for a, b in best)
    ]
    assert found[0][0] == max(apart)


def test_none_where_no_other_is_worth_more() -> None:
    """The best itself is never told again."""
    sections, reached, came = priced(0)
    assert not list(other_layouts(reached, came, sections, from_each(sections), reached[-1], 3))
