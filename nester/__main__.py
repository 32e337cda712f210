"""``python -m nester``."""

from nester.cli.main import run

run()
