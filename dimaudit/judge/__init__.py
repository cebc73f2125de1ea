"""From attached dimensions to judgements and findings."""

from dimaudit.judge.registry import RULES
from dimaudit.judge.runner import judge_drawing

__all__ = ["RULES", "judge_drawing"]
