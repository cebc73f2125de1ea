"""Each kind of entity, drawn and measured from its path data, against boxes and lengths worked by hand."""

import math

import ezdxf
import pytest
from drawn import box_of, lines, segments

from dimaudit.model.picture import FOREGROUND, PAPER, Picture
from dimaudit.picture import pictures_of


def new(version: str = "R2010"):
    doc = ezdxf.new(version)
    doc.header["$INSUNITS"] = 4
    return doc, doc.modelspace()


def only(doc) -> Picture:
    (picture,) = pictures_of(doc)
    return picture


ROOT_HALF = math.sqrt(0.5)
DRAW = {
    "a line": (lambda m: m.add_line((1, 2), (5, 9)), (1, 2, 5, 9)),
    "a circle": (lambda m: m.add_circle((3, 4), 2), (1, 2, 5, 6)),
    "an arc that passes its top": (
        lambda m: m.add_arc((0, 0), 10, 45, 135), (-10 * ROOT_HALF, 10 * ROOT_HALF, 10 * ROOT_HALF, 10)
    ),
    "an ellipse, turned": (
        # half axes 2 and 1 turned by 45°: the box is the root of (4 + 1) / 2 each way
        lambda m: m.add_ellipse((0, 0), (2 * ROOT_HALF, 2 * ROOT_HALF), 0.5),
        (-(2.5**0.5), -(2.5**0.5), 2.5**0.5, 2.5**0.5),
    ),
    "a polyline with a bulge": (
        lambda m: m.add_lwpolyline([(0, 0, 1), (4, 0, 0)], format="xyb"), (0, -2, 4, 0)  # half a turn, below
    ),
    "a wide polyline": (lambda m: m.add_lwpolyline([(0, 0, 1, 1), (9, 0, 1, 1)], format="xyse"), (0, -0.5, 9, 0.5)),
    "an old polyline": (lambda m: m.add_polyline2d([(0, 0), (3, 0), (3, 2)]), (0, 0, 3, 2)),
    "a spline through a straight row": (lambda m: m.add_open_spline([(0, 0), (1, 1), (2, 2), (3, 3)]), (0, 0, 3, 3)),
    "a solid": (lambda m: m.add_solid([(0, 0), (4, 0), (0, 3), (4, 3)]), (0, 0, 4, 3)),
    "a face": (lambda m: m.add_3dface([(0, 0), (4, 0), (4, 3), (0, 3)]), (0, 0, 4, 3)),
    "a leader": (lambda m: m.add_leader([(0, 0), (5, 5), (8, 5)], dxfattribs={"has_arrowhead": 0}), (0, 0, 8, 5)),
    "a filled area": (
        lambda m: m.add_hatch(color=3).paths.add_polyline_path([(0, 0), (6, 0), (6, 5), (0, 5)], is_closed=True),
        (0, 0, 6, 5),
    ),
}  # fmt: skip


@pytest.mark.parametrize("kind", DRAW)
def test_an_entity_reaches_as_far_as_it_is_drawn(kind):
    """The box of the path data is that of the shape, and the entity's own box says the same."""
    doc, model = new()
    draw, expected = DRAW[kind]
    draw(model)
    picture = only(doc)
    (entity,) = picture.entities
    assert entity.handle == model[0].dxf.handle
    assert box_of(entity, picture) == pytest.approx(expected, abs=2e-3)
    assert entity.box == pytest.approx(expected, abs=2e-3)
    assert not picture.left_out


def test_a_picture_has_a_margin():
    """All that is drawn stands within the picture, with room for the width of the lines."""
    doc, model = new()
    model.add_line((0, 0), (100, 50))
    assert only(doc).box == pytest.approx((-2, -2, 102, 52))


def test_letters_are_as_high_as_they_say():
    """A text of height 5 stands on its base line, and its capitals are 5 high (DXF reference, TEXT group 40)."""
    doc, model = new()
    model.add_text("HE", height=5).set_placement((10, 20))
    picture = only(doc)
    _, low, _, high = box_of(picture.entities[0], picture)
    assert (low, high) == pytest.approx((20, 25), abs=0.02)
    assert all(stroke.text and stroke.filled for stroke in picture.entities[0].strokes)


