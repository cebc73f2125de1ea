"""Which view a dimension belongs to, and at what scale the view stands.

Layouts of views and details are invented; their conventions (aligned views, details at another scale, borders
around everything) are common practice, no source.
"""

from collections.abc import Callable
from dataclasses import dataclass, field
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest
from read.sketch import At, Number, Sketch, audited, of_handle

from dimaudit.model.audit import Verdict
from dimaudit.model.drawing import Kind
from dimaudit.model.settings import Settings, ViewBox
from dimaudit.model.units import Unit

F = Fraction
ONE, TENTH = F(1), F(1, 10)


@dataclass
class Plan:
    """What a drawing holds: for each dimension its view's name, factor and value; for each view a line of it."""

    sketch: Sketch
    dimensions: list[tuple[Any, str, Fraction, Fraction]] = field(default_factory=list)
    markers: dict[str, str] = field(default_factory=dict)
    settings: Settings = field(default_factory=Settings)
    furniture: list[str] = field(default_factory=list)
    """Handles of lines that belong to no view."""

    def view(self, name: str, entities: list[Any]) -> None:
        self.markers[name] = entities[0].dxf.handle

    def plate(self, name: str, x: Number, y: Number, w: Number, h: Number, holes: bool = True) -> None:
        """A rectangular view with its width, its height and, where it is big enough, a hole."""
        x, y, w, h = (F(v) for v in (x, y, w, h))
        self.view(name, self.sketch.rect(x, y, w, h))
        if holes:
            self.sketch.circle((x + w / 2, y + h / 2), min(w, h) / 8)

    def sizes(
        self, name: str, x: Number, y: Number, w: Number, h: Number, factor: Fraction = ONE, hole: bool = True,
        off: Number = TENTH,
    ) -> None:  # fmt: skip
        """Width below, height on the left, and the hole's place and size; `factor` goes into DIMLFAC."""
        x, y, w, h, off = (F(v) for v in (x, y, w, h, off))
        style = {"dimlfac": float(factor), "dimdec": 4}
        add = self.sketch
        made = [
            (add.across((x, y), (x + w, y), y - off, style=style), w),
            (add.upright((x, y), (x, y + h), x - off, style=style), h),
        ]
        if hole:
            mid, r = (x + w / 2, y + h / 2), min(w, h) / 8
            made.append((add.across((x, y), mid, y - 2 * off, style=style), w / 2))
            made.append((add.dim(Kind.DIAMETER, {10: (mid[0] - r, mid[1]), 15: (mid[0] + r, mid[1])}, style), 2 * r))
        for dimension, value in made:
            self.dimensions.append((dimension, name, factor, value * factor))

    def dimension(self, made: Any, name: str, value: Number, factor: Fraction = ONE) -> None:
        self.dimensions.append((made, name, factor, F(value)))


def one_view(plan: Plan) -> None:
    plan.plate("only", 1, 1, 6, 4)
    plan.sizes("only", 1, 1, 6, 4)


def two_views(plan: Plan) -> None:
    for name, x, w in (("front", 1, 6), ("side", 10, 2)):
        plan.plate(name, x, 1, w, 4)
        plan.sizes(name, x, 1, w, 4)


def three_views_on_one_centreline(plan: Plan) -> None:
    for name, x, y, w, h in (("front", 2, 2, 6, 4), ("side", 12, 2, 2, 4), ("top", 2, 9, 6, 2)):
        plan.plate(name, x, y, w, h)
        plan.sizes(name, x, y, w, h)
    plan.sketch.line((1, 4), (16, 4), linetype="CENTER")
    plan.sketch.line((5, 1), (5, 12), linetype="CENTER")


def five_views(plan: Plan) -> None:
    spots = [("front", 4, 6, 5, 3), ("left", 0, 6, 2, 3), ("right", 11, 6, 2, 3), ("top", 4, 11, 5, 2),
             ("bottom", 4, 2, 5, 2)]  # fmt: skip
    for spot in spots:
        plan.plate(*spot)
        plan.sizes(*spot)


def detail_at_two_to_one(plan: Plan) -> None:
    plan.plate("main", 1, 1, 6, 4)
    plan.sizes("main", 1, 1, 6, 4)
    plan.plate("detail", 11, 1, 3, 2)
    plan.sizes("detail", 11, 1, 3, 2, factor=F(1, 2))


def overall_at_one_to_two(plan: Plan) -> None:
    plan.plate("overall", 1, 1, 6, 4)
    plan.sizes("overall", 1, 1, 6, 4, factor=F(2))
    plan.plate("part", 11, 1, 3, 2)
    plan.sizes("part", 11, 1, 3, 2)


