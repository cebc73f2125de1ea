"""One DIMENSION and what hangs on it: points, angles, texts, style overrides, association (DXF reference)."""

from collections.abc import Mapping
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest
from ezdxf.entities.dxfentity import DXFTagStorage
from ezdxf.lldxf.extendedtags import ExtendedTags
from ezdxf.lldxf.types import DXFTag

from dimaudit.model.attached import Hold, Link
from dimaudit.model.drawing import Dimension, Kind
from dimaudit.model.settings import Settings
from dimaudit.model.style import AngleFormat, DimStyle, LinearFormat, Stacking
from dimaudit.read import read_drawing
from read.sketch import NEEDED, Sketch

F = Fraction
LEVEL = {13: (0, 0), 14: (4, 0), 10: (4, -1)}


def only(sketch: Sketch, folder: Path) -> Dimension:
    (dimension,) = sketch.read(folder).spaces[0].dimensions
    return dimension


# --- texts and stored measurement --------------------------------------------------------------------------------

OVERRIDES: list[tuple[str, str | None, str | None]] = [
    ("absent", None, None), ("empty", "", None), ("the measured value alone", "<>", None), ("one blank", " ", " "),
    ("a number", "2.500", "2.500"), ("words around it", "4X <> TYP", "4X <> TYP"), ("control codes", "%%c.5%%p.1",
    "%%c.5%%p.1"), ("formatting codes", "{\\H0.7x;\\S1/2;}", "{\\H0.7x;\\S1/2;}"), ("a sign", "Ø10 ±0,1", "Ø10 ±0,1"),
]  # fmt: skip


@pytest.mark.parametrize(("text", "override"), [o[1:] for o in OVERRIDES], ids=[o[0] for o in OVERRIDES])
def test_the_override_is_the_raw_text(tmp_path: Path, text: str | None, override: str | None) -> None:
    """Group 1 is kept raw; absent, empty and '<>' all mean the measured value."""
    sketch = Sketch()
    sketch.dim(Kind.LINEAR, LEVEL, **({} if text is None else {"text": text}))
    assert only(sketch, tmp_path).override == override


STORED: list[tuple[str, float | None, Fraction | None]] = [
    ("a length", 4.25, F(17, 4)), ("absent", None, None), ("zero", 0.0, None), ("minus one", -1.0, None),
    ("negative", -4.0, None), ("beyond all lengths", 1e301, None), ("tiny", 1e-9, F(1, 10**9)),
]  # fmt: skip


@pytest.mark.parametrize(("value", "stored"), [s[1:] for s in STORED], ids=[s[0] for s in STORED])
def test_the_stored_measurement_counts_only_where_it_is_one(
    tmp_path: Path, value: float | None, stored: Fraction | None
) -> None:
    """Group 42 is a measurement; zero, negative and absurd values mean that nothing was measured."""
    sketch = Sketch()
    sketch.dim(Kind.LINEAR, LEVEL, **({} if value is None else {"actual_measurement": value}))
    assert only(sketch, tmp_path).stored == stored


def drawn(sketch: Sketch, *texts: tuple[str, str]) -> None:
    block = sketch.doc.blocks.new("*D1")
    for kind, text in texts:
        if kind == "MTEXT":
            block.add_mtext(text)
        else:
            block.add_text(text)
    block.add_line((0, 0), (4, 0))
    sketch.dim(Kind.LINEAR, LEVEL, geometry="*D1")


DRAWN: list[tuple[str, tuple[tuple[str, str], ...], str | None]] = [
    ("a paragraph", (("MTEXT", "\\A1;4.00"),), "\\A1;4.00"), ("a line of text", (("TEXT", "4.00"),), "4.00"),
    ("two texts", (("TEXT", "4.01"), ("TEXT", "3.99")), "4.01 3.99"), ("no text", (), None),
    ("a blank text", (("TEXT", " "),), None),
]  # fmt: skip


@pytest.mark.parametrize(("texts", "wanted"), [d[1:] for d in DRAWN], ids=[d[0] for d in DRAWN])
def test_the_drawn_text_comes_from_the_dimensions_block(
    tmp_path: Path, texts: tuple[tuple[str, str], ...], wanted: str | None
) -> None:
    """What a person sees is the text in the block that draws the dimension."""
    sketch = Sketch()
    drawn(sketch, *texts)
    assert only(sketch, tmp_path).drawn_text == wanted


