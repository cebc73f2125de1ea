"""What the writer of a marked copy puts on its own entities, and the reader knows them by."""

MARK_APP = "DIMAUDIT"
"""Application name (group 1001) of the extended data on each mark. The layer's name is free to change; this is not."""
MARK_WORD = "audit mark: no part of the print"
"""The text (group 1000) that follows."""
