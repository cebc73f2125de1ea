"""Each dimension tied to the features it measures, and its numbers measured exactly."""

from dimaudit.attach.dimensions import attach
from dimaudit.attach.notes import hole_notes

__all__ = ["attach", "hole_notes"]
