"""How each end of a dimension meets the part: on a feature, in line with one, near one, or floating.

The lengths that decide: 0.00001 in is on, 1/32 in is near (common practice, no source).
"""

from collections.abc import Callable
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest
from read.sketch import At, Sketch, of_handle

from dimaudit.model.attached import Link
from dimaudit.model.drawing import Kind
from dimaudit.model.geometry import FeatureKind

F = Fraction
ON, LINE, NEAR, FLOATING = Link.ON, Link.IN_LINE, Link.NEAR, Link.FLOATING


def plate(sketch: Sketch) -> None:
    """8 by 4, with a hole of radius 1/2 about (3, 2) and a chamfer of 1 at the right top corner."""
    sketch.chain((0, 0), (8, 0), (8, 3), (7, 4), (0, 4), (0, 0))
    sketch.circle((3, 2), "1/2")


Case = tuple[str, At, Link, At | None, str]
LEVEL: list[Case] = [
    # name, first end of a horizontal dimension to the corner (8, 0), link, the feature's place, its distance across
    ("on the corner", (0, 0), ON, (0, 0), "0"),
    ("within the snap distance", ("0.000009", 0), ON, (0, 0), "0.000009"),
    ("below the corner", (0, "-1/4"), LINE, (0, 0), "0"),
    ("above the far corner", (0, 5), LINE, (0, 0), "0"),
    ("below the hole's centre", (3, "-1/4"), LINE, (3, 2), "0"),
    ("on the edge below the hole's centre", (3, 0), LINE, (3, 2), "0"),
    ("on the hole's centre", (3, 2), ON, (3, 2), "0"),
    ("off the corner by 0.02", ("-0.02", 0), NEAR, (0, 0), "0.02"),
    ("off the corner by 0.02, below it", ("-0.02", "-0.2"), NEAR, (0, 0), "0.02"),
    ("off the hole's centre by 0.03", ("3.03", 2), NEAR, (3, 2), "0.03"),
    ("off by more than a 32nd", ("-0.04", -1), FLOATING, None, "0"),
    ("nowhere", ("1.7", -1), FLOATING, None, "0"),
    ("on the chamfer", ("7.5", "3.5"), ON, ("7.5", "3.5"), "0"),
    ("at the hole's left side", ("2.5", 2), ON, ("2.5", 2), "0"),
    ("below the hole's left side", ("2.5", -1), LINE, ("2.5", 2), "0"),
]


@pytest.mark.parametrize(("at", "link", "place", "off"), [c[1:] for c in LEVEL], ids=[c[0] for c in LEVEL])
def test_an_end_meets_the_part_as_drawn(tmp_path: Path, at: At, link: Link, place: At | None, off: str) -> None:
    """The end's link, the feature that it is tied to, and the distance by which it misses it are those drawn."""
    sketch = Sketch()
    plate(sketch)
    sketch.across(at, (8, 0), -2)
    (judgement,) = sketch.audit(tmp_path).judgements
    first, second = judgement.attached.ends
    assert second.link is ON
    assert first.link is link
    assert first.off_square == F(off) ** 2
    if place is None:
        assert first.feature is None
        assert judgement.attached.drawn is None
    else:
        assert first.feature is not None
        assert first.feature.at[0] == F(place[0])
        assert judgement.measured == 8 - F(place[0])


def test_a_floating_end_leaves_what_the_points_span(tmp_path: Path) -> None:
    """Where an end touches nothing, the number is the one that the definition points span, and it is said so."""
    sketch = Sketch()
    plate(sketch)
    sketch.across(("1.7", -1), (8, 0), -2)
    (judgement,) = sketch.audit(tmp_path).judgements
    assert (judgement.measured, judgement.from_features) == (F("6.3"), False)


ROUND: list[tuple[str, Kind, dict[int, At], Fraction | None, tuple[Link, ...]]] = [
    ("a leader that points at the circle", Kind.RADIUS, {10: (3, 2), 15: ("3.5", 2)}, F(1, 2), (ON, ON)),
    ("a centre off by 0.01", Kind.RADIUS, {10: ("3.01", 2), 15: ("3.5", 2)}, F(1, 2), (NEAR, ON)),
    ("a size off by 0.01", Kind.RADIUS, {10: (3, 2), 15: ("3.51", 2)}, F(1, 2), (ON, NEAR)),
    ("a diameter off on one side", Kind.DIAMETER, {10: ("2.5", 2), 15: ("3.51", 2)}, F(1), (ON, NEAR)),
    ("a circle that is not there", Kind.RADIUS, {10: (6, 2), 15: ("6.5", 2)}, None, (FLOATING, FLOATING)),
]


