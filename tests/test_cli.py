"""The command line as its users call it: exit statuses, several files, hostile text, broken files."""

import json
import os
import shutil
import subprocess
import sys
from pathlib import Path

import ezdxf
import pytest
from click.testing import CliRunner

from dimaudit import __version__
from dimaudit.cli import cli

ROOT = Path(__file__).parent.parent
SAMPLES = ROOT / "samples"
CLEAN = SAMPLES / "winch-base-plate.dxf"
FAULTY = SAMPLES / "cleat-drill-jig.dxf"


def dimaudit(*args: object) -> subprocess.CompletedProcess[str]:
    """The program in a process of its own, not on a terminal."""
    command = [sys.executable, "-m", "dimaudit", *map(str, args)]
    return subprocess.run(command, capture_output=True, text=True, encoding="utf-8", cwd=ROOT, check=False)


def empty_drawing(path: Path, *lines: tuple[tuple[float, float], tuple[float, float]]) -> Path:
    doc = ezdxf.new("R2010")
    for a, b in lines:
        doc.modelspace().add_line(a, b)
    doc.saveas(path)
    return path


def test_clean_is_0():
    """A clean print ends with status 0."""
    assert dimaudit("check", CLEAN).returncode == 0


def test_findings_are_1():
    """An error ends with status 1, and a failing level of 'never' with 0."""
    assert dimaudit("check", FAULTY).returncode == 1
    assert dimaudit("check", FAULTY, "--fail-on", "never").returncode == 0


def test_failing_level():
    """A note fails a run only where notes are asked to."""
    flange = SAMPLES / "shaft-log-flange.dxf"
    assert dimaudit("check", flange, "--fail-on", "warning").returncode == 0
    assert dimaudit("check", flange, "--fail-on", "note").returncode == 1


def test_unread_outranks_findings_and_stops_nobody(tmp_path):
    """A file that can't be read gives status 2, over findings, after all other files were done."""
    bad = tmp_path / "a.dxf"
    bad.write_text("no drawing")
    done = dimaudit("check", bad, FAULTY, CLEAN)
    assert done.returncode == 2
    assert "could not be read" in done.stdout
    assert "winch-base-plate.dxf" in done.stdout
    assert "wrong-value" in done.stdout


@pytest.mark.parametrize(
    "args",
    [
        ["check"],
        ["check", "--rounding", "up", str(CLEAN)],
        ["check", "--snap", "-1", str(CLEAN)],
        ["check", "--snap", "abc", str(CLEAN)],
        ["check", "--view", "1,2,3", str(CLEAN)],
        ["check", "--units", "furlong", str(CLEAN)],
        ["explain", str(CLEAN), "FFFF"],
        ["explain", "nowhere.dxf", "1"],
        ["nonsense"],
    ],
    ids=" ".join,
)
def test_wrong_usage_is_2(args):
    """Wrong usage ends with status 2 and one message on standard error, without a traceback."""
    done = dimaudit(*args)
    assert done.returncode == 2
    assert done.stderr.strip()
    assert "Traceback" not in done.stderr


def test_nothing_matched_is_2(tmp_path):
    """A folder without a drawing ends with status 2 and says so."""
    done = dimaudit("check", tmp_path)
    assert done.returncode == 2
    assert "no .dxf file" in done.stderr


def test_a_missing_file_is_2():
    """A file that is not there is an unread file."""
    assert dimaudit("check", "nowhere.dxf").returncode == 2


def test_a_fault_of_the_tool_is_3(monkeypatch):
    """A rule that breaks is reported as the tool's own fault, with status 3, and the other rules' findings stay."""
    from dimaudit.judge import runner
    from dimaudit.judge.check import Rule
    from dimaudit.model.audit import Level

    def broken(sheet):
        raise RuntimeError(f"on purpose, on {sheet.drawing.path}")

    rules = (*runner.RULES, Rule("on-purpose", Level.NOTE, "breaks", broken))
    monkeypatch.setattr(runner.judge_drawing, "__defaults__", (rules,))
    done = CliRunner().invoke(cli, ["check", str(FAULTY), "--no-cache"])
    assert done.exit_code == 3
    assert "a fault of dimaudit itself" in done.output
    assert "wrong-value" in done.output


def test_not_judged_can_fail():
    """A dimension that could not be judged fails a run only where that is asked."""
    args = ["check", FAULTY, "--fail-on", "never"]
    assert dimaudit(*args).returncode == 0
    assert dimaudit(*args, "--fail-on-not-judged").returncode == 1


def test_no_dimension_is_a_result_of_its_own(tmp_path):
    """A drawing without a dimension is 'nothing to check', never a pass, and can fail a run."""
    path = empty_drawing(tmp_path / "bare.dxf", ((0, 0), (1, 0)))
    done = dimaudit("check", path)
    assert "nothing to check" in done.stdout
    assert done.returncode == 0
    assert dimaudit("check", path, "--fail-on-not-judged").returncode == 1


