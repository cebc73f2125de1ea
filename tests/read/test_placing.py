"""Block references, layers, external references: where linework stands, and what is left out, with its reason."""

from collections.abc import Callable
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest
from ezdxf.entities import Insert
from hypothesis import given, settings
from hypothesis import strategies as st

from dimaudit.model.drawing import Arc, Circle, Curve, Kind, LineRole, Segment, Shape
from dimaudit.model.settings import Settings
from read.sketch import Sketch, audited, space_named

F = Fraction


def corners(shapes: Any) -> list[list[tuple[float, float]]]:
    return [[(float(x), float(y)) for x, y in (s.a, s.b)] for s in shapes if isinstance(s, Segment)]


def part(sketch: Sketch, name: str = "PART") -> None:
    """A block with base point (1, 1): a slanted line, a quarter arc and a circle."""
    sketch.block(name, (1, 1))
    sketch.line((1, 1), (3, 2))
    sketch.arc((2, 2), 1, 0, 90)
    sketch.circle((4, 3), "1/2")
    sketch.model()


PLACED: list[tuple[str, dict[str, Any]]] = [
    ("plain", {}),
    ("doubled", {"xscale": 2, "yscale": 2, "zscale": 2}),
    ("mirrored in x", {"xscale": -1}),
    ("mirrored in y", {"yscale": -1}),
    ("mirrored both ways", {"xscale": -1, "yscale": -1}),
    ("turned by 90", {"rotation": 90}),
    ("turned by 30", {"rotation": 30}),
    ("turned by -90 and mirrored", {"rotation": -90, "xscale": -1}),
    ("stretched", {"xscale": 3, "yscale": 2}),
    ("stretched and turned", {"xscale": 3, "yscale": 2, "rotation": 90}),
    ("seen from behind", {"extrusion": (0, 0, -1)}),
    ("seen from behind and turned", {"extrusion": (0, 0, -1), "rotation": 90}),
    ("arrayed", {"column_count": 3, "row_count": 2, "column_spacing": 7, "row_spacing": 5}),
    ("arrayed and turned", {"column_count": 2, "column_spacing": 7, "rotation": 90}),
    ("arrayed and doubled", {"column_count": 2, "column_spacing": 7, "xscale": 2, "yscale": 2, "zscale": 2}),
]


def by_the_library(insert: Insert) -> list[Any]:
    """The reference expanded by the DXF library itself."""
    single = list(insert.multi_insert()) if insert.mcount > 1 else [insert]
    return [e for one in single for e in one.virtual_entities()]


def agrees(shape: Shape, entity: Any) -> bool:
    def near(p: Any, q: Any) -> bool:
        return bool(abs(float(p[0]) - q[0]) < 1e-9 and abs(float(p[1]) - q[1]) < 1e-9)

    match shape:
        case Segment(_, a, b):
            return entity.dxftype() == "LINE" and near(a, entity.dxf.start) and near(b, entity.dxf.end)
        case Circle(_, centre, radius):
            there = entity.ocs().to_wcs(entity.dxf.center)
            return entity.dxftype() == "CIRCLE" and near(centre, there) and abs(radius - F(entity.dxf.radius)) < 1e-9
        case Arc(_, centre, _, a, b):
            there = entity.ocs().to_wcs(entity.dxf.center)
            ends = [entity.start_point, entity.end_point]
            if entity.dxf.extrusion.z < 0:
                ends.reverse()
            return entity.dxftype() == "ARC" and near(centre, there) and near(a, ends[0]) and near(b, ends[1])
        case Curve(_, points, centre):
            assert centre is not None
            on = all(_on_ellipse(entity, p) for p in points)
            return entity.dxftype() == "ELLIPSE" and near(centre, entity.dxf.center) and on
    return False


def _on_ellipse(entity: Any, p: Any) -> bool:
    x, y = float(p[0]) - entity.dxf.center.x, float(p[1]) - entity.dxf.center.y
    major, minor = entity.dxf.major_axis, entity.minor_axis
    u = (x * major.x + y * major.y) / major.magnitude**2
    v = (x * minor.x + y * minor.y) / minor.magnitude**2
    return bool(abs(u * u + v * v - 1) < 1e-9)


