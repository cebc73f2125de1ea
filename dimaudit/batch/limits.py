"""What one drawing may take, and what is said of one that would take more."""

from dataclasses import dataclass

SECONDS = 120.0
"""A print of a shop takes well under one second, a sheet with thousands of dimensions some ten. Common practice."""
MEGABYTES = 2000
"""The same sheets take some hundred; two workers of this size still leave room on a small machine. Common practice."""
LEAST_MEGABYTES = 200
"""What a worker takes before it has read anything is about half of this."""

TO_DO = "see whether it holds far more than a drawing, or give it more with"


@dataclass(frozen=True, slots=True)
class Limits:
    """For one drawing at a time."""

    seconds: float = SECONDS
    megabytes: int = MEGABYTES
    """Of memory for data, where the system can hold a process to that."""

    def too_long(self) -> str:
        return f"its audit took longer than {self.seconds:g} s, the limit: {TO_DO} --time-limit"

    def too_large(self) -> str:
        return f"its audit took more than {self.megabytes} MB of memory, the limit: {TO_DO} --memory-limit"
