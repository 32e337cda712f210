"""Every copy of every part exactly once: as a blank, or counted as missing."""

from collections import Counter
from collections.abc import Iterator

from nester.verify.fault import Fault
from nester.verify.records import Plan


def check_names(plan: Plan) -> Iterator[Fault]:
    """Blanks and missing parts name parts of the plan."""
    for layout in plan.trees:
        for node in layout.tree:
            use = node.use
            if use is not None and use.kind == "blank" and use.part not in plan.parts:
                yield Fault(
                    "unknown-part", "no part has this name", layout.leaf_place(node), use.part
                )
    for entry in plan.missing:
        if entry.part not in plan.parts:
            yield Fault("unknown-part", "no part has this name", "missing", entry.part)


def check_copies(plan: Plan) -> Iterator[Fault]:
    """Blanks and missing copies together are each part's copies, each copy once."""
    placed: Counter[tuple[str, int]] = Counter()
    for layout in plan.trees:
        for node in layout.tree:
            use = node.use
            if use is None or use.kind != "blank" or use.part not in plan.parts:
                continue
            copies = plan.parts[use.part].copies
            key = (use.part, use.copy)
            placed[key] += 1
            if placed[key] == 2:
                yield Fault("copy-twice", "this copy is cut twice", layout.leaf_place(node))
            if use.copy > copies:
                message = f"copies are numbered 1 to {copies}"
                yield Fault("copy-number", message, layout.leaf_place(node), str(use.copy))
    if plan.whole:
        yield from _check_counts(plan, placed)


def _check_counts(plan: Plan, placed: Counter[tuple[str, int]]) -> Iterator[Fault]:
    """Each part has as many blanks and missing copies as copies are wanted."""
    for part in plan.parts.values():
        cut = sum(count for (name, _), count in placed.items() if name == part.name)
        missing = sum(entry.count for entry in plan.missing if entry.part == part.name)
        if cut + missing != part.copies:
            message = f"{part.copies} copies are wanted, spares included"
            found = f"{cut} cut, {missing} missing"
            yield Fault("copies", message, f"part {part.name}", found)