@pytest.mark.parametrize("place", ["TOP_LEFT", "MIDDLE_CENTER", "BOTTOM_RIGHT"])
def test_a_text_hangs_on_its_point(place):
    """The nine ways to place a TEXT hold, whatever the width of the letters."""
    doc, model = new()
    model.add_text("HHH", height=5).set_placement((0, 0), align=ezdxf.enums.TextEntityAlignment[place])
    picture = only(doc)
    x0, y0, x1, y1 = box_of(picture.entities[0], picture)
    middle = ((x0 + x1) / 2, (y0 + y1) / 2)
    across, up = {"TOP_LEFT": (x0, y1), "MIDDLE_CENTER": middle, "BOTTOM_RIGHT": (x1, y0)}[place]
    assert across == pytest.approx(0, abs=0.7)  # the room beside a letter
    assert up == pytest.approx(0, abs=1.7)  # bottom is that of letters such as g


def test_formatted_text_has_its_height_and_colour():
    r"""MTEXT codes: `\H` sets the height, `\C` the colour; lines follow one another downward."""
    doc, model = new()
    model.add_mtext(r"{\H4;H}\P{\C1;E}", dxfattribs={"char_height": 2, "attachment_point": 1})
    picture = only(doc)
    strokes = picture.entities[0].strokes
    assert [s.colour for s in strokes] == [FOREGROUND, "#ff0000"]
    first, second = ([p[1] for _, points in segments(s) for p in points] for s in strokes)
    assert max(first) - min(first) == pytest.approx(4, abs=0.02)
    assert max(second) - min(second) == pytest.approx(2, abs=0.02)
    assert min(second) > max(first)  # y runs down


def test_letters_of_the_drafting_font_are_signs():
    r"""In `{\Fgdt;n}` the n is a diameter sign, as the audit reads it, too."""
    doc, model = new()
    model.add_mtext(r"{\Fgdt;j}", dxfattribs={"char_height": 10})
    model.add_mtext("⌖", dxfattribs={"char_height": 10})
    first, second = only(doc).entities
    assert len(first.strokes[0].path) == pytest.approx(len(second.strokes[0].path), abs=20)
    assert len(segments(first.strokes[0])) == len(segments(second.strokes[0]))


def test_a_control_frame_has_a_cell_for_each_word():
    """A TOLERANCE of three cells: two rows high letters, and each cell at least a square."""
    doc, model = new()
    doc.dimstyles.get("Standard").dxf.dimtxt = 3
    doc.dimstyles.get("Standard").dxf.dimscale = 2
    content = r"{\Fgdt;j}%%v0.1%%vA"
    frame = model.new_entity("TOLERANCE", {"insert": (100, 50), "content": content, "dimstyle": "Standard"})
    picture = only(doc)
    (entity,) = picture.entities
    assert entity.handle == frame.dxf.handle
    x0, y0, x1, y1 = box_of(entity, picture, text=False)
    assert (x0, y0, y1) == pytest.approx((100, 50 - 6, 50 + 6), abs=0.01)
    assert x1 > 100 + 3 * 12
    assert sum(move == "moveTo" for s in entity.strokes if not s.text for move, _ in segments(s)) == 3


def test_a_block_is_drawn_where_it_is_shown():
    """Scale, turn and base point of a reference; all of it under the reference's handle."""
    doc, model = new()
    block = doc.blocks.new("CLEAT", base_point=(1, 1))
    block.add_line((1, 1), (3, 1))
    block.add_circle((1, 1), 0.5)
    shown = model.add_blockref("CLEAT", (10, 20), {"xscale": 2, "yscale": 2, "rotation": 90})
    picture = only(doc)
    (entity,) = picture.entities
    assert (entity.handle, entity.kind) == (shown.dxf.handle, "INSERT")
    assert box_of(entity, picture) == pytest.approx((9, 19, 11, 24), abs=1e-3)


