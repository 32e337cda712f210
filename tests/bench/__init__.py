"""The benchmark: how good the plans are, on published instances and on rough lumber.

    python -m tests.bench --data PATH [SET ...] [--seconds N] [--sample N --seed S]
                          [--workers N] [--only TEXT] [--out FILE]

``PATH`` is the folder of published instances (``NESTER_BENCHMARKS``, or ``../shared/benchmarks``
beside the checkout, where it is left out). Without a SET all are run; ``--list`` names them. Each
plan is written as a document and checked by ``nester.verify``; a plan that does not hold, a bound
above a cost that is known to be possible, and a plan cheaper than a proven bound each make the run
fail (exit 1). ``--out`` renews the sections of the sets that were run in a Markdown file and leaves
the others as they are; the last full run is kept in ``RESULTS.md`` here.

Nothing here is collected by pytest.
"""
