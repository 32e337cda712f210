"""Several projects as one, for one plan over all their parts."""

import hashlib
from collections import Counter
from collections.abc import Sequence
from dataclasses import fields, replace

from inventory.issue import Issue
from nester.model import Match, Part, Project, Shop
from nester.readers.part import MOST_BLANKS


def merge_projects(projects: Sequence[Project]) -> tuple[Project | None, list[Issue]]:
    """Return one project with the parts of all; None, with the reasons, where that cannot be.

    A name that two projects use is told apart by the name of its project: "bench: leg". All must be
    made in one shop. The units are those of the first. A single project comes back as it is.

    Raises
    ------
    ValueError
        Where there is no project at all.
    """
    if not projects:
        raise ValueError("no project to merge")
    if len(projects) == 1:
        return projects[0], []
    issues = [issue for other in projects[1:] for issue in _other_shop(projects[0], other)]
    copies = sum(part.copies for project in projects for part in project.parts)
    if copies > MOST_BLANKS:
        message = "the projects together ask for more blanks than can be planned"
        accepted = f"a limit of {MOST_BLANKS:,} in one plan, spares included"
        issues.append(Issue("too-many-blanks", message, f"{copies:,}", accepted))
    if issues:
        return None, issues
    titles = _titles(projects)
    used = Counter(part.name for project in projects for part in project.parts)
    matched = Counter(match.name for project in projects for match in project.matches)
    parts: list[Part] = []
    matches: list[Match] = []
    for project, title in zip(projects, titles, strict=True):
        called = {
            part.name: part.name if used[part.name] == 1 else f"{title}: {part.name}"
            for part in project.parts
        }
        parts += [replace(part, name=called[part.name]) for part in project.parts]
        # A stack may name sequences, so those must not be called like another project's part.
        titled = {
            match.name: f"{title}: {match.name}"
            if matched[match.name] > 1 or used[match.name] > (match.name in called)
            else match.name
            for match in project.matches
        }
        matches += [
            replace(
                match,
                name=titled[match.name],
                parts=tuple(called.get(name) or titled[name] for name in match.parts),
            )
            for match in project.matches
        ]
    digest = hashlib.sha256("".join(project.sha256 for project in projects).encode()).hexdigest()
    first = projects[0]
    merged = Project(
        " + ".join(titles),
        first.units,
        first.shop,
        tuple(parts),
        tuple(matches),
        digest,
        source=first.source,
    )
    return merged, []


def _titles(projects: Sequence[Project]) -> list[str]:
    """Return the names of the projects, those that are the same told apart by a number."""
    names = Counter(project.name for project in projects)
    seen: Counter[str] = Counter()
    titles = []
    for project in projects:
        seen[project.name] += 1
        number = f" {seen[project.name]}" if names[project.name] > 1 else ""
        titles.append(project.name + number)
    return titles


def _other_shop(first: Project, other: Project) -> list[Issue]:
    """Return the issue that two projects are not made in one shop, naming the keys that differ."""
    keys = [
        field.name
        for field in fields(Shop)
        if field.name != "system"
        and getattr(first.shop, field.name) != getattr(other.shop, field.name)
    ]
    if not keys:
        return []
    message = f'planned together with "{first.name}", but its shop differs in {", ".join(keys)}'
    accepted = "one [shop] for all, best as a shop profile; or a plan for each"
    return [Issue("other-shop", message, None, accepted, other.name, other.source)]