def test_a_dimension_is_drawn_as_its_block_shows_it():
    """Lines, arrows and text of the dimension's own block, under the dimension's handle."""
    doc, model = new()
    override = model.add_linear_dim(base=(0, 10), p1=(0, 0), p2=(40, 0), override={"dimtxt": 2.5})
    override.render()
    picture = only(doc)
    (entity,) = picture.entities
    assert (entity.handle, entity.kind) == (override.dimension.dxf.handle, "DIMENSION")
    x0, _, x1, _ = entity.box
    assert (x0, x1) == pytest.approx((0, 40), abs=0.5)
    assert any(stroke.text for stroke in entity.strokes)


def test_a_dimension_without_its_block_is_said_to_be_left_out():
    """Nothing says how such a dimension looks, so none is made up."""
    doc, model = new()
    model.add_line((0, 0), (40, 0))
    dimension = model.add_linear_dim(base=(0, 10), p1=(0, 0), p2=(40, 0)).dimension
    picture = only(doc)
    assert picture.left_out == ((dimension.dxf.handle, "DIMENSION: it comes without the block that shows it"),)


def test_endless_lines_end_at_the_edge():
    """An XLINE crosses the whole picture and a RAY half of it; neither makes it larger."""
    doc, model = new()
    model.add_line((0, 0), (100, 100))
    both = model.add_xline((50, 20), (1, 0))
    one = model.add_ray((50, 70), (1, 0))
    picture = only(doc)
    assert picture.box == pytest.approx((-2, -2, 102, 102))
    boxes = {entity.handle: entity.box for entity in picture.entities}
    assert boxes[both.dxf.handle] == pytest.approx((-2, 20, 102, 20))
    assert boxes[one.dxf.handle] == pytest.approx((50, 70, 102, 70))


def test_points_are_dots():
    """A POINT is a line of no length, for round caps to show."""
    doc, model = new()
    doc.header["$PDMODE"] = 0
    model.add_line((0, 0), (10, 10))
    model.add_point((5, 5))
    assert only(doc).entities[1].strokes[0].path.endswith("h0")


HIDDEN = {
    "off": lambda layer: layer.off(),
    "frozen": lambda layer: layer.freeze(),
    "not plotted": lambda layer: layer.dxf.set("plot", 0),
}


@pytest.mark.parametrize("how", HIDDEN)
def test_hidden_layers_are_not_shown(how):
    """What is on a layer that is off, frozen or not plotted is not on the print."""
    doc, model = new()
    HIDDEN[how](doc.layers.add("AWAY"))
    model.add_line((0, 0), (1, 1))
    model.add_line((0, 0), (9, 9), {"layer": "AWAY"})
    picture = only(doc)
    assert len(picture.entities) == 1
    assert not picture.left_out


def test_a_frozen_reference_hides_its_block_and_one_that_is_off_does_not():
    """A frozen layer hides what a reference on it brings on other layers; one that is off hides only what is on it."""
    doc, model = new()
    block = doc.blocks.new("PAD")
    block.add_line((0, 0), (2, 0), {"layer": "LINES"})
    doc.layers.add("OFF").off()
    doc.layers.add("COLD").freeze()
    shown = model.add_blockref("PAD", (0, 0), {"layer": "OFF"})
    model.add_blockref("PAD", (0, 5), {"layer": "COLD"})
    assert [e.handle for e in only(doc).entities] == [shown.dxf.handle]


def test_colours_are_as_drawn():
    """By entity, by layer, by block, true colours; 7, black and white are the foreground."""
    doc, model = new()
    doc.layers.add("RED", color=1)
    block = doc.blocks.new("PAD")
    block.add_line((0, 0), (1, 0), {"color": 0})
    model.add_line((0, 0), (1, 0), {"layer": "RED"})
    model.add_line((0, 0), (1, 0), {"color": 3})
    model.add_line((0, 0), (1, 0), {"true_color": 0x123456})
    model.add_line((0, 0), (1, 0), {"color": 7})
    model.add_line((0, 0), (1, 0), {"true_color": 0xFFFFFF})
    model.add_line((0, 0), (1, 0), {"true_color": 0x000000})
    model.add_blockref("PAD", (0, 0), {"color": 5})
    colours = [entity.strokes[0].colour for entity in only(doc).entities]
    assert colours == ["#ff0000", "#00ff00", "#123456", FOREGROUND, FOREGROUND, FOREGROUND, "#0000ff"]


