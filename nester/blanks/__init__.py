"""From a finished size to the blank that must be sawn for it, from this stock item."""

from nester.blanks.eligible import Refusal, refusal
from nester.blanks.needed import Needed, needed, round_up
from nester.blanks.obstacles import Obstacle, obstacles
from nester.blanks.thickness import fits_flat, longest_flat, plane_off, thickness_left
from nester.blanks.trims import (
    crosscut_kerf,
    end_trim,
    far_loss,
    near_loss,
    near_losses,
    rip_kerf,
    rip_saw,
)

__all__ = [
    "Needed",
    "Obstacle",
    "Refusal",
    "crosscut_kerf",
    "end_trim",
    "far_loss",
    "fits_flat",
    "longest_flat",
    "near_loss",
    "near_losses",
    "needed",
    "obstacles",
    "plane_off",
    "refusal",
    "rip_kerf",
    "rip_saw",
    "round_up",
    "thickness_left",
]
