"""What a plan may hold that this checker does not know yet.

Such content is always a fault: a rule that is not checked must not pass for one that holds.
"""

from nester.verify.fault import Fault


def later(what: str, place: str, value: str | None = None) -> Fault:
    """Return the fault for content that is not known yet."""
    return Fault("not-known-yet", f"{what}: not known to this checker yet", place, value)
