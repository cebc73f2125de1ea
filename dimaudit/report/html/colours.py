"""Colours of a drawing made fit for light and dark paper."""

PAPER = {"light": "#ffffff", "dark": "#15191e"}
"""As in page.css."""
LINES, LETTERING = 3.0, 4.5
"""Least contrast with the paper: WCAG 2.1, success criteria 1.4.11 and 1.4.3."""
STEPS = 20
"""A colour goes to black or white in at most so many steps."""


def on_both(colour: str, lettering: bool) -> tuple[str, str]:
    """'#rrggbb' as it is shown on light and on dark paper: the colour itself where it can be seen there."""
    least = LETTERING if lettering else LINES
    return _seen_on(colour, PAPER["light"], (0, 0, 0), least), _seen_on(colour, PAPER["dark"], (255, 255, 255), least)


def _seen_on(colour: str, paper: str, towards: tuple[int, int, int], least: float) -> str:
    rgb = parts(colour)
    for step in range(STEPS + 1):
        mixed = tuple(c + (t - c) * step // STEPS for c, t in zip(rgb, towards, strict=True))
        text = "#{:02x}{:02x}{:02x}".format(*mixed)
        if contrast(text, paper) >= least:
            break
    return text


def parts(colour: str) -> tuple[int, int, int]:
    """Red, green and blue, 0 to 255."""
    return int(colour[1:3], 16), int(colour[3:5], 16), int(colour[5:7], 16)


def contrast(one: str, other: str) -> float:
    """1 (the same) to 21 (black on white): WCAG 2.1, contrast ratio."""
    low, high = sorted((_luminance(one), _luminance(other)))
    return (high + 0.05) / (low + 0.05)


def _luminance(colour: str) -> float:
    """Relative luminance: WCAG 2.1."""
    linear = [c / 255 / 12.92 if c / 255 <= 0.04045 else ((c / 255 + 0.055) / 1.055) ** 2.4 for c in parts(colour)]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]
