"""How the effort is shared between better plans and a better bound."""

FAVOUR = 3.0
"""How much more effort goes into the bound where it alone still gains, and less where it alone does
not.

Rough lumber is such a case: its bound settles within seconds, its plans get better for minutes."""

BY_SETS = 1.0
"""How much goes into the bound by sets of boards until it ends: where few boards are wanted, it
says which of them are worth filling too."""

STALE = 0.1
"""How much effort goes into the bound for each that goes into plans, once it has gained nothing for
long, where boards are filled again and again, or has not come up to that by sets of boards."""


def bound_share(plan: bool, bound: bool, by_sets: bool, stale: bool) -> float:
    """Return how much effort goes into the bound for each that goes into plans.

    ``plan`` and ``bound`` say whether either has gained of late, ``by_sets`` that the bound by sets
    of boards has not ended, ``stale`` that no other is worth much.
    """
    if by_sets:
        return BY_SETS
    if stale:
        return STALE
    return 1.0 if plan == bound else FAVOUR if bound else 1 / FAVOUR


class Allowance:
    """How much effort the bound may take: of all that went into plans, the share it had then.

    What is shared anew counts from then on. Reckoned over all effort, a bound that had much while
    it alone gained waits for seconds once plans gain too.
    """

    def __init__(self) -> None:
        self.allowed = 0.0
        self.counted = 0

    def after(self, searched: int, share: float) -> float:
        """Return it after so much effort for plans, ``share`` being that since the last time."""
        self.allowed += share * (searched - self.counted)
        self.counted = searched
        return self.allowed
