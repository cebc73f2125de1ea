"""Pages of a graded class: one for each learner, and one of the whole class for the instructor."""