def test_folders_are_searched_and_files_come_once(tmp_path):
    """A folder is searched downward, whatever the case of the ending; a file named twice is audited once."""
    (tmp_path / "deep").mkdir()
    shutil.copy(CLEAN, tmp_path / "deep" / "PRINT.DXF")
    shutil.copy(CLEAN, tmp_path / "a.dxf")
    body = json.loads(dimaudit("check", tmp_path, tmp_path / "a.dxf", "--format", "json").stdout)
    assert [Path(d["path"]).name for d in body["drawings"]] == ["a.dxf", "PRINT.DXF"]


def test_input_is_never_changed(tmp_path):
    """The drawing's bytes are the same after an audit, and a report is never written over a drawing."""
    path = tmp_path / "print.dxf"
    shutil.copy(FAULTY, path)
    before = path.read_bytes()
    dimaudit("check", path)
    done = dimaudit("check", path, "--output", path)
    assert done.returncode == 2
    assert path.read_bytes() == before


def test_output_file(tmp_path):
    """A report goes whole into a file, and nothing of it to standard output."""
    out = tmp_path / "report.json"
    done = dimaudit("check", CLEAN, "--format", "json", "--output", out)
    assert done.stdout == ""
    assert json.loads(out.read_text(encoding="utf-8"))["summary"]["drawings"] == 1
    assert [p.name for p in tmp_path.iterdir()] == ["report.json"]


def test_unwritable_output_is_2(tmp_path):
    """A folder that is not there is one clear error."""
    done = dimaudit("check", CLEAN, "--output", tmp_path / "no" / "report.txt")
    assert done.returncode == 2
    assert "Traceback" not in done.stderr


def test_hostile_text_is_shown_not_obeyed(tmp_path):
    """Terminal codes and markup in layers and texts reach neither the terminal nor its markup."""
    doc = ezdxf.new("R2010")
    doc.dimstyles.new("S", {"dimlfac": 1.0, "dimdec": 3, "dimdsep": 46})
    msp = doc.modelspace()
    msp.add_line((0, 0), (4, 0))
    dim = msp.add_linear_dim(base=(0, 1), p1=(0, 0), p2=(4, 0), dimstyle="S", text="[bold]9.9.9[/bold]\x1b[31m")
    dim.dimension.dxf.layer = "[red]LAYER[-red]"
    dim.render()
    path = tmp_path / "hostile[red].dxf"
    doc.saveas(path)
    done = dimaudit("check", path)
    assert "\x1b" not in done.stdout
    assert "[bold]9.9.9[/bold]" in done.stdout
    assert "hostile[red].dxf" in done.stdout
    explained = dimaudit("explain", path, dim.dimension.dxf.handle)
    assert "\x1b" not in explained.stdout
    assert "[red]LAYER[-red]" in explained.stdout


def test_help_has_an_example():
    """Every command's help ends with an example."""
    runner = CliRunner()
    for name in ["", *cli.commands]:
        text = runner.invoke(cli, [*([name] if name else []), "--help"]).output
        assert "Example" in text, name


def test_version():
    """--version names the program and the installed version."""
    assert dimaudit("--version").stdout.strip() == f"dimaudit, version {__version__}"


def test_explain_shows_the_arithmetic():
    """`explain` shows the steps of the tie .438 for 7/16, with the difference as a fraction."""
    text = dimaudit("explain", FAULTY, "28d").stdout
    assert "7/16 − 219/500 = -1/2000" in text
    assert "exactly half a unit: a tie" in text


def test_units_by_the_user_change_the_reading():
    """--units outranks the header, and the report says that the user said so."""
    body = json.loads(dimaudit("check", CLEAN, "--units", "mm", "--format", "json").stdout)
    assert body["drawings"][0]["units"] == "mm"
    assert body["drawings"][0]["units_from"] == "set by the user"


def test_rounding_rule_is_in_the_report():
    """The rounding rule, the lengths in force and the coverage stand in every report."""
    body = json.loads(dimaudit("check", CLEAN, "--rounding", "half-even", "--format", "json").stdout)
    assert body["drawings"][0]["settings"]["rounding"] == "half-even"
    assert body["drawings"][0]["lengths_in_force"]["snap"] == "0.00001"
    text = dimaudit("check", CLEAN, "--rounding", "half-even").stdout
    assert "rounding half-even, snap 0.00001" in text