def test_a_dimension_without_its_block_has_no_drawn_text(tmp_path: Path) -> None:
    """A dimension that names a block that is not in the file has no drawn text."""
    sketch = Sketch()
    sketch.dim(Kind.LINEAR, LEVEL, geometry="*D99")
    assert only(sketch, tmp_path).drawn_text is None


# --- points ------------------------------------------------------------------------------------------------------

ALL_POINTS = {10: (4, -1), 13: (0, 0), 14: (4, 0), 15: (1, 2), 16: (2, 3)}


@pytest.mark.parametrize("kind", list(Kind), ids=str)
def test_a_missing_point_is_said_and_not_guessed(tmp_path: Path, kind: Kind) -> None:
    """A dimension without one of the points that its kind needs is not measured, and the group is named."""
    for missing in NEEDED[kind]:
        sketch = Sketch()
        made = sketch.dim(kind, {group: at for group, at in ALL_POINTS.items() if group in NEEDED[kind]})
        path = sketch.save(tmp_path)
        lines = path.read_text(encoding="utf-8").split("\n")
        start = lines.index("ENTITIES")
        start = lines.index(made.dxftype(), start)
        at = next(k for k in range(start + 1, len(lines), 2) if lines[k].strip() == str(missing))
        del lines[at : at + 6]
        path.write_text("\n".join(lines), encoding="utf-8")
        (dimension,) = read_drawing(path, Settings()).spaces[0].dimensions
        assert f"group {missing}" in dimension.unmeasurable


def test_a_dimension_seen_from_behind_keeps_its_world_points(tmp_path: Path) -> None:
    """With the extrusion 0,0,-1 the points 10 to 15 are in world coordinates, 16 and the text's middle are mirrored."""
    sketch = Sketch()
    points = {13: (0, 2), 14: (4, 2), 15: (1, 0), 10: (3, 4), 16: (-3, 3)}
    sketch.dim(Kind.ANGULAR, points, extrusion=(0, 0, -1), text_midpoint=(-3, 3))
    dimension = only(sketch, tmp_path)
    assert dimension.points == {13: (0, 2), 14: (4, 2), 15: (1, 0), 10: (3, 4), 16: (3, 3)}
    assert dimension.text_at == (3, 3)


def test_the_angle_of_a_dimension_seen_from_behind_is_mirrored(tmp_path: Path) -> None:
    """A rotated dimension seen from behind measures along the mirrored direction."""
    sketch = Sketch()
    sketch.chain((0, 0), (4, 3), (4, 0), (0, 0))
    sketch.dim(Kind.LINEAR, {13: (0, 0), 14: (4, 3), 10: (0, 0)}, angle=135, extrusion=(0, 0, -1))
    (judgement,) = sketch.audit(tmp_path).judgements
    assert judgement.measured is not None
    assert judgement.measured.square == F(49, 2)  # type: ignore[union-attr]


EXTRUSIONS: list[tuple[str, tuple[float, float, float], bool]] = [
    ("the default", (0, 0, 1), True), ("none", (0, 0, 0), True), ("from behind", (0, 0, -1), True),
    ("longer", (0, 0, 2), True), ("noise", (1e-12, 0, 1), True), ("tilted", (0, 1, 1), False),
    ("on edge", (1, 0, 0), False),
]  # fmt: skip


@pytest.mark.parametrize(("extrusion", "measured"), [e[1:] for e in EXTRUSIONS], ids=[e[0] for e in EXTRUSIONS])
def test_only_a_tilted_plane_is_not_measured(
    tmp_path: Path, extrusion: tuple[float, float, float], measured: bool
) -> None:
    """A dimension in the sheet's plane is measured whatever its extrusion says; a tilted one is not, and says why."""
    sketch = Sketch()
    sketch.rect(0, 0, 4, 3)
    sketch.dim(Kind.LINEAR, LEVEL, extrusion=extrusion)
    (judgement,) = sketch.audit(tmp_path).judgements
    assert judgement.measured == (4 if measured else None)
    assert ("tilted" in judgement.attached.why_not) is not measured


