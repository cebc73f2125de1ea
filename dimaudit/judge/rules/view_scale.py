"""A view's scale against what its dimensions, its label and its viewport say."""

from collections import defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction

from dimaudit.exact.number import decimal_text
from dimaudit.judge.check import Rule, Sheet
from dimaudit.judge.labels import PlacedLabel
from dimaudit.judge.saying import finding, named
from dimaudit.judge.scale import FITTING, ViewFactor, factors_of
from dimaudit.model.audit import Finding, Judgement, Level
from dimaudit.model.drawing import ANGLES, Kind, Point
from dimaudit.model.stated import DIAMETERS, Stated
from dimaudit.model.units import IN_MM, Unit
from dimaudit.model.view import View
from dimaudit.text.markup import plain_text
from dimaudit.text.scale_label import ratio_text

NAME = "view-scale-disagrees"
CONVERSIONS = frozenset(a / b for a in IN_MM.values() for b in IN_MM.values() if a != b)
"""Factors between units: a DIMLFAC of 25.4 converts, it is no scale."""
LETTERS = (Fraction(18, 10), Fraction(7))
"""Letters of a label on a sheet are this high, in millimetres (nominal heights of ISO 3098-1, from memory; larger
ones are titles). Where they are so high as drawn, the space is the sheet itself, at 1:1."""


def check(sheet: Sheet) -> Iterator[Finding]:
    labels = [p for p in sheet.labels if p.label.factor is not None]
    yield from _found_scales(sheet, labels)
    by_view: dict[int, list[Judgement]] = defaultdict(list)
    for judgement in sheet.judgements:
        if judgement.attached.view is not None:
            by_view[id(judgement.attached.view)].append(judgement)
    by_label: dict[int, _Expected] = {}
    findings: list[Finding] = []
    if labels:
        factors = factors_of((v for g in sheet.geometries for v in g.views), sheet.judgements, sheet.scales)
        for geometry in sheet.geometries:
            own = [p for p in labels if p.layout == geometry.space.name]
            drawn = [factors[id(v)] for v in geometry.views]
            printed = _Print(sheet, [p for p in own if p.pane is None], drawn)
            findings += _labels_of_views(printed, drawn)
            findings += _labels_of_panes([p for p in own if p.pane is not None], factors)
            by_label.update(_expected(printed, own))
    for geometry in sheet.geometries:
        for view in geometry.views:
            yield from _two_factors(sheet, view, by_view[id(view)], by_label.get(id(view)))
    yield from findings


def _found_scales(sheet: Sheet, labels: Sequence[PlacedLabel]) -> Iterator[Finding]:
    """Views whose dimensions all differ from them by one factor."""
    for scale in sheet.scales:
        if scale.by_user:
            continue
        n, d = scale.factor.as_integer_ratio()
        factor = str(n) if d == 1 else f"{n}/{d} ({decimal_text(scale.factor, 6)})"
        inside = [j for j in sheet.judgements if j.attached.view is scale.view]
        handles = tuple(sheet.judgements[k].attached.dimension.handle for k in scale.dimensions)
        low = (scale.view.xs.keys[0], scale.view.ys.keys[0]) if scale.view.xs.keys and scale.view.ys.keys else None
        own = [p for p in labels if p.view is scale.view and p.label.factor == scale.factor]
        yield Finding(
            rule=NAME,
            level=Level.WARNING,
            handles=handles,
            message=f"{scale.view.name} is drawn at {n}:{d} against the sizes that its dimensions state",
            why=(
                f"{len(handles)} of {len(inside)} dimensions of the view, with {scale.values} distinct values, "
                f"differ from the geometry by the same factor {factor}",
                "the dimensions of the view were judged with that factor taken out",
                *(f'its label "{_words(p)}" says the same' for p in own),
            ),
            suggestion=f"set DIMLFAC to {decimal_text(1 / scale.factor, 9)} for the view's dimensions and "
            "restore '<>', or draw the view at full size; a view's scale belongs on the print",
            at=low,
            layout=inside[0].attached.dimension.layout if inside else "",
            view=scale.view.name,
        )


# --- two factors in one view --------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class _Length:
    """A length of the view: what it spans along which axis, and by which factor its number is made."""

    judgement: Judgement
    axis: int
    low: Fraction
    high: Fraction

    @property
    def factor(self) -> Fraction:
        return self.judgement.attached.dimension.true_factor

    @property
    def stated(self) -> Fraction:
        assert self.judgement.stated is not None
        return self.judgement.stated