def test_general_tolerances_and_the_share_by_option(tmp_path):
    """.438 for 7/16 eats a tenth of ±.005 and a twentieth of ±.01; a share of a fifth calls neither a warning."""

    def rounded(*options):
        dimaudit("check", FAULTY, "--format", "json", "--output", tmp_path / "r.json", *options)
        (drawing,) = json.loads((tmp_path / "r.json").read_text(encoding="utf-8"))["drawings"]
        return sorted(f["level"] for f in drawing["findings"] if f["rule"] == "rounded")

    assert rounded() == ["note", "warning"]
    assert rounded("--general-tolerance", ".XXX=.01") == ["note", "note"]
    assert rounded("--eaten-share", "1/5") == ["note", "note"]
    assert rounded("--general-tolerance", "none") == ["note", "note"]


@pytest.mark.parametrize(
    "options",
    [("--general-tolerance", ".XX=5"), ("--general-tolerance", "bore=1"), ("--eaten-share", "2"),
     ("--general-tolerance", "none", "--general-tolerance", "iso2768-m"),
     ("--general-tolerance", ".XX=.01", "--general-tolerance", ".XX=.02")],
)  # fmt: skip
def test_general_tolerances_that_make_no_sense_are_refused(options):
    """Values that are not believed, forms that are not known and two words for one thing are wrong usage."""
    assert dimaudit("check", FAULTY, *options).returncode == 2


def test_explain_tells_what_is_found_about_a_note(tmp_path):
    """A note has no arithmetic of its own: what it was read as, and the findings about it, with their reasons."""
    doc = ezdxf.new("R2010")
    doc.header["$INSUNITS"] = 1
    space = doc.modelspace()
    space.add_lwpolyline([(0, 0), (4, 0), (4, 2), (0, 2)], close=True)
    space.add_circle((1, 1), 0.25)
    text = space.add_mtext("%%c.281 THRU", dxfattribs={"insert": (5, 3), "char_height": 0.125})
    note = {"annotation_handle": text.dxf.handle, "annotation_type": 0}
    space.add_leader([(1.25, 1), (4.5, 2.9), (4.9, 2.9)], dxfattribs=note)
    dim = space.add_linear_dim((0, -1), (0, 0), (4, 0), override={"dimlfac": 1.0})
    dim.render()
    path = tmp_path / "note.dxf"
    doc.saveas(path)
    done = CliRunner().invoke(cli, ["explain", str(path), text.dxf.handle])
    assert done.exit_code == 0
    assert "hole note" in done.output
    assert "hole-note-mismatch" in done.output
    assert "stated Ø.281, drawn Ø.5" in done.output
    assert dimaudit("explain", path, "FFFF").returncode == 2


@pytest.mark.parametrize("command", ["as-read", "stack-up", "advise"])
def test_what_numbers_are_in_is_said_first(command):
    """A bare number without a unit cuts the wrong part."""
    first = CliRunner().invoke(cli, [command, str(CLEAN)]).output.splitlines()[0]
    assert first.endswith("winch-base-plate.dxf: lengths in inches")


@pytest.mark.parametrize("arguments", [("check", FAULTY), ("check", FAULTY, "--format", "json"), ("rules",)])
def test_a_reader_that_closes_the_pipe_early_is_no_error(arguments):
    """The status is 0 and nothing is said, as docs/exit-status.md has it."""
    command = [sys.executable, "-m", "dimaudit", *map(str, arguments)]
    with subprocess.Popen(command, stdout=subprocess.PIPE, stderr=subprocess.PIPE) as process:
        process.stdout.close()
        said = process.stderr.read()
    assert (process.returncode, said) == (0, b"")


@pytest.mark.skipif(os.name != "posix" or sys.platform == "darwin", reason="names are bytes on Linux only")
def test_a_name_that_is_no_text_ends_no_batch(tmp_path):
    """Python then holds a lone surrogate, which UTF-8 has no bytes for (RFC 3629, 3); it is shown as its code."""
    shutil.copy(CLEAN, os.fsencode(tmp_path) + b"/a\xff.dxf")
    shutil.copy(CLEAN, tmp_path / "b.dxf")
    environment = os.environ | {"PYTHONIOENCODING": "utf-8:strict"}
    command = [sys.executable, "-m", "dimaudit", "check", str(tmp_path)]
    done = subprocess.run(command, capture_output=True, env=environment, check=False)
    assert done.returncode == 0
    said = done.stdout.decode("utf-8")
    assert "a\\udcff.dxf  14 dimensions" in said
    assert "2 drawings, 28 dimensions" in said


def test_a_stream_without_the_signs_of_a_print_ends_no_batch():
    """Where the locale has ASCII only, '±' and 'Ø' are shown as their codes."""
    environment = os.environ | {"PYTHONIOENCODING": "ascii"}
    command = [sys.executable, "-m", "dimaudit", "check", str(FAULTY)]
    done = subprocess.run(command, capture_output=True, env=environment, check=False)
    assert done.returncode == 1
    assert b"\\xd8.250 circle" in done.stdout
