"""What a repository knows of its drawings: which changed since a revision, which findings are accepted."""
