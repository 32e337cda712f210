"""What can be said of a project before planning: sizes, sums, what cannot work, cautions.

Everything here is a pure function from records to rows or issues; the printing is elsewhere.
"""