TYPES: list[tuple[int, Kind | None, bool]] = [
    (0, Kind.LINEAR, False), (1, Kind.ALIGNED, False), (2, Kind.ANGULAR, False), (3, Kind.DIAMETER, False),
    (4, Kind.RADIUS, False), (5, Kind.ANGULAR_3P, False), (6, Kind.ORDINATE, False), (70, Kind.ORDINATE, True),
    (32, Kind.LINEAR, False), (160, Kind.LINEAR, False), (163, Kind.DIAMETER, False), (7, None, False),
    (47, None, False),
]  # fmt: skip


@pytest.mark.parametrize(("code", "kind", "along_x"), TYPES, ids=[str(t[0]) for t in TYPES])
def test_the_kind_is_the_masked_type(tmp_path: Path, code: int, kind: Kind | None, along_x: bool) -> None:
    """Group 70 without its flags is the kind; an unknown one is not measured, and says its number."""
    sketch = Sketch()
    sketch.into.new_entity(
        "DIMENSION",
        {"dimtype": code, "dimstyle": "Standard", "defpoint": (4, -1), "defpoint2": (0, 0), "defpoint3": (4, 0),
         "defpoint4": (1, 2), "defpoint5": (2, 3)},
    )  # fmt: skip
    dimension = only(sketch, tmp_path)
    if kind is None:
        assert f"type {code & 15} is not known" in dimension.unmeasurable
    else:
        assert (dimension.kind, dimension.along_x, dimension.unmeasurable) == (kind, along_x, "")


# --- oblique extension lines -------------------------------------------------------------------------------------

OBLIQUE: list[tuple[str, float, float, tuple[int, int], dict[str, Any]]] = [
    # name, rotation, oblique angle, the way of the extension lines, more attributes
    ("level", 0, 45, (1, 1), {}),
    ("level, leaning left", 0, 135, (-1, 1), {}),
    ("upright", 90, 45, (-1, 1), {}),
    ("upright, leaning right", 90, -45, (1, 1), {}),
    ("level, seen from behind", 0, 45, (-1, 1), {"extrusion": (0, 0, -1)}),
]


@pytest.mark.parametrize(
    ("angle", "oblique", "way", "more"), [o[1:] for o in OBLIQUE], ids=[o[0] for o in OBLIQUE]
)
def test_oblique_extension_lines_lean_from_the_dimension_line(
    tmp_path: Path, angle: float, oblique: float, way: tuple[int, int], more: Mapping[str, Any]
) -> None:
    """Group 52 added to group 50 is the angle of the extension lines: along them an end that stands off is in line."""
    sketch = Sketch()
    sketch.rect(0, 0, 4, 4)
    first, second = (0, 0), (4, 0) if angle == 0 else (0, 4)
    off = tuple((x - F(way[0], 4), y - F(way[1], 4)) for x, y in (first, second))
    points = {13: off[0], 14: off[1], 10: (off[1][0] - way[0], off[1][1] - way[1])}
    sketch.dim(Kind.LINEAR, points, angle=angle, oblique_angle=oblique, **more)
    (judgement,) = sketch.audit(tmp_path).judgements
    ends = judgement.attached.ends
    assert [end.link for end in ends] == [Link.IN_LINE, Link.IN_LINE]
    assert [end.feature.at for end in ends if end.feature] == [first, second]
    assert judgement.measured == 4


def test_oblique_extension_lines_turn_with_their_block(tmp_path: Path) -> None:
    """A block of dimensions turned by 90 degrees turns its oblique extension lines, too."""
    sketch = Sketch()
    sketch.block("PART")
    sketch.rect(0, 0, 4, 4)
    sketch.block("SIZES")
    points = {13: (-0.25, -0.25), 14: (3.75, -0.25), 10: (2.75, -1.25)}
    sketch.dim(Kind.LINEAR, points, oblique_angle=45)
    sketch.model()
    for name in ("PART", "SIZES"):
        sketch.insert(name, (10, 10), rotation=90)
    (judgement,) = sketch.audit(tmp_path).judgements
    assert [end.link for end in judgement.attached.ends] == [Link.IN_LINE, Link.IN_LINE]
    assert judgement.measured == 4


