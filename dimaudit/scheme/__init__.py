"""The dimensions of a view as a system: what they fix, what they leave free, what they fix twice."""
