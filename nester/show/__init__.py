"""A plan in words: for the terminal, and in short for those who only want the outcome."""

from nester.show.cutouts import loose_lines
from nester.show.cuts import CutRow, cut_rows
from nester.show.summary import headline, offcuts_of, summary
from nester.show.text import plan_text

__all__ = ["CutRow", "cut_rows", "headline", "loose_lines", "offcuts_of", "plan_text", "summary"]
