"""Layouts graded against a key drawing."""
