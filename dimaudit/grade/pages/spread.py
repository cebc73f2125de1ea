"""The spread of a class's marks as a plot."""

from markupsafe import Markup

from dimaudit.grade.summary import BARS, Summary
from dimaudit.grade.words import counted, points_text

WIDE, HIGH = 640, 240
LEFT, RIGHT, TOP, BOTTOM = 30, 610, 30, 190


def spread_svg(summary: Summary) -> Markup:
    """A bar for each tenth of the range, with its number above; what it shows is told in words, too."""
    most = max(summary.spread, default=0) or 1
    step = (RIGHT - LEFT) / BARS
    bars, scale = [], []
    for n, many in enumerate(summary.spread):
        x = LEFT + n * step
        high = (BOTTOM - TOP) * many / most
        middle = f"{x + step / 2:g}"
        if many:
            bars.append(Markup('<rect class="bar" x="{}" y="{}" width="{}" height="{}"/>').format(
                f"{x + 4:g}", f"{BOTTOM - high:.6g}", f"{step - 8:g}", f"{high:.6g}"))  # fmt: skip
        bars.append(Markup('<text x="{}" y="{}" text-anchor="middle">{}</text>').format(
            middle, f"{BOTTOM - high - 6:.6g}", many))  # fmt: skip
    for n in range(BARS + 1):
        x = LEFT + n * step
        scale.append(Markup('<path class="line" d="M{0} {1}v6"/><text x="{0}" y="{2}" text-anchor="middle">{3}</text>')
                     .format(f"{x:g}", BOTTOM, BOTTOM + 22, points_text(summary.of * n / BARS)))  # fmt: skip
    says = "; ".join(
        f"{points_text(summary.of * n / BARS)} to {points_text(summary.of * (n + 1) / BARS)}: {many}"
        for n, many in enumerate(summary.spread) if many
    )  # fmt: skip
    return Markup(
        '<svg class="plot" viewBox="0 0 {} {}" role="img" aria-labelledby="spread-t spread-d">'
        '<title id="spread-t">How many marks lie in each tenth of the range</title><desc id="spread-d">{}</desc>'
        '<path class="line" d="M{} {}H{}"/>{}{}<text x="{}" y="{}" text-anchor="middle">mark</text></svg>'
    ).format(
        WIDE, HIGH, f"{counted(len(summary.marks), 'mark')}. {says}", LEFT, BOTTOM, RIGHT, Markup("").join(bars),
        Markup("").join(scale), (LEFT + RIGHT) / 2, BOTTOM + 42,
    )  # fmt: skip