@pytest.mark.parametrize("attribs", [p[1] for p in PLACED], ids=[p[0] for p in PLACED])
def test_a_block_reference_is_expanded_as_the_library_expands_it(tmp_path: Path, attribs: dict[str, Any]) -> None:
    """A block's lines, arcs and circles stand where the DXF library's own expansion puts them."""
    sketch = Sketch()
    part(sketch)
    insert = sketch.insert("PART", (10, 20), **attribs)
    shapes = sketch.read(tmp_path).spaces[0].shapes
    wanted = by_the_library(insert)  # type: ignore[arg-type]
    assert len(shapes) == len(wanted) == 3 * insert.mcount  # type: ignore[attr-defined]
    assert all(agrees(s, e) for s, e in zip(shapes, wanted, strict=True))
    assert {s.origin.inserts for s in shapes} == {(insert.dxf.handle,)}


@settings(max_examples=40, deadline=None)
@given(
    st.sampled_from([-2, -1, 0.5, 1, 2]), st.sampled_from([-2, -1, 0.5, 1, 2]), st.sampled_from([0, 90, 180, 270]),
    st.sampled_from([-1, 1, 2]), st.sampled_from([0, 90, 270]), st.booleans(),
)  # fmt: skip
def test_nested_references_are_exact_at_right_angles(
    tmp_path_factory: Any, sx: float, sy: float, turn: int, outer: int, outer_turn: int, behind: bool
) -> None:
    """A reference within a reference, at right angles and short scales, keeps every coordinate an exact decimal."""
    sketch = Sketch()
    part(sketch)
    nest = sketch.block("NEST", (2, 0))
    nest.add_blockref("PART", (5, 6), dxfattribs={"xscale": sx, "yscale": sy, "rotation": turn})
    sketch.model()
    more = {"extrusion": (0, 0, -1)} if behind else {}
    sketch.insert("NEST", (10, 20), xscale=outer, yscale=outer, rotation=outer_turn, **more)
    shapes = sketch.read(tmp_path_factory.mktemp("nest")).spaces[0].shapes
    (line,) = [s for s in shapes if isinstance(s, Segment)]

    def put(x: Fraction, y: Fraction) -> tuple[Fraction, Fraction]:
        def turned(x: Fraction, y: Fraction, by: int) -> tuple[Fraction, Fraction]:
            return {0: (x, y), 90: (-y, x), 180: (-x, -y), 270: (y, -x)}[by]

        x, y = turned((x - 1) * F(sx), (y - 1) * F(sy), turn)
        x, y = x + 5, y + 6
        x, y = turned((x - 2) * outer, y * outer, outer_turn)
        x, y = x + 10, y + 20
        return (-x, y) if behind else (x, y)

    assert (line.a, line.b) == (put(F(1), F(1)), put(F(3), F(2)))
    assert len(line.origin.inserts) == 2


# --- what is left out --------------------------------------------------------------------------------------------

Prepare = Callable[[Sketch], None]


def frozen(s: Sketch) -> None:
    s.doc.layers.add("AWAY").freeze()


def off(s: Sketch) -> None:
    s.doc.layers.add("AWAY").off()


def unplotted(s: Sketch) -> None:
    s.doc.layers.add("AWAY", plot=False)


HIDDEN: list[tuple[str, Prepare, str]] = [
    ("frozen", frozen, "its layer is frozen (AWAY)"),
    ("off", off, "its layer is off (AWAY)"),
    ("not plotted", unplotted, "its layer is not plotted (AWAY)"),
]