@pytest.mark.parametrize(("kind", "points", "value", "links"), [r[1:] for r in ROUND], ids=[r[0] for r in ROUND])
def test_a_radius_is_the_circles_own(
    tmp_path: Path, kind: Kind, points: dict[int, At], value: Fraction | None, links: tuple[Link, ...]
) -> None:
    """A radius or diameter measures the circle that its points touch, not the distance of its points."""
    sketch = Sketch()
    plate(sketch)
    sketch.across((0, 0), (8, 0), -2)
    made = sketch.dim(kind, points)
    (judgement,) = of_handle(sketch.audit(tmp_path), made.dxf.handle)
    assert tuple(end.link for end in judgement.attached.ends) == links
    assert (judgement.attached.drawn.value if judgement.attached.drawn else None) == value


def test_of_concentric_circles_the_one_that_is_pointed_at_is_meant(tmp_path: Path) -> None:
    """Of a hole and its counterbore each diameter measures the circle that it touches."""
    sketch = Sketch()
    sketch.rect(0, 0, 8, 4)
    sketch.circle((3, 2), "1/2")
    sketch.circle((3, 2), 1)
    for r in (F(1, 2), F(1)):
        sketch.dim(Kind.DIAMETER, {10: (3 - r, 2), 15: (3 + r, 2)})
    assert [j.measured for j in sketch.audit(tmp_path).judgements] == [1, 2]


def test_an_angle_may_be_taken_off_the_lines(tmp_path: Path) -> None:
    """An angle whose points lie on the continuation of two edges is in line with them and measures them."""
    sketch = Sketch()
    plate(sketch)
    points = {13: (8, "-1"), 14: (8, -2), 15: ("6.5", "4.5"), 10: (6, 5), 16: ("7.9", "4.5")}
    sketch.dim(Kind.ANGULAR, points)
    (judgement,) = sketch.audit(tmp_path).judgements
    assert {end.link for end in judgement.attached.ends} == {LINE}
    assert judgement.measured == 45


def test_a_radius_is_seen_through_a_viewport_that_hides_its_centre(tmp_path: Path) -> None:
    """A wide arc whose centre lies beyond the viewport's frame is still the model's arc: the arrow is on it."""
    sketch = Sketch()
    sketch.arc((0, -96), 100, 80, 100)
    sheet = sketch.sheet()
    sketch.window(sheet, (5, 5), 8, 6, (0, 3), 12)
    sketch.dim(Kind.RADIUS, {10: (5, "-44.5"), 15: (5, "5.5")}, {"dimlfac": 2.0})
    (judgement,) = sketch.audit(tmp_path).judgements
    assert judgement.measured == 100
    assert "viewport" in judgement.attached.dimension.through


Add = Callable[[Sketch], Any]
EXTENDED: list[tuple[str, Add, Fraction, FeatureKind]] = [
    ("ordinate with its leader off the part",
     lambda s: s.dim(Kind.ORDINATE, {10: (0, 0), 13: (3, 5), 14: (3, 6)}, along_x=True), F(3), FeatureKind.QUADRANT),
    ("aligned along the chamfer, moved off it",
     lambda s: s.dim(Kind.ALIGNED, {13: ("8.25", "3.25"), 14: ("7.25", "4.25"), 10: (8, 5)}), F(2),
     FeatureKind.CORNER),
]  # fmt: skip


@pytest.mark.parametrize(("add", "square", "kind"), [e[1:] for e in EXTENDED], ids=[e[0] for e in EXTENDED])
def test_extension_lines_of_every_kind_lead_to_the_part(
    tmp_path: Path, add: Add, square: Fraction, kind: FeatureKind
) -> None:
    """Ordinates and aligned dimensions that begin off the part are followed along their extension lines."""
    sketch = Sketch()
    plate(sketch)
    add(sketch)
    (judgement,) = sketch.audit(tmp_path).judgements
    last = judgement.attached.ends[-1]
    assert last.link is LINE
    assert last.feature is not None
    assert last.feature.kind is kind
    measured = judgement.measured
    assert measured == square or measured.square == square  # type: ignore[union-attr]