# --- style and its overrides -------------------------------------------------------------------------------------

VARIABLES: list[tuple[str, Any, str, Any]] = [
    ("dimlfac", 25.4, "factor", F(127, 5)), ("dimlfac", -2.0, "factor", F(-2)), ("dimlfac", 0.0, "factor", F(1)),
    ("dimdec", 3, "places", 3), ("dimrnd", 0.25, "round_to", F(1, 4)), ("dimlunit", 4, "linear_format",
    LinearFormat.ARCHITECTURAL), ("dimlunit", 99, "linear_format", LinearFormat.DECIMAL), ("dimzin", 12, "zeros", 12),
    ("dimdsep", 44, "separator", ","), ("dimpost", "<> mm", "post", "<> mm"), ("dimaunit", 1, "angle_format",
    AngleFormat.DEGREES_MINUTES_SECONDS), ("dimadec", 2, "angle_places", 2), ("dimadec", -1, "angle_places", 2),
    ("dimazin", 3, "angle_zeros", 3), ("dimtol", 1, "tolerance", True), ("dimlim", 1, "limits", True),
    ("dimtp", 0.005, "plus", F(1, 200)), ("dimtm", -0.001, "minus", F(-1, 1000)), ("dimtdec", 4, "tolerance_places", 4),
    ("dimtzin", 8, "tolerance_zeros", 8), ("dimgap", -0.09, "boxed", True), ("dimalt", 1, "alternate", True),
    ("dimaltf", 25.4, "alternate_factor", F(127, 5)),
    ("dimaltf", 0.0393700787401575, "alternate_factor", F(5, 127)), ("dimaltd", 1, "alternate_places", 1),
    ("dimaltz", 4, "alternate_zeros", 4), ("dimapost", " mm", "alternate_post", " mm"),
    ("dimdsep", 32, "separator", "."),
    ("dimfrac", 1, "stacking", Stacking.DIAGONAL), ("dimfrac", 7, "stacking", Stacking.HORIZONTAL),
    ("dimaltu", 4, "alternate_format", LinearFormat.ARCHITECTURAL), ("dimaltu", 7, "alternate_stacking",
    Stacking.NONE), ("dimaltrnd", 0.5, "alternate_round_to", F(1, 2)), ("dimalttd", 3, "alternate_tolerance_places", 3),
    ("dimalttz", 8, "alternate_tolerance_zeros", 8),
]  # fmt: skip


@pytest.mark.parametrize("by_style", [False, True], ids=["override", "style"])
@pytest.mark.parametrize(
    ("variable", "value", "field", "wanted"), VARIABLES, ids=[f"{v[0]} {v[1]}" for v in VARIABLES]
)
def test_a_style_variable_is_read_from_style_and_override(
    tmp_path: Path, variable: str, value: Any, field: str, wanted: Any, by_style: bool
) -> None:
    """Each variable that changes the shown number counts alike in the style and as the override of one dimension."""
    sketch = Sketch(version="R2000")  # the library writes DIMPOST and DIMAPOST of a style in this version only
    style = sketch.doc.dimstyles.new("OWN", dxfattribs={"dimdec": 2})
    if by_style:
        style.dxf.set(variable, value)
        sketch.dim(Kind.LINEAR, LEVEL, dimstyle="OWN")
    else:
        sketch.dim(Kind.LINEAR, LEVEL, style={variable: value}, dimstyle="OWN")
    assert getattr(only(sketch, tmp_path).style, field) == wanted


def test_every_field_of_the_style_has_its_case() -> None:
    """No field of the style is read without a case above, but for `half`, which takes two variables."""
    assert {v[2] for v in VARIABLES} | {"name", "half"} == set(DimStyle.__slots__)