def _two_factors(
    sheet: Sheet, view: View, judgements: Sequence[Judgement], label: "_Expected | None"
) -> Iterator[Finding]:
    """Dimensions that state what is drawn, each by its own DIMLFAC, and so contradict one another or the view's label.

    One dimension with a factor of its own may be a length that is drawn shortened by a break.
    """
    fitting = [
        j for j in judgements
        if j.verdict in FITTING and j.from_features and j.stated and j.attached.dimension.kind not in ANGLES
        and isinstance(j.reading, Stated) and j.reading.sign not in DIAMETERS
    ]  # fmt: skip
    if len({j.attached.dimension.true_factor for j in fitting}) < 2:
        return
    lengths = [length for j in fitting if (length := _length(j)) is not None]
    contradicted = False
    for k, one in enumerate(lengths):
        for two in lengths[k + 1 :]:
            why = _contradiction(one, two)
            if why:
                contradicted = True
                yield _contradicting(sheet, view, one.judgement, two.judgement, why)
    if not contradicted:
        by_label = list(_mixed_by_label(view, fitting, label)) if label is not None else []
        yield from by_label or _mixed(view, fitting)


def _length(judgement: Judgement) -> _Length | None:
    """Horizontal and vertical lengths between two features; none for others."""
    attached = judgement.attached
    features = [end.feature for end in attached.ends if end.feature is not None]
    if attached.dimension.kind not in (Kind.LINEAR, Kind.ALIGNED) or len(features) != 2:
        return None
    a, b = features[0].at, features[1].at
    axis = _axis(attached.dimension.kind, attached.dimension.angle, a, b)
    if axis is None:
        return None
    low, high = sorted((a[axis], b[axis]))
    return _Length(judgement, axis, low, high)


def _axis(kind: Kind, angle: Fraction, a: Point, b: Point) -> int | None:
    if kind is Kind.LINEAR:
        return {Fraction(0): 0, Fraction(90): 1}.get(angle % 180)
    return 0 if a[1] == b[1] else 1 if a[0] == b[0] else None


def _contradiction(one: _Length, two: _Length) -> str:
    """Why the numbers can't both be true of one part; empty where they can."""
    ratio = one.factor / two.factor
    if one.axis != two.axis or ratio == 1 or ratio in CONVERSIONS:
        return ""
    if (one.low, one.high) == (two.low, two.high):
        return "both are given between the same features"
    for inner, outer in ((one, two), (two, one)):
        within = outer.low <= inner.low and inner.high <= outer.high
        if within and inner.stated >= outer.stated:
            return "the one is a part of the other and is stated to be no shorter"
    return ""


def _contradicting(sheet: Sheet, view: View, one: Judgement, two: Judgement, why: str) -> Finding:
    a, b = (j.attached.dimension for j in (one, two))
    made = finding(
        NAME, Level.ERROR, one, sheet,
        f"{named(one)} and {named(two)} contradict one another: DIMLFAC is {decimal_text(a.true_factor, 9)} for the "
        f"one and {decimal_text(b.true_factor, 9)} for the other",
        [why, f"{view.name} has one scale, so its dimensions have one DIMLFAC"],
        "give both dimensions the DIMLFAC of the view's scale",
    )  # fmt: skip
    return Finding(
        made.rule, made.level, (a.handle, b.handle), made.message, made.why, made.suggestion, made.at, made.layout,
        made.view,
    )  # fmt: skip


LEAST_MIXED = 2
"""Dimensions that must share the rarer factor: one alone may be a length that is drawn shortened."""


def _mixed(view: View, fitting: Sequence[Judgement]) -> Iterator[Finding]:
    """Several dimensions at each of two factors, that do not contradict one another only because they never meet."""
    by_factor: dict[Fraction, list[Judgement]] = defaultdict(list)
    for j in fitting:
        by_factor[j.attached.dimension.true_factor].append(j)
    main = max(by_factor, key=lambda f: (len(by_factor[f]), f == 1))
    for factor, own in by_factor.items():
        if factor / main in CONVERSIONS or factor == main or len({j.stated for j in own}) < LEAST_MIXED:
            continue
        yield Finding(
            rule=NAME,
            level=Level.WARNING,
            handles=tuple(j.attached.dimension.handle for j in own),
            message=f"{view.name} is dimensioned at two scales: DIMLFAC is {decimal_text(main, 9)} for "
            f"{len(by_factor[main])} dimensions and {decimal_text(factor, 9)} for {len(own)}",
            why=(
                "each text is what its own DIMLFAC makes of the drawn length",
                "a view has one scale, so its dimensions have one DIMLFAC",
            ),
            suggestion="find out which sizes are the part's, and give all dimensions of the view that DIMLFAC",
            at=None if own[0].attached.dimension.shown_at is None else _xy(own[0].attached.dimension.shown_at),
            layout=own[0].attached.dimension.layout,
            view=view.name,
        )


