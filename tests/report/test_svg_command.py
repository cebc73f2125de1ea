"""`picture`: the files that it writes, and the words with which it refuses."""

import xml.etree.ElementTree as ET
from pathlib import Path

import pytest
from click.testing import CliRunner

from dimaudit.cli import cli

SAMPLES = Path(__file__).parent.parent.parent / "samples"
FAULTY = SAMPLES / "engine-bearer.dxf"
SHEET = SAMPLES / "mast-step-sheet.dxf"


def call(*args: object):
    return CliRunner().invoke(cli, ["picture", *map(str, args)], standalone_mode=False)


def refused(*args: object) -> str:
    result = call(*args)
    assert result.exception is not None
    assert result.exit_code == 1  # `main` turns it into 2
    return str(result.exception)


def test_svg_to_standard_output():
    """Without a file to write: a whole SVG, and nothing else, on standard output."""
    result = call(FAULTY)
    assert result.exit_code == 0
    ET.fromstring(result.stdout)


@pytest.mark.parametrize("options", [(), ("--finding", 6), ("--handle", "8a"), ("--dark",), ("--unmarked",)])
def test_files_are_written_whole_and_the_same(tmp_path, options):
    """SVG and PNG, twice the same bytes, and the drawing untouched."""
    before = FAULTY.read_bytes()
    for name in ("a.svg", "b.png"):
        first, second = tmp_path / name, tmp_path / f"again-{name}"
        for path in (first, second):
            assert call(FAULTY, *options, "--pixels", 300, "--output", path).exit_code == 0
        assert first.read_bytes() == second.read_bytes()
    assert (tmp_path / "b.png").read_bytes().startswith(b"\x89PNG")
    assert FAULTY.read_bytes() == before
    assert len(list(tmp_path.iterdir())) == 4  # nothing half-written is left


def test_a_finding_is_told_beneath_its_picture():
    """Its rule, what is wrong, why, what to do, and the caution."""
    text = call(FAULTY, "--finding", 5).stdout
    for part in ("fastener-clearance", "usual holes", "to do:", "verify before cutting"):
        assert part in text


def test_the_numbers_are_those_of_the_whole_picture():
    """The mark of finding 6 has the same label alone as among the others."""
    label = ">E6</text>"
    assert label in call(FAULTY).stdout
    assert label in call(FAULTY, "--finding", 6).stdout


def test_the_other_layouts_are_named():
    """A drawing with a sheet: the layout with the findings or the most on it is drawn, the others are said."""
    result = call(SHEET)
    assert "layout SHEET" in result.stdout
    assert "also Model" in result.stderr
    assert "layout Model" in call(SHEET, "--layout", "model").stdout


def test_what_cannot_be_drawn_is_said(tmp_path):
    """On standard error, with its reason and its count."""
    import ezdxf

    doc = ezdxf.new("R2010")
    doc.modelspace().add_line((0, 0), (9, 0))
    doc.modelspace().add_blockref("MISSING", (0, 0))
    doc.saveas(tmp_path / "part.dxf")
    result = call(tmp_path / "part.dxf", "--unmarked")
    assert result.exit_code == 0
    assert "not drawn: 1 × INSERT: its block 'MISSING' is not in the file" in result.stderr


def test_refusals_say_what_to_do(tmp_path):
    """Another kind of file, the drawing itself, numbers and handles and layouts that are not there, two pictures."""
    copy = tmp_path / "copy.svg"
    copy.write_bytes(FAULTY.read_bytes())
    assert "name such a file" in refused(FAULTY, "--output", tmp_path / "x.jpg")
    assert "never written over" in refused(copy, "--output", copy)
    assert copy.read_bytes() == FAULTY.read_bytes()
    assert "17 findings" in refused(FAULTY, "--finding", 99)
    assert "`check` shows the handles" in refused(FAULTY, "--handle", "ZZZ")
    assert "no layout is named" in refused(FAULTY, "--layout", "nowhere")
    assert "ask for one" in refused(FAULTY, "--finding", 1, "--unmarked")
    assert "folder that can be written" in refused(FAULTY, "--output", tmp_path / "none" / "x.svg")
    assert "check the name" in refused(tmp_path / "missing.dxf")
    assert sorted(p.name for p in tmp_path.iterdir()) == ["copy.svg"]


def tall(path: Path, high: float) -> Path:
    """A strip one wide."""
    import ezdxf

    doc = ezdxf.new("R2010")
    for x in (0, 1):
        doc.modelspace().add_line((x, 0), (x, high))
    doc.saveas(path)
    return path


def test_a_tall_picture_is_no_larger_than_it_may_be(tmp_path):
    """The width is less than asked for, and that is said; too tall for any width is refused with a way out."""
    from dimaudit.report.png import MOST, width_that_fits

    strip, png = tall(tmp_path / "strip.dxf", 100), tmp_path / "strip.png"
    result = call(strip, "--unmarked", "--pixels", 3000, "--output", png)
    assert result.exit_code == 0
    wide, high = (int.from_bytes(png.read_bytes()[k : k + 4]) for k in (16, 20))
    assert wide < 3000
    assert 0.9 * MOST < wide * high < 1.01 * MOST
    assert f"{wide} pixels wide, not 3000" in result.stderr
    with pytest.raises(ValueError, match=r"write it as \.svg"):
        width_that_fits('<svg viewBox="0 0 297 30000000">', 2000)


def test_an_error_shows_a_name_and_the_terminal_obeys_none_of_it(tmp_path):
    """An escape sequence and a line end in a file's name, in the message that the file can't be read."""
    import subprocess
    import sys

    bad = tmp_path / "plate\x1b[31m\nall is well.dxf"
    bad.write_text("no drawing")
    done = subprocess.run([sys.executable, "-m", "dimaudit", "picture", str(bad)], capture_output=True, check=False)
    assert done.returncode == 2
    assert b"\x1b" not in done.stderr
    assert b"plate\\x1b[31m all is well.dxf" in done.stderr