def test_an_override_outranks_the_style_and_only_for_its_dimension(tmp_path: Path) -> None:
    """Of two dimensions of one style the one with overrides has them, the other has the style's values."""
    sketch = Sketch()
    sketch.doc.dimstyles.new("OWN", dxfattribs={"dimlfac": 2.0, "dimdec": 1})
    sketch.dim(Kind.LINEAR, LEVEL, style={"dimlfac": 4.0}, dimstyle="OWN")
    sketch.dim(Kind.LINEAR, LEVEL, dimstyle="OWN")
    styles = [d.style for d in sketch.read(tmp_path).spaces[0].dimensions]
    assert [(s.factor, s.places, s.name) for s in styles] == [(4, 1, "OWN"), (2, 1, "OWN")]


MALFORMED: list[tuple[str, list[tuple[int, Any]], Fraction]] = [
    ("whole", [(1000, "DSTYLE"), (1002, "{"), (1070, 144), (1040, 3.0), (1002, "}")], F(3)),
    ("behind other data", [(1000, "OTHER"), (1000, "DSTYLE"), (1002, "{"), (1070, 144), (1040, 3.0), (1002, "}")],
     F(3)),
    ("an unknown variable first", [(1000, "DSTYLE"), (1002, "{"), (1070, 999), (1070, 1), (1070, 144), (1040, 3.0),
     (1002, "}")], F(3)),
    ("cut short", [(1000, "DSTYLE"), (1002, "{"), (1070, 144)], F(1)),
    ("no variable", [(1000, "DSTYLE"), (1002, "{"), (1040, 3.0), (1002, "}")], F(1)),
    ("not there", [(1000, "SOMETHING")], F(1)),
]  # fmt: skip


@pytest.mark.parametrize(("tags", "factor"), [m[1:] for m in MALFORMED], ids=[m[0] for m in MALFORMED])
def test_overrides_are_read_as_far_as_they_are_whole(
    tmp_path: Path, tags: list[tuple[int, Any]], factor: Fraction
) -> None:
    """The list DSTYLE of the extended data is read pair by pair; what is malformed ends it and harms nothing."""
    sketch = Sketch()
    made = sketch.dim(Kind.LINEAR, LEVEL)
    made.set_xdata("ACAD", [DXFTag(code, value) for code, value in tags])
    assert only(sketch, tmp_path).style.factor == factor


def test_an_unknown_style_is_the_formats_own(tmp_path: Path) -> None:
    """A dimension of a style that is not in the file has the format's initial values."""
    sketch = Sketch()
    sketch.dim(Kind.LINEAR, LEVEL, dimstyle="GONE")
    style = only(sketch, tmp_path).style
    assert (style.name, style.factor, style.places, style.separator) == ("GONE", 1, 4, ".")


def test_an_old_file_formats_by_the_drawings_units(tmp_path: Path) -> None:
    """R12 knows no places of its own for dimensions: the drawing's units format them."""
    sketch = Sketch(version="R12")
    sketch.doc.header["$LUNITS"] = 4
    sketch.doc.header["$LUPREC"] = 5
    sketch.dim(Kind.LINEAR, LEVEL)
    style = only(sketch, tmp_path).style
    assert (style.linear_format, style.places) == (LinearFormat.ARCHITECTURAL, 5)


# --- association -------------------------------------------------------------------------------------------------


def associate(
    sketch: Sketch, dimension: Any, ties: list[tuple[int, int, str]], bits: int | None = None, through: bool = False
) -> str:
    """A DIMASSOC object as the DXF reference lists it: for each tie its bit, its object snap and its geometry."""
    doc = sketch.doc
    owner = dimension.new_extension_dict().dictionary
    handle = doc.entitydb.next_handle()
    wanted = sum(1 << index for index, _, _ in ties) if bits is None else bits
    tags: list[tuple[int, Any]] = [
        (0, "DIMASSOC"), (5, handle), (330, owner.dxf.handle), (100, "AcDbDimAssoc"), (330, dimension.dxf.handle),
        (90, wanted), (70, int(through)), (71, 0),
    ]  # fmt: skip
    for _, snap, target in ties:
        tags += [(1, "AcDbOsnapPointRef"), (72, snap), (331, target), (73, 2), (91, 1), (40, 0.0), (10, 0.0),
                 (20, 0.0), (30, 0.0), (75, 0)]  # fmt: skip
    made: Any = DXFTagStorage.load(ExtendedTags.from_text("".join(f"{c}\n{v}\n" for c, v in tags)), doc)
    doc.entitydb.add(made)
    doc.objects.add_object(made)
    owner.add("ACAD_DIMASSOC", made)
    return str(handle)


