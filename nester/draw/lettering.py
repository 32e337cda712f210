"""Which label goes to which piece: one size of names for the sheet, numbers for the smallest."""

from collections.abc import Sequence
from dataclasses import dataclass

from nester.draw.clip import Segment
from nester.draw.cutting import Cutting, is_kept
from nester.draw.field import Field
from nester.draw.labels import NAME_SIZES, Words, letters, placed_key, placed_label
from nester.draw.marks import Mark, boxed
from nester.draw.names import Wording
from nester.draw.page import Box
from nester.draw.shapes import INSET
from nester.draw.type import NAME, NOTE, line
from nester.draw.view import View
from nester.layout import Node, OffcutUse


@dataclass(frozen=True, slots=True)
class Labelled:
    """A piece or offcut, what is to be written in it, and where it has room for that."""

    node: Node
    words: Words
    box: Box


def to_label(cutting: Cutting, views: Sequence[View], wording: Wording) -> list[Labelled]:
    """Return all that must be named on the drawing; offcuts are lettered within their dashes."""
    found = []
    for node in cutting.leaves:
        if not is_kept(node):
            continue
        box = main_box(node, views)
        first, second = (wording.exact(value) for value in wording.size(node))
        words = Words(wording.name(node), wording.copy(node), first, second)
        inner = box.grown(-INSET) if isinstance(node.use, OffcutUse) else box
        found.append(Labelled(node, words, inner))
    return found


def name_size_for(labelled: Sequence[Labelled]) -> float:
    """Return the largest name size that letters as many pieces as the least size does."""
    least = [item for item in labelled if letters(item.words, item.box, NAME)]
    for size in NAME_SIZES:
        spare = 1.2 if size > NAME else 0.0
        if all(letters(item.words, item.box.grown(-spare), size) for item in least):
            return size
    return NAME


def lettered(
    labelled: Sequence[Labelled], field: Field, avoid: Field
) -> tuple[list[Mark], list[Labelled]]:
    """Return the labels of all pieces that can hold one, and the pieces that are too small."""
    labels: list[Mark] = []
    small: list[Labelled] = []
    largest = name_size_for(labelled)
    sizes = [size for size in NAME_SIZES if size <= largest]
    for item in labelled:
        # A smaller name clear of the hatching is read more easily than a large one across it.
        lying = item.box.width >= item.box.height
        ways = [(size, wary) for wary in (True, False) for size in sizes]
        # In a piece that lies a smaller name is read more easily than one turned up the page.
        tries = [(*way, True) for way in ways if lying] + [(*way, False) for way in ways]
        for size, wary, upright in tries:
            around = avoid if wary else None
            found = placed_label(item.words, item.box, size, field, around, upright)
            if found is not None:
                labels += found
                break
        else:
            small.append(item)
    return labels, small


def numbered(small: Sequence[Labelled], field: Field, lines: Field) -> list[Mark]:
    """Return the numbers of the pieces too small for words, from 1 in their order."""
    marks: list[Mark] = []
    leads: list[Segment] = []
    for number, item in enumerate(small, start=1):
        marks += placed_key(number, item.box, field, lines, leads) or []
    return marks


def other_parts(labelled: Sequence[Labelled], views: Sequence[View], field: Field) -> list[Mark]:
    """Return the names on the further parts of pieces that are broken over two rows."""
    marks: list[Mark] = []
    for item in labelled:
        for box in (view.node_box(item.node) for view in views if view.shows(item.node)):
            if box.overlaps(item.box):
                continue
            text = boxed(line(f"{item.words.name}, same piece", NOTE), *box.centre)
            if box.grown(-0.8).holds(text.box) and field.free(text.box, 0.3):
                field.take(text.box)
                marks.append(text)
    return marks


def main_box(node: Node, views: Sequence[View]) -> Box:
    """Return a piece's box on the page; of one that is broken over two rows, the larger part."""
    boxes = [view.node_box(node) for view in views if view.shows(node)]
    return max(boxes, key=lambda box: box.width)