def details_close_together(plan: Plan) -> None:
    """Two details at different scales with one dimension laid from one to the other by mistake of layout only."""
    for name, x, factor in (("at 2:1", 1, F(1, 2)), ("at 4:1", 6, F(1, 4)), ("at 1:2", 11, F(2))):
        plan.plate(name, x, 1, 4, 3)
        plan.sizes(name, x, 1, 4, 3, factor=factor)


def nested_outlines(plan: Plan) -> None:
    plan.plate("frame", 0, 0, 12, 10, holes=False)
    plan.sketch.rect(2, 2, 8, 6)
    plan.sketch.rect(4, 4, 2, 2)
    plan.sketch.circle((8, 5), F(1, 2))
    add = plan.sketch
    plan.dimension(add.across((0, 0), (12, 0), -1), "frame", 12)
    plan.dimension(add.across((2, 2), (10, 2), F(3, 2)), "frame", 8)
    plan.dimension(add.across((4, 4), (6, 4), F(7, 2)), "frame", 2)
    plan.dimension(add.upright((4, 4), (4, 6), F(7, 2)), "frame", 2)
    plan.dimension(add.across((0, 0), (8, 5), -2), "frame", 8)
    plan.dimension(add.dim(Kind.RADIUS, {10: (8, 5), 15: (F(17, 2), 5)}), "frame", F(1, 2))


def close_neighbours(plan: Plan) -> None:
    """Views of size 4 that stand a fifth apart."""
    for k, name in enumerate(("left", "middle", "right")):
        x = F(k) * F(21, 5)
        plan.plate(name, x, 0, 4, 3)
        plan.sizes(name, x, 0, 4, 3, off=F(1, 20))


def _frame(plan: Plan, x: Number, y: Number, w: Number, h: Number) -> None:
    plan.furniture += [e.dxf.handle for e in plan.sketch.rect(x, y, w, h)]


def sheet_border_with_title_block(plan: Plan) -> None:
    two_views(plan)
    _frame(plan, -2, -4, 17, 12)
    _frame(plan, 9, -4, 6, F(3, 2))
    plan.sketch.line((9, F(-13, 4)), (15, F(-13, 4)))
    plan.sketch.line((12, -4), (12, F(-5, 2)))


def double_border(plan: Plan) -> None:
    two_views(plan)
    _frame(plan, -2, -4, 17, 12)
    _frame(plan, F(-5, 2), F(-9, 2), 18, 13)


def loose_pieces(plan: Plan) -> None:
    """A broken view: edges that meet nowhere, held together by the dimensions alone, beside a whole one."""
    add = plan.sketch
    pieces = [
        add.line((0, 0), (0, 3)), add.line((5, 0), (5, 3)), add.line((1, 4), (4, 4)), add.circle((F(5, 2), 1), F(1, 4)),
    ]  # fmt: skip
    plan.view("loose", pieces)
    plan.dimension(add.across((0, 0), (5, 0), -1), "loose", 5)
    plan.dimension(add.across((0, 0), (F(5, 2), 1), -2), "loose", F(5, 2))
    plan.dimension(add.upright((0, 0), (1, 4), -1), "loose", 4)
    plan.plate("whole", 9, 0, 4, 3)
    plan.sizes("whole", 9, 0, 4, 3)


def by_the_users_box(plan: Plan) -> None:
    """Two outlines that touch are two views by the user's word, the second drawn at 1:2."""
    plan.plate("left", 0, 0, 4, 3)
    plan.sizes("left", 0, 0, 4, 3)
    plan.plate("right", F(9, 2), 0, 4, 3)
    plan.sizes("right", F(9, 2), 0, 4, 3)
    plan.dimensions[-4:] = [(d, n, F(2), v * 2) for d, n, _, v in plan.dimensions[-4:]]
    box = ViewBox((F(17, 4), F(-3)), (F(9), F(4)), F(1, 2))
    plan.settings = Settings(views=(box,))


def through_two_viewports(plan: Plan) -> None:
    """One view seen at 1:2 and a small one seen at 2:1, both dimensioned on the sheet."""
    plan.plate("big", 0, 0, 8, 6)
    plan.plate("small", 20, 0, 2, 1)
    sheet = plan.sketch.sheet()
    plan.sketch.window(sheet, (5, 5), 8, 6, (4, 3), 12)
    plan.sketch.window(sheet, (15, 5), 8, 6, (21, F(1, 2)), 3)
    for name, centre, aim, scale, w, h in (("big", (5, 5), (4, 3), F(1, 2), 8, 6),
                                          ("small", (15, 5), (21, F(1, 2)), F(2), 2, 1)):  # fmt: skip
        x, y = aim[0] - F(w, 2), aim[1] - F(h, 2)

        def put(at: At, centre: Any = centre, aim: Any = aim, scale: Fraction = scale) -> At:
            return centre[0] + (F(at[0]) - aim[0]) * scale, centre[1] + (F(at[1]) - aim[1]) * scale

        style = {"dimlfac": float(1 / scale)}
        below = put((x, y - F(h, 10)))[1]
        left = put((x - F(w, 10), y))[0]
        plan.dimension(plan.sketch.across(put((x, y)), put((x + w, y)), below, style=style), name, w)
        plan.dimension(plan.sketch.upright(put((x, y)), put((x, y + h)), left, style=style), name, h)


