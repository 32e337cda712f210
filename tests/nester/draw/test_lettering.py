"""Which label goes where."""

from nester.draw.cutting import taken_apart
from nester.draw.field import Field
from nester.draw.labels import Words
from nester.draw.lettering import Labelled, lettered
from nester.draw.marks import Text
from nester.draw.page import Box
from tests.nester.draw.wood import small_board


def test_a_smaller_name_is_taken_before_one_across_a_flaw():
    """14 mm high, the lowest 5 mm hatched: the largest name would need the hatching's room."""
    _, layout, _ = small_board()
    (node, *_) = taken_apart(layout).pieces
    piece = Labelled(node, Words("end rail, lower", "2 of 2", "12 1/2″", "3″"), Box(0, 0, 52, 14))
    flaw = Box(0, 9.6, 52, 14)
    field, hatched = Field(Box(0, 0, 100, 100)), Field(Box(0, 0, 100, 100))
    hatched.take(flaw)
    marks, small = lettered([piece], field, hatched)
    texts = [mark for mark in marks if isinstance(mark, Text)]
    assert (len(texts), small) == (2, [])
    assert not any(text.box.overlaps(flaw) for text in texts)


def test_a_piece_that_is_all_flaw_is_named_all_the_same():
    """Where no size is clear of the hatching, the hatching gives way."""
    _, layout, _ = small_board()
    (node, *_) = taken_apart(layout).pieces
    piece = Labelled(node, Words("cleat", "", "12″", "3″"), Box(0, 0, 70, 14))
    field, hatched = Field(Box(0, 0, 100, 100)), Field(Box(0, 0, 100, 100))
    hatched.take(piece.box)
    marks, small = lettered([piece], field, hatched)
    assert [mark.line.text for mark in marks if isinstance(mark, Text)] == ["cleat", "12″ × 3″"]
    assert small == []
