"""What steers the audit of a drawing: the files that a user writes, the command line, and which of them counts."""

from dimaudit.config.settle import Configurations, Configured, Given, Origin, configured

__all__ = ["Configurations", "Configured", "Given", "Origin", "configured"]
