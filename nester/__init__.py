"""nester: which board gives which part.

A part list and a rack of boards and sheets in; a saw-cuttable plan with a proven bound, cutting
diagrams and shop paperwork out.
"""

__version__ = "0.1.0"
