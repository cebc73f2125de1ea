"""Whole files: layouts, viewports, hostile content, the same bytes; and the shape of things against another drawer."""

import io
from pathlib import Path

import ezdxf
import numpy as np
import pytest
from ezdxf.addons.drawing import Frontend, RenderContext, layout
from ezdxf.addons.drawing.config import BackgroundPolicy, ColorPolicy, Configuration, LinePolicy, TextPolicy
from ezdxf.addons.drawing.svg import SVGBackend
from ezdxf.math import BoundingBox2d
from PIL import Image

from dimaudit.model.picture import Picture
from dimaudit.picture import artist, collector, pictures_of
from dimaudit.pipeline import pictures_of_file
from dimaudit.report.png import png_of

SAMPLES = Path(__file__).parent.parent.parent / "samples"
DRAWINGS = sorted(SAMPLES.glob("*.dxf"))


def test_sheets_with_dimensions_are_drawn_beside_the_model():
    """The layouts that an audit looks at; others only by name, in any case of letters."""
    pictures = pictures_of_file(SAMPLES / "mast-step-sheet.dxf")
    assert [p.layout for p in pictures] == ["Model", "SHEET"]
    assert [p.layout for p in pictures_of_file(SAMPLES / "mast-step-sheet.dxf", ["sheet"])] == ["SHEET"]
    with pytest.raises(KeyError):
        pictures_of_file(SAMPLES / "mast-step-sheet.dxf", ["nowhere"])


def through_a_viewport(status: int = 2, frozen: tuple[str, ...] = ()):
    """A sheet that shows the model's square of 100 about (0, 0) at 1:2, 50 wide on the paper about (200, 100)."""
    doc = ezdxf.new("R2010")
    doc.layers.add("LONG")
    doc.layers.add("ROUND")
    model = doc.modelspace()
    model.add_line((-500, 0), (500, 0), {"layer": "LONG"})
    model.add_circle((0, 0), 10, {"layer": "ROUND"})
    model.add_circle((300, 0), 10)
    block = doc.blocks.new("PAD")
    block.add_line((0, 0), (10, 10), {"layer": "ROUND"})
    model.add_blockref("PAD", (20, 20))
    sheet = doc.layout("Layout1")
    view = sheet.add_viewport(
        center=(200, 100), size=(50, 50), view_center_point=(0, 0), view_height=100, status=status
    )
    view.frozen_layers = list(frozen)
    return doc, next(iter(pictures_of(doc, ["Layout1"])))


def test_a_viewport_shows_its_part_of_the_model():
    """Scaled, moved and cut off at the frame, under the model's own handles."""
    _, picture = through_a_viewport()
    boxes = {entity.kind: entity.box for entity in picture.entities}
    assert boxes["LINE"] == pytest.approx((175, 100, 225, 100))
    assert boxes["CIRCLE"] == pytest.approx((195, 95, 205, 105), abs=0.01)
    assert boxes["INSERT"] == pytest.approx((210, 110, 215, 115))
    assert len(picture.entities) == 3  # what lies outside leaves nothing


def test_a_viewport_has_layers_of_its_own():
    """A layer frozen in the viewport alone is not shown through it, within blocks neither."""
    _, picture = through_a_viewport(frozen=("ROUND",))
    assert {entity.kind for entity in picture.entities} == {"LINE"}


def test_a_viewport_that_is_off_shows_nothing():
    """Status 0 (DXF reference, VIEWPORT)."""
    _, picture = through_a_viewport(status=0)
    assert picture.entities == ()


@pytest.mark.parametrize("path", DRAWINGS, ids=lambda p: p.name)
def test_the_same_file_gives_the_same_picture(path):
    """Twice the same value, all of it drawn, and the file untouched."""
    before = path.read_bytes()
    first, second = pictures_of_file(path), pictures_of_file(path)
    assert first == second
    assert all(not picture.left_out for picture in first)
    assert path.read_bytes() == before