@pytest.mark.parametrize(("prepare", "why"), [h[1:] for h in HIDDEN], ids=[h[0] for h in HIDDEN])
def test_a_layer_that_is_not_shown_is_a_loss(tmp_path: Path, prepare: Prepare, why: str) -> None:
    """Linework and dimensions on a layer that the print does not show are left out and said, with their handles."""
    sketch = Sketch()
    prepare(sketch)
    seen = sketch.line((0, 0), (1, 0))
    lines = [sketch.line((0, k), (1, k), layer="AWAY") for k in (1, 2)]
    dimension = sketch.across((0, 0), (1, 0), layer="AWAY")
    drawing = sketch.read(tmp_path)
    assert [s.origin.handle for s in drawing.spaces[0].shapes] == [seen.dxf.handle]
    assert drawing.spaces[0].dimensions == ()
    assert {(x.what, x.why, x.count, x.handles) for x in drawing.losses} == {
        ("LINE", why, 2, tuple(e.dxf.handle for e in lines)),
        ("dimension", why, 1, (dimension.dxf.handle,)),
    }


def test_the_users_layers_are_left_out_by_name(tmp_path: Path) -> None:
    """A layer named by the user is left out whatever its case, and the loss says who left it out."""
    sketch = Sketch()
    sketch.line((0, 0), (1, 0), layer="Notes")
    sketch.line((0, 1), (1, 1), layer="PART")
    drawing = sketch.read(tmp_path, Settings(left_out_layers=("NOTES",)))
    assert [s.origin.layer for s in drawing.spaces[0].shapes] == ["PART"]
    assert [(x.what, x.why) for x in drawing.losses] == [("LINE", "left out by the user (Notes)")]


def test_construction_points_are_on_no_print(tmp_path: Path) -> None:
    """Linework on the layer Defpoints is never plotted: a loss, in any case of the name."""
    sketch = Sketch()
    sketch.line((0, 0), (1, 0), layer="DEFPOINTS")
    drawing = sketch.read(tmp_path)
    assert drawing.spaces[0].shapes == ()
    assert "not plotted" in drawing.losses[0].why


def test_a_blocks_layer_zero_is_its_references_layer(tmp_path: Path) -> None:
    """Lines of a block on layer 0 take the layer of the reference: frozen with it, shown with it."""
    sketch = Sketch()
    frozen(sketch)
    sketch.block("PART")
    sketch.line((0, 0), (1, 0))
    sketch.line((0, 1), (1, 1), layer="OWN")
    sketch.model()
    sketch.insert("PART", (0, 0), layer="SHOWN")
    sketch.insert("PART", (9, 9), layer="AWAY")
    drawing = sketch.read(tmp_path)
    assert [s.origin.layer for s in drawing.spaces[0].shapes] == ["SHOWN", "OWN"]
    assert [(x.what, x.count) for x in drawing.losses] == [("INSERT", 1)]


def test_an_external_reference_is_a_loss_with_its_path(tmp_path: Path) -> None:
    """A reference to another file is not followed; the loss names that file and what to do."""
    sketch = Sketch()
    sketch.doc.add_xref_def("plates/base.dxf", "BASE")
    insert = sketch.insert("BASE", (0, 0))
    drawing = sketch.read(tmp_path)
    (loss,) = drawing.losses
    assert (loss.what, loss.count, loss.handles) == ("external reference", 1, (insert.dxf.handle,))
    assert "plates/base.dxf" in loss.why
    assert "bind" in loss.why


def test_a_block_that_holds_itself_ends(tmp_path: Path) -> None:
    """A block that holds itself, directly or through another, is expanded once and said."""
    sketch = Sketch()
    for name, other in (("A", "B"), ("B", "A")):
        block = sketch.block(name)
        sketch.line((0, 0), (1, 0))
        block.add_blockref(other, (1, 1))
    sketch.model()
    sketch.insert("A", (0, 0))
    drawing = sketch.read(tmp_path)
    assert len(drawing.spaces[0].shapes) == 2
    assert [(x.what, x.why) for x in drawing.losses] == [("INSERT", "block 'A' holds itself")]


def test_a_reference_to_no_block_is_a_loss(tmp_path: Path) -> None:
    """A reference to a block that the file does not hold is said by the block's name."""
    sketch = Sketch()
    sketch.insert("GONE", (0, 0))
    (loss,) = sketch.read(tmp_path).losses
    assert (loss.what, loss.why) == ("INSERT", "its block 'GONE' is not in the file")


