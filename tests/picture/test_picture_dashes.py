"""Line patterns, on long lines and on short ones, on paper and through viewports."""

from itertools import pairwise

import ezdxf
import pytest
from drawn import lines
from ezdxf.math import Vec2
from hypothesis import given
from hypothesis import strategies as st

from dimaudit.picture import pictures_of
from dimaudit.picture.stages import dashed

PATTERN = (6.0, 2.0, 1.0, 2.0)


def new():
    doc = ezdxf.new("R2010")
    doc.linetypes.add("LONG", [10.0, 8.0, -2.0])
    doc.header["$LTSCALE"] = 1.0
    return doc, doc.modelspace()


def test_a_line_begins_and_ends_with_a_dash():
    """Dashes of 8 and gaps of 2 along 44: what is left over goes to the ends (4 + 2 each)."""
    doc, model = new()
    model.add_line((0, 0), (44, 0), {"linetype": "LONG"})
    (picture,) = pictures_of(doc)
    assert lines(picture.entities[0]) == pytest.approx([6, 8, 8, 8, 6], abs=1e-3)


def test_a_line_shorter_than_its_pattern_is_whole():
    """A small part is not cut to a dot and a gap."""
    doc, model = new()
    model.add_line((0, 0), (9, 0), {"linetype": "LONG"})
    assert lines(pictures_of(doc)[0].entities[0]) == pytest.approx([9])


@pytest.mark.parametrize(("whole", "own"), [(2.0, 1.0), (1.0, 2.0), (0.5, 4.0)])
def test_the_scales_of_patterns_multiply(whole, own):
    """$LTSCALE times the entity's own scale (DXF reference, group 48): here the pattern is doubled."""
    doc, model = new()
    doc.header["$LTSCALE"] = whole
    model.add_line((0, 0), (60, 0), {"linetype": "LONG", "ltscale": own})
    assert lines(pictures_of(doc)[0].entities[0]) == pytest.approx([8, 16, 16, 8], abs=1e-3)


def test_too_many_dashes_are_a_whole_line():
    """A pattern too fine to be seen costs nothing."""
    doc, model = new()
    model.add_line((0, 0), (10_000_000, 0), {"linetype": "LONG"})
    assert len(lines(pictures_of(doc)[0].entities[0])) == 1


def test_a_circle_is_dashed_along_its_way():
    """Ten gaps of 2 in a circle of circumference 104 leave 84."""
    doc, model = new()
    model.add_circle((0, 0), 104 / 6.283185307, {"linetype": "LONG"})
    assert sum(lines(pictures_of(doc)[0].entities[0])) == pytest.approx(84, rel=0.01)


@pytest.mark.parametrize(("on_paper", "first"), [(1, 8.0), (0, 2.0)])
def test_patterns_through_a_viewport(on_paper, first):
    """$PSLTSCALE 1: as long as on the paper. 0: a quarter through a viewport at 1:4 (DXF reference, header)."""
    doc, model = new()
    doc.header["$PSLTSCALE"] = on_paper
    line = model.add_line((-400, 0), (400, 0), {"linetype": "LONG"})
    sheet = doc.layout("Layout1")
    sheet.add_viewport(center=(100, 100), size=(150, 50), view_center_point=(0, 0), view_height=200, status=2)
    (picture,) = pictures_of(doc, ["layout1"])
    (entity,) = [e for e in picture.entities if e.handle == line.dxf.handle]
    assert lines(entity)[1] == pytest.approx(first, abs=1e-3)
    assert entity.box == pytest.approx((25, 100, 175, 100))


@given(st.floats(0.5, 5000), st.floats(0.01, 100))
def test_dashes_never_leave_the_line(length, scale):
    """Whatever the lengths: the first dash starts at the start, the last ends at the end, none overlaps another."""
    pattern = [step * scale for step in PATTERN]
    found = list(dashed([Vec2(0, 0), Vec2(length / 3, 0), Vec2(length, 0)], pattern))
    assert bool(found) == (sum(pattern) <= length <= sum(pattern) * 2000)
    if found:
        assert found[0][0].x == 0
        assert found[-1][1].x == pytest.approx(length)
        ends = [x for a, b in found for x in (a.x, b.x)]
        assert all(b >= a - 1e-9 * length for a, b in pairwise(ends))