def ours(picture: Picture, wide: int) -> np.ndarray:
    width, height = picture.size
    line = f'stroke-width="{width / 250}" stroke'
    paths = "".join(
        f'<path d="{s.path}" {"fill" if s.filled else line}="#000"/>'
        for e in picture.entities for s in e.strokes if not s.text
    )  # fmt: skip
    return ink(
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{wide}" height="{wide * height / width}" '
        f'viewBox="0 0 {width} {height}">'
        f'<g fill="none" fill-rule="evenodd" stroke-linecap="round" stroke-linejoin="round">{paths}</g></svg>', wide
    )


def theirs(doc, picture: Picture, wide: int) -> np.ndarray:
    """The library's own SVG, without text, whole lines, black."""
    backend = SVGBackend()
    config = Configuration(
        text_policy=TextPolicy.IGNORE, line_policy=LinePolicy.SOLID, color_policy=ColorPolicy.BLACK,
        background_policy=BackgroundPolicy.OFF, min_lineweight=25.4 * 300 / 25.4 / 25.4, lineweight_scaling=0,
    )  # fmt: skip
    Frontend(RenderContext(doc, export_mode=True), backend, config).draw_layout(doc.modelspace())
    width, height = picture.size
    box = BoundingBox2d([picture.box[:2], picture.box[2:]])
    page = layout.Page(250, 250 * height / width, layout.Units.mm, layout.Margins.all(0))
    return ink(backend.get_string(page, settings=layout.Settings(fit_page=True), render_box=box), wide)


def ink(svg: str, wide: int) -> np.ndarray:
    import resvg_py

    png = resvg_py.svg_to_bytes(svg_string=svg, width=wide, dpi=96, background="#ffffff", skip_system_fonts=True)
    return np.asarray(Image.open(io.BytesIO(png)).convert("L")) < 128


def spread(dark: np.ndarray) -> np.ndarray:
    """Every dark pixel with its neighbours, two each way."""
    out = dark.copy()
    for dx in range(-2, 3):
        for dy in range(-2, 3):
            out |= np.roll(np.roll(dark, dx, 0), dy, 1)
    return out


@pytest.mark.parametrize("path", [p for p in DRAWINGS if p.name != "mast-step-sheet.dxf"], ids=lambda p: p.name)
def test_lines_lie_where_another_drawer_puts_them(path):
    """Against ezdxf's own SVG backend: of the ink of each, nearly all lies on the other's (no letters, no dashes)."""
    doc = ezdxf.readfile(path)
    for linetype in doc.linetypes:
        linetype.pattern_tags = type(linetype.pattern_tags)(ezdxf.lldxf.tags.Tags())
    for entity in list(doc.query("TOLERANCE")):
        doc.entitydb.delete_entity(entity)  # ezdxf does not draw them
    doc.modelspace().purge()
    picture = pictures_of(doc)[0]
    a, b = ours(picture, 1500), theirs(doc, picture, 1500)
    rows = min(len(a), len(b))
    a, b = a[:rows], b[:rows]
    assert a.sum() > 1000
    assert (a & spread(b)).sum() > 0.985 * a.sum()
    assert (b & spread(a)).sum() > 0.985 * b.sum()


def hostile(doc) -> None:
    model = doc.modelspace()
    model.add_line((0, 0), (10, 10))
    ring = doc.blocks.new("RING")
    ring.add_line((0, 0), (1, 0))
    ring.add_blockref("RING", (1, 1))
    model.add_blockref("RING", (0, 0))
    model.add_blockref("NOT THERE", (0, 0))
    model.add_line((0, 0), (1e300, float("inf")))
    model.add_text("H", height=1e-9)
    spline = model.add_spline([(0, 0), (1, 1), (2, 0)])
    spline.dxf.degree = 3
    model.add_linear_dim(base=(0, 9), p1=(0, 0), p2=(4, 0))
    many = {"column_count": 30_000, "row_count": 30_000, "column_spacing": 1, "row_spacing": 1}
    model.add_blockref("RING", (0, 0), many)


def test_what_cannot_be_drawn_ends_nothing():
    """A block that holds itself, one that is missing, a place that is none, an array without end: each is said."""
    doc = ezdxf.new("R2010")
    hostile(doc)
    (picture,) = pictures_of(doc)
    why = " / ".join(reason for _, reason in picture.left_out)
    for part in ("'RING' holds itself", "'NOT THERE' is not in", "no place on a drawing", "copies of its block"):
        assert part in why
    assert "LINE" in {entity.kind for entity in picture.entities}
    assert all(handle in doc.entitydb for handle, _ in picture.left_out)