def _mixed_by_label(view: View, fitting: Sequence[Judgement], label: "_Expected") -> Iterator[Finding]:
    """The dimensions of a view with several factors that don't have the one its label names."""
    needed = 1 / label.factor
    right = [j for j in fitting if j.attached.dimension.true_factor == needed]
    wrong = [
        j for j in fitting
        if (factor := j.attached.dimension.true_factor) != needed and factor / needed not in CONVERSIONS
    ]  # fmt: skip
    if not wrong or not (label.placed.label.title or (right and needed != 1)):
        return  # without a title it may be the drawing's own scale
    others = {j.attached.dimension.true_factor for j in wrong}
    if right and len(wrong) < LEAST_MIXED and others != {1}:
        return
    has = ", ".join(decimal_text(f, 9) for f in sorted(others))
    others_have = [f"{len(right)} of {len(fitting)} lengths have DIMLFAC {decimal_text(needed, 9)}"] if right else []
    many = f"{len(wrong)} of {len(fitting)} lengths" if len(wrong) > 1 else named(wrong[0])
    yield Finding(
        rule=NAME,
        level=Level.WARNING,
        handles=tuple(j.attached.dimension.handle for j in wrong),
        message=f'the label "{_words(label.placed)}" of {view.name} needs DIMLFAC {decimal_text(needed, 9)}, and '
        f"{many} {'have' if len(wrong) > 1 else 'has'} DIMLFAC {has}",
        why=(*label.why, *others_have, "a view has one scale, so its dimensions have one DIMLFAC"),
        suggestion=f"set DIMLFAC to {decimal_text(needed, 9)} for {'these dimensions' if len(wrong) > 1 else 'it'}, "
        "or correct the label",
        at=None if wrong[0].attached.dimension.shown_at is None else _xy(wrong[0].attached.dimension.shown_at),
        layout=wrong[0].attached.dimension.layout,
        view=view.name,
    )


# --- labels -------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class _Expected:
    """What a label says of the view it stands at: drawn size over true size, in the space where it is drawn."""

    placed: PlacedLabel
    factor: Fraction
    why: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class _Witness:
    """A label of a view that is drawn at a known factor; what is printed is `print` times what is drawn."""

    placed: PlacedLabel
    view: ViewFactor

    @property
    def says(self) -> Fraction:
        assert self.placed.label.factor is not None
        return self.placed.label.factor

    @property
    def print(self) -> Fraction:
        return self.says / self.view.factor


class _Print:
    """How a space is printed, as far as its labels and its letters say."""

    def __init__(self, sheet: Sheet, labels: Sequence[PlacedLabel], drawn: Sequence[ViewFactor]) -> None:
        by_view = {id(f.view): f for f in drawn}
        of_views = [p for p in labels if p.view is not None and p.label.worded]
        self.witnesses = [_Witness(p, by_view[id(p.view)]) for p in of_views if by_view[id(p.view)].known]
        self.unknown = [p for p in of_views if not by_view[id(p.view)].known]
        self.general = {p.label.factor for p in labels if p.view is None and p.label.worded}
        unclear = any(p.view is None and not p.label.worded for p in labels)  # '1:25' in a title block, maybe
        self.is_sheet = not unclear and bool(of_views) and _is_the_sheet(sheet, of_views[0])

    def at(self, witnesses: int) -> tuple[Fraction, str] | None:
        """The scale of the print and how it is known; of that many labels of views, if nothing else says it."""
        if self.general:
            (one, *more) = self.general
            return None if more or one is None else (one, f"the drawing's own scale is stated as {ratio_text(one)}")
        if len(self.witnesses) >= witnesses:
            main = _main(self.witnesses)
            said = f"by the label of {main.view.view.name} the space is printed at {ratio_text(main.print)}"
            return main.print, said
        return (Fraction(1), "the letters are of a size for a print at 1:1") if self.is_sheet else None