def sections_on_two_sheets(plan: Plan) -> None:
    """The same view dimensioned in the model and on a sheet."""
    plan.plate("both", 0, 0, 8, 6)
    plan.sizes("both", 0, 0, 8, 6)
    sheet = plan.sketch.sheet()
    plan.sketch.window(sheet, (5, 5), 8, 8, (4, 3), 16)
    style = {"dimlfac": 2.0}
    plan.dimension(plan.sketch.across((3, F(7, 2)), (7, F(7, 2)), 3, style=style), "both", 8)


def hidden_and_dashed(plan: Plan) -> None:
    """A hidden edge belongs to the view that it is drawn in, even where a centreline leads out of it."""
    plan.plate("front", 0, 0, 6, 4)
    plan.sizes("front", 0, 0, 6, 4)
    plan.sketch.line((2, 0), (2, 4), linetype="DASHED")
    plan.dimension(plan.sketch.across((0, 4), (2, 4), 5), "front", 2)
    plan.plate("side", 8, 0, 2, 4)
    plan.sizes("side", 8, 0, 2, 4)
    plan.sketch.line((-1, 2), (11, 2), linetype="CENTER")


def ordinates_that_end_on_a_neighbour(plan: Plan) -> None:
    """The leaders of ordinates end where their text stands, here on the edge of the view above."""
    plan.plate("front", 0, 0, 6, 4)
    plan.plate("top", 0, 7, 6, 2)
    plan.sizes("top", 0, 7, 6, 2)
    for x in (3, 6):
        points = {10: (0, 0), 13: (x, 4 if x == 6 else 2), 14: (x, 7)}
        plan.dimension(plan.sketch.dim(Kind.ORDINATE, points, along_x=True), "front", x)
    plan.dimension(plan.sketch.across((0, 0), (6, 0), -1), "front", 6)


def jogged_radius_across_a_neighbour(plan: Plan) -> None:
    """The displaced centre and the jog of a foreshortened radius stand anywhere, here on another view's edge."""
    plan.plate("front", 0, 0, 6, 4)
    plan.sizes("front", 0, 0, 6, 4)
    bow = plan.sketch.arc((30, -20), 25, 80, 100)
    plan.view("bow", [bow])
    foot = plan.sketch.line(("25.6587955583", "4.6201938253"), ("34.3412044417", "4.6201938253"))
    assert foot is not None
    points = {10: (30, -20), 15: (30, 5), 13: (6, 1), 14: (6, 2)}
    plan.dimension(plan.sketch.dim(Kind.JOGGED_RADIUS, points), "bow", 25)


PLANS: list[Callable[[Plan], None]] = [
    one_view, two_views, three_views_on_one_centreline, five_views, detail_at_two_to_one, overall_at_one_to_two,
    details_close_together, nested_outlines, close_neighbours, sheet_border_with_title_block, double_border,
    loose_pieces, by_the_users_box, through_two_viewports, sections_on_two_sheets, hidden_and_dashed,
    ordinates_that_end_on_a_neighbour, jogged_radius_across_a_neighbour,
]  # fmt: skip


def drawn(build: Callable[[Plan], None], unit: Unit, version: str = "R2010") -> Plan:
    sketch = Sketch(unit, version)
    for name in ("CENTER", "DASHED"):
        sketch.doc.linetypes.add(name, [0.5, 0.25, -0.25])
    plan = Plan(sketch)
    build(plan)
    return plan


@pytest.mark.parametrize("build", PLANS, ids=lambda f: f.__name__)
def test_every_dimension_goes_to_its_view_at_its_scale(tmp_path: Path, build: Callable[[Plan], None]) -> None:
    """Each dimension measures the view that it was drawn for, times that view's scale, and the view holds no other."""
    plan = drawn(build, Unit.INCH)
    audit = audited(plan.sketch.save(tmp_path), plan.settings)
    views: dict[str, Any] = {}
    for dimension, name, factor, value in plan.dimensions:
        (judgement,) = of_handle(audit, dimension.dxf.handle)
        view = judgement.attached.view
        assert view is not None
        handles = {s.origin.handle for s in view.shapes}
        assert plan.markers[name] in handles
        assert not handles & set(plan.furniture)
        assert not [other for other, handle in plan.markers.items() if other != name and handle in handles]
        assert views.setdefault(name, view) is view
        assert judgement.factor == factor
        assert judgement.measured == value
        if build is not by_the_users_box:
            assert judgement.verdict is Verdict.EXACT
    assert set(views) == {name for _, name, _, _ in plan.dimensions}
    if build is not by_the_users_box:
        assert [f for f in audit.findings if f.rule == "view-scale-disagrees"] == []


