"""Texts written into a TOML file."""


def toml_text(text: str) -> str:
    """A basic string of TOML 1.0: hostile text stays one harmless string."""
    short = {'"': '\\"', "\\": "\\\\", "\n": "\\n", "\t": "\\t", "\r": "\\r"}
    shown = (short.get(c) or (f"\\u{ord(c):04X}" if ord(c) < 32 or ord(c) == 127 else c) for c in text)
    return f'"{"".join(shown)}"'
