"""The checker against plans made wrong on purpose."""

from random import Random

import pytest

from nester.verify import verify_document
from tests.nester.verify.harmless import HARMLESS, variants
from tests.nester.verify.mutations import MUTATIONS, named_mutants
from tests.nester.verify.plans import codes
from tests.nester.verify.valid import VALID

SEEDS = range(3)


@pytest.mark.parametrize("name", VALID)
def test_every_mutant_is_caught_by_its_rule(name: str) -> None:
    """Of each valid plan every mutant gives a fault with the code of the rule that it breaks."""
    doc = VALID[name]()
    for seed in SEEDS:
        for mutation, mutant in named_mutants(doc, Random(seed)):
            found = codes(mutant)
            assert mutation.rule in found, f"{mutation.name}, seed {seed}: found only {found}"


def test_there_are_mutants_enough() -> None:
    """At least a thousand different mutants are tried, and every mutation finds a place."""
    seen: set[str] = set()
    used = set()
    for name, build in VALID.items():
        doc = build()
        for seed in SEEDS:
            for mutation, mutant in named_mutants(doc, Random(seed)):
                assert mutant != doc, mutation.name
                seen.add(f"{name} {mutation.name} {mutant!r}")
                used.add(mutation.name)
    assert len(seen) >= 1000
    assert used == {mutation.name for mutation in MUTATIONS}


@pytest.mark.parametrize("name", VALID)
def test_harmless_changes_stay_valid(name: str) -> None:
    """Of each valid plan every harmless variant gives no fault."""
    doc = VALID[name]()
    for seed in SEEDS:
        for change, variant in variants(doc, Random(seed)):
            faults = [fault.line() for fault in verify_document(variant)]
            assert not faults, f"{change}, seed {seed}"


def test_every_harmless_change_finds_a_place() -> None:
    """No harmless change is passed over by all valid plans."""
    used = {change for build in VALID.values() for change, _ in variants(build(), Random(0))}
    assert len(used) == len(HARMLESS)


def test_every_rule_has_a_mutation() -> None:
    """Each code that the rules can give is broken by at least one mutation."""
    assert {mutation.rule for mutation in MUTATIONS} >= {
        "bound",
        "broken",
        "copies",
        "copy-number",
        "copy-twice",
        "corners",
        "cost",
        "cut-inside",
        "duplicate-id",
        "duplicate-name",
        "end-trim",
        "far-edge",
        "fill",
        "first-cut",
        "from",
        "gap",
        "glue-up",
        "grain",
        "grid",
        "hash",
        "kerf",
        "layout-stock",
        "match-copies",
        "match-part",
        "match-result",
        "match-stock",
        "matched",
        "material",
        "max-strips",
        "metal-clear",
        "not-from",
        "not-known-yet",
        "offcut-id",
        "offcut-size",
        "order",
        "panel-id",
        "panel-match",
        "panel-parts",
        "panel-width",
        "penalty",
        "quality",
        "required",
        "resaw-faces",
        "resaw-height",
        "resaw-match",
        "resaw-pair",
        "root",
        "rows",
        "run-cut",
        "run-last",
        "run-match",
        "run-order",
        "run-parts",
        "run-sides",
        "run-size",
        "saw",
        "sawn",
        "sheet-thickness",
        "sheet-trim",
        "short",
        "shortest-rip",
        "size",
        "stages",
        "status",
        "stock-count",
        "stock-twice",
        "straighten",
        "strip-length",
        "strip-width",
        "strips",
        "thick-spare",
        "thickness",
        "trim-place",
        "trim-size",
        "unknown-part",
        "unknown-stock",
        "value",
        "yield",
    }
