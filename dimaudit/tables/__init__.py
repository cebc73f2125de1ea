"""Tables of published standards as plain data, with look-ups that say where a table ends."""
