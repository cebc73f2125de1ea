"""One file per rule; `registry.py` lists them."""