def test_the_association_is_read(tmp_path: Path) -> None:
    """A DIMASSOC object gives for each tied point its number, its object snap and its geometry."""
    sketch = Sketch()
    bottom, right, *_ = sketch.rect(0, 0, 4, 3)
    dimension = sketch.across((0, 0), (4, 0))
    handle = associate(sketch, dimension, [(0, 1, bottom.dxf.handle), (1, 1, right.dxf.handle)])
    association = only(sketch, tmp_path).association
    assert association is not None
    assert association.handle == handle
    assert not association.trans_space
    assert [(t.index, t.snap, t.target, t.target_alive) for t in association.ties] == [
        (0, 1, bottom.dxf.handle, True), (1, 1, right.dxf.handle, True),
    ]  # fmt: skip


def test_a_dimension_without_the_object_has_no_association(tmp_path: Path) -> None:
    """Without a DIMASSOC object a dimension is not associated."""
    sketch = Sketch()
    sketch.rect(0, 0, 4, 3)
    sketch.across((0, 0), (4, 0))
    (judgement,) = sketch.audit(tmp_path).judgements
    assert judgement.attached.dimension.association is None
    assert judgement.attached.hold is Hold.NONE


HOLDS: list[tuple[str, list[tuple[int, int, str]], Hold, str]] = [
    # name, the ties (B bottom edge, R right edge, T top edge), hold, a word of why
    ("both ends", [(0, 1, "B"), (1, 1, "R")], Hold.ASSOCIATED, ""),
    ("the second end alone", [(1, 1, "R")], Hold.ASSOCIATED, ""),
    ("to the middle of the edge it is not at", [(0, 1, "T"), (1, 1, "R")], Hold.BROKEN, "no longer touches"),
    ("to geometry that is gone", [(0, 1, "FEED"), (1, 1, "R")], Hold.BROKEN, "not in the file"),
    ("to no geometry", [(0, 1, "")], Hold.BROKEN, "names no geometry"),
    ("no tie at all", [], Hold.NONE, ""),
]


@pytest.mark.parametrize(("ties", "hold", "why"), [h[1:] for h in HOLDS], ids=[h[0] for h in HOLDS])
def test_an_association_holds_while_its_geometry_is_touched(
    tmp_path: Path, ties: list[tuple[int, int, str]], hold: Hold, why: str
) -> None:
    """A tie holds while its geometry is in the file and the point still touches it; else it is broken, and why."""
    sketch = Sketch()
    bottom, right, top, _ = sketch.rect(0, 0, 4, 3)
    names = {"B": bottom.dxf.handle, "R": right.dxf.handle, "T": top.dxf.handle}
    dimension = sketch.across((0, 0), (4, 0))
    associate(sketch, dimension, [(index, snap, names.get(target, target)) for index, snap, target in ties])
    (judgement,) = sketch.audit(tmp_path).judgements
    assert judgement.attached.hold is hold
    assert all(why in line for line in judgement.attached.broken)
    assert bool(judgement.attached.broken) is (hold is Hold.BROKEN)


def test_an_association_through_a_viewport_shows_the_models_size(tmp_path: Path) -> None:
    """Where the association says that a dimension reaches from sheet to model, its text shows the model's length."""
    sketch = Sketch()
    bottom, *_ = sketch.rect(0, 0, 8, 6)
    sheet = sketch.sheet()
    sketch.window(sheet, (5, 5), 10, 10, (4, 3), 20)
    dimension = sketch.across((3, "7/2"), (7, "7/2"), 3)
    associate(sketch, dimension, [(0, 1, bottom.dxf.handle), (1, 1, bottom.dxf.handle)], through=True)
    (judgement,) = sketch.audit(tmp_path).judgements
    assert judgement.attached.dimension.text_factor == 1
    assert judgement.measured == judgement.stated == 8
    assert judgement.attached.hold is Hold.ASSOCIATED
