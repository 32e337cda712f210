"""Plans made wrong on purpose: from any plan that holds, many that each break one named rule.

``mutants`` works on any document, whoever made it. Each mutation is designed to break its rule for
certain, whatever the plan; where a plan offers no place for it, it is passed over.
"""

from collections.abc import Iterator
from random import Random

from tests.nester.verify import (
    mutations_flaws,
    mutations_glued,
    mutations_matches,
    mutations_parts,
    mutations_runs,
    mutations_sums,
    mutations_tree,
)
from tests.nester.verify.mutation_tools import Mutation
from tests.nester.verify.plans import Doc, copied

MUTATIONS: tuple[Mutation, ...] = (
    *mutations_tree.MUTATIONS,
    *mutations_parts.MUTATIONS,
    *mutations_flaws.MUTATIONS,
    *mutations_sums.MUTATIONS,
    *mutations_runs.MUTATIONS,
    *mutations_matches.MUTATIONS,
    *mutations_glued.MUTATIONS,
)


def mutants(doc: Doc, rng: Random) -> Iterator[tuple[str, Doc]]:
    """Yield a broken copy of ``doc`` for each mutation that has a place in it, with its rule."""
    for mutation, mutant in named_mutants(doc, rng):
        yield mutation.rule, mutant


def named_mutants(doc: Doc, rng: Random) -> Iterator[tuple[Mutation, Doc]]:
    """Yield the same with the whole mutation, so that a failing test can name it."""
    for mutation in MUTATIONS:
        mutant = copied(doc)
        if mutation.change(mutant, rng):
            yield mutation, mutant