PROXY = [
    (0, "ACAD_PROXY_ENTITY"), (5, "FFF0"), (100, "AcDbEntity"), (8, "0"), (100, "AcDbProxyEntity"), (90, 498),
    (91, 500), (93, 0), (94, 0),
]  # fmt: skip


def test_a_proxy_is_a_loss_that_says_what_to_do(tmp_path: Path) -> None:
    """An object of an add-on is a loss of its own, and says to explode it."""
    sketch = Sketch()
    sketch.line((0, 0), (1, 0))
    path = sketch.save(tmp_path)
    tags = "".join(f"{code:>3}\n{value}\n" for code, value in PROXY)
    text = path.read_text(encoding="utf-8")
    head, mark, tail = text.partition("  2\nENTITIES\n")
    path.write_text(head + mark + tags + tail, encoding="utf-8")
    audit = audited(path)
    (loss,) = audit.losses
    assert loss.what == "ACAD_PROXY_ENTITY"
    assert "explode" in loss.why


def test_a_sketchs_constraints_are_no_part_of_the_print(tmp_path: Path) -> None:
    """Dimensions on a sketch's constraint layer are left out and said (the DXF library's documentation)."""
    sketch = Sketch()
    sketch.across((0, 0), (1, 0), layer="*ADSK_CONSTRAINTS")
    drawing = sketch.read(tmp_path)
    assert drawing.spaces[0].dimensions == ()
    assert [(x.what, "constraints" in x.why) for x in drawing.losses] == [("dimension", True)]


def test_a_drawing_shown_as_an_underlay_is_a_loss(tmp_path: Path) -> None:
    """A drawing that is shown as an underlay is not in the file: a loss."""
    sketch = Sketch()
    sketch.into.add_underlay(sketch.doc.add_underlay_def("base.pdf"))
    assert "underlay" in [x.what for x in sketch.read(tmp_path).losses]


# --- dimensions in blocks ----------------------------------------------------------------------------------------


@pytest.mark.parametrize("name", ["Sheet", "block plan", "Model 2"])
def test_a_sheets_name_does_not_matter(tmp_path: Path, name: str) -> None:
    """A block of dimensions on a sheet is carried to the sheet, whatever the sheet is called."""
    sketch = Sketch()
    sketch.block("SIZES")
    sketch.across((0, 0), (4, 0))
    sketch.sheet(name)
    sketch.rect(10, 20, 4, 3)
    sketch.insert("SIZES", (10, 20))
    drawing = sketch.read(tmp_path)
    (dimension,) = space_named(drawing, name).dimensions
    assert (dimension.points[13], dimension.points[14]) == ((10, 20), (14, 20))


def test_a_block_with_its_own_linework_is_a_space_of_its_own(tmp_path: Path) -> None:
    """A block that holds linework and dimensions is measured once, in its definition, however often it is shown."""
    sketch = Sketch()
    sketch.block("PART", (1, 1))
    sketch.rect(0, 0, 4, 3)
    sketch.across((0, 0), (4, 0))
    sketch.model()
    sketch.insert("PART", (10, 0))
    sketch.insert("PART", (30, 0), xscale=2, yscale=2, column_count=3, column_spacing=20)
    drawing = sketch.read(tmp_path)
    assert drawing.spaces[0].dimensions == ()
    assert len(drawing.spaces[0].shapes) == 16
    (dimension,) = space_named(drawing, "block PART").dimensions
    assert dimension.points[14] == (4, 0)
    assert dimension.through == "block PART, shown 4 times"


def test_a_nested_block_is_counted_as_often_as_it_is_shown(tmp_path: Path) -> None:
    """A block with dimensions inside another one is measured once, and counted by what the sheet shows."""
    sketch = Sketch()
    sketch.block("INNER")
    sketch.rect(0, 0, 4, 3)
    sketch.across((0, 0), (4, 0))
    outer = sketch.block("OUTER")
    sketch.rect(10, 0, 4, 3)
    sketch.upright((10, 0), (10, 3))
    outer.add_blockref("INNER", (0, 0))
    sketch.model()
    sketch.insert("OUTER")
    drawing = sketch.read(tmp_path)
    found = {s.name: [d.through for d in s.dimensions] for s in drawing.spaces}
    assert found == {
        "Model": [],
        "block OUTER": ["block OUTER, shown 1 time"],
        "block INNER": ["block INNER, shown 1 time"],
    }


