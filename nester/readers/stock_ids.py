"""What of a project can only be judged beside the stock: the ids in ``from`` and ``not_from``."""

from collections.abc import Mapping, Sequence

from inventory.issue import Issue, Severity, Source
from inventory.readers.values import nearest
from inventory.stock import Stock
from nester.blanks.eligible import plain
from nester.model import Part, Project


def check_against_stock(
    project: Project,
    stock: Sequence[Stock],
    places: Mapping[tuple[str, str], Source] | None = None,
) -> list[Issue]:
    """Return an issue for each stock id in the project that the stock has not.

    ``places`` gives the line of a part's key (``nester.readers.project.Reading``); without it the
    issue names the line of the part.
    """
    by_id = {item.id: item for item in stock}
    issues = []
    for part in project.parts:
        for key, ids in (("from", part.from_stock), ("not_from", part.not_from)):
            place = (places or {}).get((part.name, key), part.source)
            for name in dict.fromkeys(ids):
                if name not in by_id:
                    issues.append(_unknown(part, key, name, list(by_id), place))
                elif key == "from" and (odd := _other_material(part, by_id[name], place)):
                    issues.append(odd)
    return issues


def _unknown(part: Part, key: str, name: str, ids: Sequence[str], place: Source | None) -> Issue:
    near = nearest(name, ids)
    if near is not None:
        accepted = f'"{near}" is the nearest id in the stock'
    else:
        accepted = (
            "the id of a board or sheet in the stock" if ids else "no ids; the stock is empty"
        )
    message = f"{key}: there is no such board or sheet"
    return Issue("unknown-stock", message, name, accepted, part.name, place)


def _other_material(part: Part, item: Stock, place: Source | None) -> Issue | None:
    if plain(item.material) in {plain(name) for name in part.materials}:
        return None
    message = f'from: "{item.id}" is {item.material}, which this part does not name as its material'
    accepted = " or ".join(part.materials)
    return Issue(
        "from-other-material", message, item.id, accepted, part.name, place, Severity.CAUTION
    )
