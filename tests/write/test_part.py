"""The as-read part as a file: what was written is read back, and the drawing is never touched."""

from hashlib import sha256
from pathlib import Path

import ezdxf
import pytest
from click.testing import CliRunner, Result
from hypothesis import given
from hypothesis import strategies as st
from rules.rule_board import Board

from dimaudit.cli import cli
from dimaudit.model.drawing import Circle, Curve, Mark, Origin, Segment
from dimaudit.model.units import Unit
from dimaudit.write.part import layer_name, part_dxf

CAUTION = "VERIFY BEFORE CUTTING METAL"


def run(*args: object) -> Result:
    return CliRunner().invoke(cli, ["as-read", *map(str, args)])


@pytest.fixture
def drawing(tmp_path: Path) -> Path:
    """A plate 3 wide, stated as 3.001, with a hole on a layer of its own and a centreline through it."""
    board = Board()
    board.plate(3, 2)
    board.circle((1, 1), 0.25)
    board.line((1, 0.5), (1, 1.5), linetype="CENTER", layer="AXES")
    board.diameter((1, 1), 0.25, text="%%c.252")
    board.across((0, 0), (3, 0), text="3.001")
    board.upright((0, 0), (0, 2))
    board.across((0, 0), (1, 1), text="1.0005")
    board.upright((0, 0), (1, 1))
    path = tmp_path / "print.dxf"
    board.doc.saveas(path)
    return path


def test_the_lines_are_at_the_as_read_places(drawing: Path, tmp_path: Path):
    before = sha256(drawing.read_bytes()).hexdigest()
    output = tmp_path / "as-read.dxf"
    assert run(drawing, "--output", output).exit_code == 0
    document = ezdxf.readfile(output)
    space = document.modelspace()
    assert document.dxfversion == "AC1024"
    assert document.header["$INSUNITS"] == 1
    ends = {tuple(sorted(((e.dxf.start.x, e.dxf.start.y), (e.dxf.end.x, e.dxf.end.y)))) for e in space.query("LINE")}
    assert ((3.001, 0), (3.001, 2)) in ends
    assert ((0, 0), (3.001, 0)) in ends
    (circle,) = space.query("CIRCLE")
    assert (circle.dxf.center.x, circle.dxf.center.y, circle.dxf.radius) == (1.0005, 1, 0.126)
    (axis,) = space.query("LINE[layer=='AXES']")
    assert (axis.dxf.start.x, axis.dxf.end.x, axis.dxf.linetype) == (1.0005, 1.0005, "CENTER")
    assert any(CAUTION in text.dxf.text for text in space.query("TEXT"))
    assert not document.audit().errors
    assert sha256(drawing.read_bytes()).hexdigest() == before
    assert sorted(p.name for p in tmp_path.iterdir()) == ["as-read.dxf", "print.dxf"]


def test_the_same_drawing_gives_the_same_bytes(drawing: Path, tmp_path: Path):
    for name in ("a.dxf", "b.dxf"):
        run(drawing, "--output", tmp_path / name)
    assert (tmp_path / "a.dxf").read_bytes() == (tmp_path / "b.dxf").read_bytes()


def test_a_drawing_is_never_written_over(drawing: Path, tmp_path: Path):
    before = drawing.read_bytes()
    link = tmp_path / "link.dxf"
    link.symlink_to(drawing)
    for output in (drawing, link):
        done = run(drawing, "--output", output)
        assert done.exit_code != 0
        assert "never written over" in str(done.exception)
    assert drawing.read_bytes() == before


def test_the_table_has_the_worst_first(drawing: Path):
    done = run(drawing)
    assert done.exit_code == 0
    lines = [line.strip() for line in done.output.splitlines()]
    heads = [line for line in lines if line.startswith("+.")]
    assert [head.split()[0] for head in heads] == ["+.001", "+.001", "+.0005"]
    assert "3.001 = 3.001, drawn 3.000" in lines


def test_an_unknown_handle_is_said(drawing: Path):
    done = run(drawing, "--neglect", "FFFF")
    assert "no dimension with handle FFFF" in str(done.exception)


def test_hostile_text_is_shown_and_not_obeyed(tmp_path: Path):
    board = Board()
    board.plate(3, 2)
    board.across((0, 0), (3, 0), text="W\x9b31m\u202e")
    board.upright((0, 0), (0, 2))
    path = tmp_path / "print.dxf"
    board.doc.saveas(path)
    out = run(path).output
    assert "\x9b" not in out
    assert "\u202e" not in out


@given(st.text(max_size=40))
def test_any_layer_name_can_be_written(name: str):
    made = layer_name(name)
    text = part_dxf([Segment(Origin("1", name), (0, 0), (1, 0))], Unit.MILLIMETRE, ["N"])  # type: ignore[arg-type]
    assert made.isprintable()
    assert made in text


def test_shapes_without_a_place_for_the_note():
    """A point and a curve alone; a circle of no size is left out."""
    from fractions import Fraction as F

    origin = Origin("1", "0")
    shapes = (
        Mark(origin, (F(1), F(1))), Curve(origin, ((F(0), F(0)), (F(1), F(2)))), Circle(origin, (F(0), F(0)), F(0)),
    )  # fmt: skip
    text = part_dxf(shapes, None, ["N"])
    assert "LWPOLYLINE" in text
    assert "\nPOINT" in text
    assert "CIRCLE" not in text.split("ENTITIES")[1]