def _expected(printed: _Print, labels: Sequence[PlacedLabel]) -> Iterator[tuple[int, _Expected]]:
    """By the identity of the view: what its label says, for views whose own dimensions don't agree on a factor."""
    at = printed.at(1) if printed.unknown else None
    for p in printed.unknown if at is not None else ():
        assert at is not None
        assert p.label.factor is not None
        yield id(p.view), _Expected(p, p.label.factor / at[0], (at[1],))
    for p in labels:
        if p.pane is not None and p.view is not None and p.label.worded and p.label.factor is not None:
            yield id(p.view), _Expected(p, p.label.factor / p.pane.scale, (f"it is shown through {p.pane.name}",))


def _labels_of_views(space: _Print, drawn: Sequence[ViewFactor]) -> Iterator[Finding]:
    """Labels in the space where the view is drawn. They say drawn on paper over true, and how the space is printed is
    not known: so they are held against one another, against the drawing's own scale, or, where the letters show that
    the space is the sheet itself, against the view."""
    at = space.at(2) if space.witnesses else None
    if at is None:
        return
    printed, whence = at
    for w in space.witnesses:
        wanted = printed * w.view.factor
        if w.says == wanted or (w.says / wanted in CONVERSIONS and w.view.factor != 1):
            continue
        others = [f for f in drawn if f.view is not w.view.view]
        if not w.placed.label.title and (
            w.view.factor == 1 or any(f.factor * printed == w.says for f in others)
        ):
            continue  # the scale of the whole drawing, which happens to stand near this view
        if not space.general and w.view.factor == 1 and not any(f.known and f.factor == 1 for f in others):
            continue  # nothing shows that this view is no larger than it would be at 1:1
        yield _label_finding(w, wanted, (whence, f"the view's scale is from {w.view.source}"))


def _main(witnesses: Sequence[_Witness]) -> _Witness:
    """The witness that the others are held against: of most that agree, full size and untitled before details."""

    def rank(w: _Witness) -> tuple[int, bool, bool]:
        title = w.placed.label.title
        return sum(o.print == w.print for o in witnesses), w.view.factor == 1, not title.startswith("detail")

    return max(witnesses, key=rank)


def _is_the_sheet(sheet: Sheet, placed: PlacedLabel) -> bool:
    """Whether the space itself is what is printed: no viewport shows it smaller, and letters are as on paper."""
    unit = sheet.drawing.unit
    if unit is None or unit is Unit.DEGREE or any(p.scale != 1 for g in sheet.geometries for p in g.space.panes):
        return False
    return LETTERS[0] <= placed.note.height * IN_MM[unit] <= LETTERS[1]


def _labels_of_panes(labels: Sequence[PlacedLabel], factors: dict[int, ViewFactor]) -> Iterator[Finding]:
    """Labels on a sheet: the viewport's scale times the view's own is what they must say."""
    wanted = [
        (p, factor, p.pane.scale * factor.factor)
        for p in labels
        if p.view is not None and p.pane is not None and (factor := factors[id(p.view)]).known
    ]
    for placed, factor, scale in wanted:
        says = placed.label.factor
        assert says is not None
        assert placed.pane is not None
        if not placed.label.worded or says == scale or says / scale in CONVERSIONS:
            continue
        if not placed.label.title and any(says == other for _, _, other in wanted):
            continue  # the sheet's main scale, beside a view at another one
        yield _label_finding(
            _Witness(placed, factor), scale,
            (f"the view is shown through {placed.pane.name}", f"the view's scale is from {factor.source}"),
        )  # fmt: skip


def _label_finding(w: _Witness, wanted: Fraction, why: tuple[str, ...]) -> Finding:
    return Finding(
        rule=NAME,
        level=Level.WARNING,
        handles=(w.placed.note.origin.handle,),
        message=f'the label "{_words(w.placed)}" of {w.view.view.name} says {ratio_text(w.says)}, and the view is '
        f"shown at {ratio_text(wanted)}",
        why=why,
        suggestion="correct the label, or the DIMLFAC of the view's dimensions: the two must agree",
        at=_xy(w.placed.note.at),
        layout=w.placed.layout,
        view=w.view.view.name,
    )


def _words(placed: PlacedLabel) -> str:
    return " ".join(plain_text(placed.note.text).split())


def _xy(point: Point) -> tuple[float, float]:
    return float(point[0]), float(point[1])


RULE = Rule(NAME, Level.ERROR, "a view's scale contradicts its dimensions, its label or its viewport", check)
