"""From a space's linework to views, features, levels and faults. The only room that knows the geometry library."""

from dimaudit.rebuild.exploded import put_together
from dimaudit.rebuild.geometry import faults_among, rebuild, whole_sheet

__all__ = ["faults_among", "put_together", "rebuild", "whole_sheet"]
