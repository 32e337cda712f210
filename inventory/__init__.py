"""What a shop owns: exact lengths, boards and sheets with their flaws, files of them, and the rack.

The lower layer. It imports nothing of ``nester``.
"""
