"""Proven lower bounds on what a plan must cost."""
