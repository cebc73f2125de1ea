"""Many drawings audited, one apart from the other."""
