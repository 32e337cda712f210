"""Why a part cannot be had, in words a maker understands.

``unfit`` speaks of sizes and is cheap to import; ``missing`` also looks at flaws and at a plan.
"""
