"""The checker: re-derives a whole plan from its document alone.

It shares no code with whatever made the plan. It reads the JSON document, works every rule out
again in exact integers and fractions, and names every fault. ``check.py`` lists the rules; each
topic has a file of its own.
"""

from nester.verify.check import verify_document, verify_text
from nester.verify.fault import Fault
from nester.verify.state import state_hash

__all__ = ["Fault", "state_hash", "verify_document", "verify_text"]