def test_an_unequally_scaled_block_of_dimensions_is_not_measured(tmp_path: Path) -> None:
    """Lengths in an unequally stretched block depend on the direction: they are not measured, and why."""
    sketch = Sketch()
    sketch.rect(0, 0, 8, 3)
    sketch.block("SIZES")
    sketch.across((0, 0), (4, 0))
    sketch.model()
    sketch.insert("SIZES", (0, 0), xscale=2, yscale=1)
    (judgement,) = sketch.audit(tmp_path).judgements
    assert judgement.measured is None
    assert "scaled unequally" in judgement.attached.why_not


def test_a_dimension_block_that_nothing_shows_is_not_audited(tmp_path: Path) -> None:
    """A block definition that no reference shows is no part of the drawing."""
    sketch = Sketch()
    sketch.block("SPARE")
    sketch.rect(0, 0, 4, 3)
    sketch.across((0, 0), (4, 0))
    sketch.model()
    sketch.line((0, 0), (1, 1))
    assert [s.name for s in sketch.read(tmp_path).spaces] == ["Model"]


# --- line roles --------------------------------------------------------------------------------------------------

ROLES: list[tuple[str, str, str, str, LineRole]] = [
    # name, the layer, the layer's linetype, the line's own linetype, what it is drawn for
    ("plain", "PART", "CONTINUOUS", "BYLAYER", LineRole.OUTLINE),
    ("centre by its own linetype", "PART", "CONTINUOUS", "CENTER2", LineRole.CENTRE),
    ("centre by its layer's linetype", "PART", "CENTER2", "BYLAYER", LineRole.CENTRE),
    ("hidden by its layer's linetype", "PART", "HIDDENX2", "BYLAYER", LineRole.HIDDEN),
    ("its own linetype outranks the layer's", "PART", "CENTER2", "HIDDENX2", LineRole.HIDDEN),
    ("centre by the layer's name", "CENTERLINES", "CONTINUOUS", "BYLAYER", LineRole.CENTRE),
    ("chain line (ISO 128-2)", "PART", "ISO_CHAIN", "BYLAYER", LineRole.CENTRE),
    ("dashed line (ISO 128-2)", "PART", "ACAD_ISO02W100", "BYLAYER", LineRole.HIDDEN),
]


@pytest.mark.parametrize(
    ("layer", "of_layer", "own", "role"), [r[1:] for r in ROLES], ids=[r[0] for r in ROLES]
)
def test_a_lines_role_is_told_by_its_linetype(
    tmp_path: Path, layer: str, of_layer: str, own: str, role: LineRole
) -> None:
    """Linetype, else the layer's, else the layer's name, says what a line is drawn for."""
    sketch = Sketch()
    for name in {of_layer, own} - {"CONTINUOUS", "BYLAYER"}:
        sketch.doc.linetypes.add(name, [0.5, 0.25, -0.25])
    sketch.doc.layers.add(layer, linetype=of_layer)
    sketch.line((0, 0), (1, 0), layer=layer, linetype=own)
    assert sketch.read(tmp_path).spaces[0].shapes[0].origin.role is role


def test_a_dimension_kind_is_left_in_place_by_its_block(tmp_path: Path) -> None:
    """A dimension's own drawn block is no linework of the sheet: its lines and arrows are not read as edges."""
    sketch = Sketch()
    sketch.rect(0, 0, 4, 3)
    made = sketch.into.add_linear_dim(base=(0, -1), p1=(0, 0), p2=(4, 0))
    made.render()
    drawing = sketch.read(tmp_path)
    assert len(drawing.spaces[0].shapes) == 4
    assert [d.kind for d in drawing.spaces[0].dimensions] == [Kind.LINEAR]
