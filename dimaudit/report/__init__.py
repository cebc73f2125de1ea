"""Results in, text out: no clock, no look-up of paths, a fixed order."""
