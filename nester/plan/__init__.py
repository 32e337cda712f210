"""The plan and its JSON document.

A plan says what is cut from what, at which cost, and how much of that is proven.
"""

from nester.plan.read import parse_plan, read_plan
from nester.plan.records import MatchResult, Missing, Panel, Penalty, Plan, Status, Yield
from nester.plan.write import plan_document, plan_json

__all__ = [
    "MatchResult",
    "Missing",
    "Panel",
    "Penalty",
    "Plan",
    "Status",
    "Yield",
    "parse_plan",
    "plan_document",
    "plan_json",
    "read_plan",
]
