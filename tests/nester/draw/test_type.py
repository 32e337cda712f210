"""Type: widths, fractions, clipping, cleaning."""

import xml.etree.ElementTree as ET

import pytest

from nester.draw.page import PT
from nester.draw.type import (
    FONTS,
    NAME,
    NOTE,
    SIZE,
    SMALLEST,
    clean,
    clipped,
    covered,
    face,
    joined,
    line,
    rich,
    width_of,
    wrapped,
)


@pytest.mark.parametrize(
    ("char", "regular", "bold"),
    [("0", 648, 659), ("1", 407, 440), ("8", 615, 624), ("⁄", 586, 617), ("×", 532, 536)],
)
def test_widths_are_the_fonts_own(char, regular, bold):
    """Widths are those of the font files, in thousandths of the size, as fonttools reads them."""
    assert face().widths[ord(char)] == regular / 1000
    assert face(bold=True).widths[ord(char)] == bold / 1000


def test_a_width_is_the_sum_of_its_characters():
    """The fonts have no kerning, so widths add up."""
    assert width_of("108", 10.0) == pytest.approx(4.07 + 6.48 + 6.15)
    assert line("108", 10.0).width == pytest.approx(16.7)


def test_the_family_has_what_a_drawing_needs():
    """Figures, fraction slash, primes, multiplication sign and Western letters are there."""
    assert covered("0123456789 ′″×⁄–—…·“”'\"#&%:;,.()½¼¾ÄÖÜäöüßéèñçøåłőžšČ")
    assert not covered("ж")


def test_sizes_on_paper():
    """Names 11 pt or more, measures 9, notes 7.5, and nothing under 7."""
    assert pytest.approx(11 * PT) == NAME
    assert pytest.approx(9 * PT) == SIZE
    assert pytest.approx(7.5 * PT) == NOTE
    assert pytest.approx(7 * PT) == SMALLEST


@pytest.mark.parametrize("size", [NOTE, SIZE, NAME])
def test_a_fraction_is_raised_and_lowered_figures_round_a_slash(size):
    """23 3/8 is set as 23, a raised 3, a slash and a lowered 8, none of it under 7 pt."""
    set_line = rich("23 3/8″", size)
    whole, above, slash, below, inch = set_line.runs
    assert [run.text for run in set_line.runs] == ["23 ", "3", "⁄", "8", "″"]
    assert above.rise > 0 > below.rise
    assert whole.rise == slash.rise == inch.rise == 0
    assert above.size == below.size == pytest.approx(max(0.72 * size, 7 * PT))
    assert min(run.size for run in set_line.runs) >= 7 * PT - 1e-9
    assert set_line.text == "23 3⁄8″"


def test_the_whole_number_stands_clear_of_its_fraction():
    """2 1/4 cannot be read as 21/4: the white between is a fifth of the size."""
    whole, above, *_ = rich("2 1/4", SIZE).runs
    assert above.x - (whole.x + width_of("2", SIZE)) == pytest.approx(0.2 * SIZE)


@pytest.mark.parametrize("text", ["walnut", "4/", "1/2/3", "12.5", "990.5 × 95"])
def test_text_without_a_fraction_is_one_run(text):
    """Only a fraction is set as one; dates and odd strokes stay as they are."""
    assert [run.text for run in rich(text).runs] == [text]


def test_lines_joined_stand_apart():
    """Joined lines keep their order and gap, and a blank for whoever copies the text."""
    both = joined([line("shelf", NAME, True), line("2 of 4", SIZE)], 1.5)
    assert both.text == "shelf 2 of 4"
    first = width_of("shelf", NAME, True)
    assert both.runs[1].x == pytest.approx(first + 1.5)
    assert both.width == pytest.approx(first + 1.5 + width_of("2 of 4", SIZE))


@pytest.mark.parametrize("length", [30, 10_000])
def test_a_long_text_is_clipped_to_its_room(length):
    """What does not fit ends in an ellipsis and fits."""
    text = clipped("x" * length, 20.0, SIZE)
    assert text.endswith("x…")
    assert width_of(text, SIZE) <= 20.0
    assert clipped("x", 20.0, SIZE) == "x"


def test_text_is_broken_at_blanks():
    """Lines are as long as fits, no word is lost, and a word too long for any line is clipped."""
    text = "one two three four five six"
    lines = wrapped(text, 20.0, NOTE)
    assert " ".join(lines) == text
    assert all(width_of(part, NOTE) <= 20.0 for part in lines)
    assert width_of(f"{lines[0]} {lines[1].split()[0]}", NOTE) > 20.0
    assert wrapped("a " + "w" * 99, 20.0, NOTE)[1].endswith("…")


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("a\x00b\x1bc", "a b c"),
        ("two\nlines\tand tabs", "two lines and tabs"),
        ("half \ud800 pair", "half pair"),
        ("not \ufffe a \uffff char\ufdd0", "not a char"),
        ("turned \u202eround\u202c \u2066about\u2069", "turned round about"),
        ("ארון", "ארון"),
        ("<script>&\"'", "<script>&\"'"),
    ],
)
def test_text_is_made_fit_for_xml(text, said):
    """Control characters, half surrogates and marks that turn other text are gone, letters stay."""
    assert clean(text) == said
    element = ET.Element("text")
    element.text = clean(text)
    assert ET.fromstring(ET.tostring(element, encoding="utf-8")).text == said


def test_an_endless_text_is_cut_short():
    """Of 10,000 characters some hundreds are kept, more than any line of a sheet holds."""
    assert 300 < len(clean("x" * 10_000)) < 500
    assert clean("x" * 10_000).endswith("…")


def test_the_fonts_come_with_their_licence():
    """The SIL Open Font License lies beside the fonts, and what was changed is told."""
    licence = (FONTS / "OFL.txt").read_text(encoding="utf-8")
    assert "SIL OPEN FONT LICENSE Version 1.1" in licence
    assert "Copyright 2020-2024" in licence
    assert "Nester Sans" in (FONTS / "README.txt").read_text(encoding="utf-8")
