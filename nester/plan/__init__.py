"""The plan: what is cut from what, at which cost, how much of that is proven; and its JSON document."""

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