@pytest.mark.parametrize("build", [one_view, two_views], ids=lambda f: f.__name__)
def test_an_old_file_has_the_same_views(tmp_path: Path, build: Callable[[Plan], None]) -> None:
    """An R12 file, which carries unused points at 0,0 for every dimension, has the same views and dimensions."""
    plan = drawn(build, Unit.INCH, "R12")
    plan.view("stray", plan.sketch.rect(F(-1, 4), F(-1, 4), F(1, 4), F(1, 4)))
    audit = audited(plan.sketch.save(tmp_path), Settings(unit=Unit.INCH, gap=F(1, 1000)))
    for dimension, name, _, value in plan.dimensions:
        (judgement,) = of_handle(audit, dimension.dxf.handle)
        view = judgement.attached.view
        assert view is not None
        handles = {s.origin.handle for s in view.shapes}
        assert [other for other, handle in plan.markers.items() if handle in handles] == [name]
        assert judgement.measured == value


# --- a scale found from the dimensions themselves ---------------------------------------------------------------


@dataclass(frozen=True)
class Typed:
    """What is typed over the sizes of a plate of 6 by 4 with a hole 3 from the left edge, 1 in diameter."""

    name: str
    texts: tuple[str | None, ...]
    """For width, height, place of the hole, diameter; None leaves the measured value."""
    factor: Fraction
    wrong: int
    """How many are called wrong, since no scale explains them."""


SCALES = [
    Typed("nothing typed", (None, None, None, None), F(1), 0),
    Typed("one wrong", ("12", None, None, None), F(1), 1),
    Typed("one wrong by exactly two among correct typed ones", ("12", "4", "3", "1"), F(1), 1),
    Typed("two alike are a mistake made twice", ("12", "8", None, None), F(1), 2),
    Typed("two of two", ("12", "8"), F(1), 2),
    Typed("three of three at 1:2", ("12", "8", "6"), F(1, 2), 0),
    Typed("three of three at 2:1", ("3", "2", "1.5"), F(2), 0),
    Typed("three of three at 3:4", ("8", "5.333", "4"), F(3, 4), 0),
    Typed("four of four at 1:10", ("60", "40", "30", "10"), F(1, 10), 0),
    Typed("four of four in millimetres", ("152.4", "101.6", "76.2", "25.4"), F(5, 127), 0),
    Typed("three of four", ("12", "8", "6", "1"), F(1), 3),
    Typed("three, each by another factor", ("12", "12", "12"), F(1), 3),
]


@pytest.mark.parametrize("case", SCALES, ids=lambda c: c.name)
def test_a_scale_is_found_only_where_the_dimensions_agree_on_it(tmp_path: Path, case: Typed) -> None:
    """Three distinct typed values off by one factor are a view's scale; fewer, or disagreeing ones, are wrong."""
    sketch = Sketch()
    sketch.rect(0, 0, 6, 4)
    sketch.circle((3, 2), F(1, 2))
    makers = [
        lambda t: sketch.across((0, 0), (6, 0), -1, **t),
        lambda t: sketch.upright((0, 0), (0, 4), -1, **t),
        lambda t: sketch.across((0, 0), (3, 2), -2, **t),
        lambda t: sketch.dim(Kind.DIAMETER, {10: ("5/2", 2), 15: ("7/2", 2)}, **t),
    ]
    for make, text in zip(makers, case.texts, strict=False):
        make({} if text is None else {"text": text})
    audit = sketch.audit(tmp_path)
    assert {j.factor for j in audit.judgements} == {1 / case.factor}
    assert sum(j.verdict is Verdict.WRONG for j in audit.judgements) == case.wrong
    said = [f for f in audit.findings if f.rule == "view-scale-disagrees"]
    assert len(said) == (case.factor != 1)


@pytest.mark.parametrize("count", [5, 10])
def test_one_wrong_value_does_not_hide_the_scale_of_the_others(tmp_path: Path, count: int) -> None:
    """Where all but one of five or more agree on a scale, that one is judged at the scale and called wrong."""
    sketch = Sketch()
    sketch.chain((0, 0), (20, 0), (20, 1))
    for k in range(1, count + 1):
        sketch.line((k, 0), (k, F(1, 2)))
        sketch.across((0, 0), (k, F(1, 2)), -k, text="77" if k == 3 else str(2 * k))
    audit = sketch.audit(tmp_path)
    assert {j.factor for j in audit.judgements} == {F(2)}
    assert [j.text for j in audit.judgements if j.verdict is Verdict.WRONG] == ["77"]
