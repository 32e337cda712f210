"""What a project file may say that the planner does not plan yet.

Such keys are read and validated like all others. A project that uses one is refused when it comes
to planning, so that no plan is silently wrong. A feature that is planned is taken out of the table.
"""

from collections.abc import Callable, Mapping
from typing import NamedTuple

from inventory.issue import Issue, Source
from nester.model import Held, Part, Project


class Feature(NamedTuple):
    """A key of a part that is not planned yet: when it is used, and what to write instead."""

    key: str
    used: Callable[[Part], bool]
    instead: str


PART_FEATURES = (
    Feature("laminate", lambda part: part.laminate is not None, "the plies as parts of their own"),
    Feature("edging", lambda part: part.edging is not None, "the lipping as parts of its own"),
    Feature("resaw", lambda part: part.resaw, "resaw = false"),
    Feature("held", lambda part: part.held is not Held.FREE, 'held = "free", or no such key'),
)


def not_planned_yet(
    project: Project, places: Mapping[tuple[str, str], Source] | None = None
) -> list[Issue]:
    """Return an error for each part that asks for what is not planned yet.

    ``places`` gives the line of a part's key (``nester.readers.project.Reading``); without it the
    issue names the line of the part.
    """
    return [
        _issue(feature.key, part.name, feature.instead, (places or {}), part.source)
        for part in project.parts
        for feature in PART_FEATURES
        if feature.used(part)
    ]


def _issue(
    key: str,
    name: str,
    instead: str,
    places: Mapping[tuple[str, str], Source],
    source: Source | None,
) -> Issue:
    place = places.get((name, key), source)
    return Issue("not-planned-yet", f"{key} is not planned yet", key, instead, name, place)
