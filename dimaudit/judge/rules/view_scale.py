"""A whole view is drawn at another scale than its dimensions say."""

from collections.abc import Iterator

from dimaudit.exact.number import decimal_text
from dimaudit.judge.check import Rule, Sheet
from dimaudit.model.audit import Finding, Level


def check(sheet: Sheet) -> Iterator[Finding]:
    for scale in sheet.scales:
        if scale.by_user:
            continue
        n, d = scale.factor.as_integer_ratio()
        factor = str(n) if d == 1 else f"{n}/{d} ({decimal_text(scale.factor, 6)})"
        inside = [j for j in sheet.judgements if j.attached.view is scale.view]
        handles = tuple(sheet.judgements[k].attached.dimension.handle for k in scale.dimensions)
        low = (scale.view.xs.keys[0], scale.view.ys.keys[0]) if scale.view.xs.keys and scale.view.ys.keys else None
        yield Finding(
            rule="view-scale-disagrees",
            level=Level.WARNING,
            handles=handles,
            message=f"{scale.view.name} is drawn at {n}:{d} against the sizes that its dimensions state",
            why=(
                f"{len(handles)} of {len(inside)} dimensions of the view, with {scale.values} distinct values, "
                f"differ from the geometry by the same factor {factor}",
                "the dimensions of the view were judged with that factor taken out",
            ),
            suggestion=f"set DIMLFAC to {decimal_text(1 / scale.factor, 9)} for the view's dimensions and "
            "restore '<>', or draw the view at full size; a view's scale belongs on the print",
            at=low,
            layout=inside[0].attached.dimension.layout if inside else "",
            view=scale.view.name,
        )


RULE = Rule("view-scale-disagrees", Level.WARNING, "a view's dimensions all differ from it by one factor", check)