def test_what_a_dimension_says_by_block_is_its_own():
    """Colour by block, and lines on layer 0, take the dimension's colour and layer."""
    doc, model = new()
    doc.layers.add("DIMS", color=4)
    model.add_linear_dim(base=(0, 9), p1=(0, 0), p2=(40, 0), dxfattribs={"layer": "DIMS"}).render()
    (entity,) = only(doc).entities
    assert entity.layer == "DIMS"
    assert {stroke.colour for stroke in entity.strokes} == {"#00ffff"}


def test_covers_are_paper():
    """A wipeout, and the ground of a text with a mask, have the colour of the paper."""
    doc, model = new()
    model.add_wipeout([(0, 0), (10, 10)])
    model.add_mtext("H", {"char_height": 2}).set_bg_color("canvas")
    wipeout, text = only(doc).entities
    assert wipeout.strokes[0].colour == PAPER
    assert [stroke.colour for stroke in text.strokes] == [PAPER, FOREGROUND]


def test_areas_keep_their_holes():
    """A hatch with an island is one path of two rings, for even-odd filling."""
    doc, model = new()
    hatch = model.add_hatch(color=2)
    hatch.paths.add_polyline_path([(0, 0), (10, 0), (10, 10), (0, 10)], is_closed=True, flags=1)
    hatch.paths.add_polyline_path([(3, 3), (6, 3), (6, 6), (3, 6)], is_closed=True, flags=16)
    (stroke,) = only(doc).entities[0].strokes
    assert stroke.filled
    assert sum(move == "closePath" for move, _ in segments(stroke)) == 2


def test_transparent_areas_stay_so():
    """A hatch of 60% transparency lets what is beneath it show."""
    doc, model = new()
    hatch = model.add_hatch(color=2)
    hatch.paths.add_polyline_path([(0, 0), (10, 0), (10, 10), (0, 10)], is_closed=True)
    hatch.transparency = 0.6
    assert only(doc).entities[0].strokes[0].opacity == pytest.approx(0.4, abs=0.01)


def test_hatch_lines_are_as_far_apart_as_their_pattern_says():
    """Lines every 2 units across a square of 10: five of them, or six where one runs along an edge."""
    doc, model = new()
    hatch = model.add_hatch()
    hatch.set_pattern_fill("SHOP", definition=[[0, (0, 0), (0, 2), []]])
    hatch.paths.add_polyline_path([(0, 1), (10, 1), (10, 11), (0, 11)], is_closed=True)
    assert lines(only(doc).entities[0]) == pytest.approx([10] * 5, abs=1e-3)


def test_lines_have_their_width():
    """Millimetres from the entity, the layer or the default of 0.25 (DXF reference: hundredths of a millimetre)."""
    doc, model = new()
    doc.layers.add("THICK", lineweight=70)
    model.add_line((0, 0), (1, 0), {"lineweight": 35})
    model.add_line((0, 0), (1, 0), {"layer": "THICK"})
    model.add_line((0, 0), (1, 0))
    assert [entity.strokes[0].width for entity in only(doc).entities] == [0.35, 0.7, 0.25]


@pytest.mark.parametrize(("high", "pen"), [(3.0, 1.0), (75.0, 25.0), (0.125, 0.125 / 3)])
def test_a_millimetre_of_line_follows_the_lettering(high, pen):
    """Letters are 3 mm high on paper (ASME Y14.2, from memory), whatever the units and the scale of the drawing."""
    doc, model = new()
    model.add_line((0, 0), (100 * high, 0))
    model.add_text("H", height=high)
    assert only(doc).pen == pytest.approx(pen)


def test_lines_stay_lines_on_a_sheet_with_tiny_letters():
    """Without lettering, or with letters too small for any paper, widths follow the size of the whole."""
    doc, model = new()
    model.add_line((0, 0), (12_000, 0))
    model.add_text("H", height=1)
    assert only(doc).pen == pytest.approx(12_480 / 1200)