def test_blocks_within_blocks_have_an_end(monkeypatch):
    """Ten copies of ten copies of … are not drawn to the end; what is left out is said."""
    monkeypatch.setattr(artist, "MOST_VISITS", 2000)
    doc = ezdxf.new("R2010")
    doc.blocks.new("B0").add_line((0, 0), (1, 0))
    for k in range(1, 9):
        block = doc.blocks.new(f"B{k}")
        for n in range(10):
            block.add_blockref(f"B{k - 1}", (n, 0))
    first = doc.modelspace().add_line((0, 0), (5, 5))
    bomb = doc.modelspace().add_blockref("B8", (0, 0))
    (picture,) = pictures_of(doc)
    assert picture.entities[0].handle == first.dxf.handle
    assert [handle for handle, _ in picture.left_out] == [bomb.dxf.handle]
    assert "larger than can be shown" in picture.left_out[0][1]


def test_a_picture_has_room_for_so_many_points(monkeypatch):
    """A drawing with more than that is shown in part, and that is said."""
    monkeypatch.setattr(collector, "MOST_POINTS", 100)
    doc = ezdxf.new("R2010")
    for k in range(200):
        doc.modelspace().add_line((k, 0), (k, 1))
    (picture,) = pictures_of(doc)
    assert len(picture.entities) == 50
    assert len(picture.left_out) == 1


def test_dense_hatches_are_shades():
    """A hatch of a million lines is filled, half clear, and takes no time."""
    doc = ezdxf.new("R2010")
    hatch = doc.modelspace().add_hatch()
    hatch.set_pattern_fill("DENSE", definition=[[0, (0, 0), (0, 0.001), []]])
    hatch.paths.add_polyline_path([(0, 0), (1000, 0), (1000, 1000), (0, 1000)], is_closed=True)
    (stroke,) = pictures_of(doc)[0].entities[0].strokes
    assert stroke.filled
    assert 0 < stroke.opacity < 1


def test_no_file_that_a_drawing_names_is_opened(monkeypatch, tmp_path):
    """Neither its images nor its plot style tables: only the frame of an image is drawn."""
    doc = ezdxf.new("R2010")
    image = doc.add_image_def(filename=str(tmp_path / "bait.png"), size_in_pixel=(10, 10))
    doc.modelspace().add_image(image, insert=(0, 0), size_in_units=(4, 4))
    doc.layout("Model").dxf.current_style_sheet = str(tmp_path / "bait.ctb")
    doc.header["$STYLESHEET"] = str(tmp_path / "bait.ctb")
    for name in ("bait.png", "bait.ctb"):
        (tmp_path / name).write_bytes(b"bait")
    opened = []
    real = io.open
    monkeypatch.setattr("builtins.open", lambda file, *a, **k: opened.append(str(file)) or real(file, *a, **k))
    monkeypatch.setattr(io, "open", lambda file, *a, **k: opened.append(str(file)) or real(file, *a, **k))
    (picture,) = pictures_of(doc)
    assert not [name for name in opened if "bait" in name]
    assert picture.entities[0].box == pytest.approx((0, 0, 4, 4))
    assert "only its frame" in picture.left_out[0][1]


def test_fonts_of_the_machine_do_not_matter(monkeypatch):
    """With no font at all on the machine a picture is the same."""
    from ezdxf.fonts import fonts

    path = SAMPLES / "winch-base-plate.dxf"
    before = pictures_of_file(path)
    monkeypatch.setattr(fonts, "font_manager", type(fonts.font_manager)())
    assert pictures_of_file(path) == before


def test_a_png_is_as_wide_as_asked():
    """A PNG file (RFC 2083: its signature, and the width in its first chunk)."""
    png = png_of('<svg xmlns="http://www.w3.org/2000/svg" width="20mm" height="10mm" viewBox="0 0 2 1"/>', 640)
    assert png[:8] == b"\x89PNG\r\n\x1a\n"
    assert (int.from_bytes(png[16:20], "big"), int.from_bytes(png[20:24], "big")) == (640, 320)
