"""Numbers that are never rounded behind the reader's back."""
