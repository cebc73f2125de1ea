"""Several reports of one run: `--also FORMAT=FILE`."""

import json
import os
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from dimaudit.cli import check, cli
from dimaudit.errors import UsageError
from dimaudit.report.formats import FORMATS

SAMPLES = Path(__file__).parents[2] / "samples"
JIG = SAMPLES / "cleat-drill-jig.dxf"


def run(*words: object) -> Result:
    return CliRunner().invoke(cli, ["check", *map(str, words)])


def refused(done: Result, why: str) -> bool:
    """By an error that the program ends with as wrong usage (tests/test_cli.py)."""
    return isinstance(done.exception, UsageError) and why in str(done.exception)


def test_the_choice_is_that_of_the_formats():
    """It is written out at the command, since the formats are loaded late; the page is the one that is not a format."""
    assert sorted(check.FORMATS) == sorted([*FORMATS, "html"])


@pytest.mark.parametrize("format_", [name for name in check.FORMATS if name != "html"])
def test_each_is_what_the_format_gives_alone(format_, tmp_path):
    """The same bytes as with --format and --output, beside a report on the screen."""
    alone, beside = tmp_path / "alone", tmp_path / "beside"
    first = run(JIG, "--format", format_, "--output", alone)
    both = run(JIG, "--also", f"{format_}={beside}")
    assert first.exit_code == both.exit_code == 1
    assert beside.read_bytes() == alone.read_bytes() != b""
    assert "wrong-value" in both.output


def test_all_at_once(tmp_path):
    """One audit, a file for each format; the page, too. What is printed stays as it is."""
    words = [w for name in check.FORMATS for w in ("--also", f"{name}={tmp_path / name}")]
    done = run(JIG, SAMPLES / "winch-base-plate.dxf", *words, "--format", "json")
    assert done.exit_code == 1
    assert {p.name for p in tmp_path.iterdir()} == set(check.FORMATS)
    assert json.loads(done.output) == json.loads((tmp_path / "json").read_text(encoding="utf-8"))
    assert "<!doctype html" in (tmp_path / "html").read_text(encoding="utf-8").lower()


@pytest.mark.parametrize(
    ("word", "why"),
    [("sarif", "is not FORMAT=FILE"), ("sarif=", "is not FORMAT=FILE"), ("=a", "is not FORMAT=FILE"),
     ("pdf=a.pdf", "formats are terminal, json"), ("csv=-", "name a file")],
)  # fmt: skip
def test_a_word_that_is_none(word, why):
    done = run(JIG, "--also", word)
    assert done.exit_code == 2
    assert why in done.output


def test_two_reports_need_two_files(tmp_path):
    """However the file is called; and nothing is written."""
    here = tmp_path / "a"
    for words in (("--also", f"csv={here}", "--also", f"junit={tmp_path}/../{tmp_path.name}/a"),
                  ("--also", f"csv={here}", "--output", here)):  # fmt: skip
        done = run(JIG, *words)
        assert refused(done, "two reports")
        assert list(tmp_path.iterdir()) == []


def test_a_drawing_is_never_written_over(tmp_path):
    drawing = tmp_path / "print.dxf"
    drawing.write_bytes(JIG.read_bytes())
    done = run(drawing, "--also", f"csv={drawing}")
    assert refused(done, "is one of the drawings")
    assert drawing.read_bytes() == JIG.read_bytes()


def test_a_folder_that_is_not_there(tmp_path):
    """Nothing is written to the others either."""
    done = run(JIG, "--also", f"csv={tmp_path / 'a'}", "--also", f"junit={tmp_path / 'no' / 'b'}")
    assert refused(done, "name a file in a folder")
    assert list(tmp_path.iterdir()) == []


def test_a_name_that_is_no_text(tmp_path):
    """A file system may hold any bytes as a name: each report is UTF-8 all the same."""
    name = os.fsencode(tmp_path) + b"/\xff.dxf"
    try:
        Path(os.fsdecode(name)).write_bytes(JIG.read_bytes())
    except OSError:
        pytest.skip("this file system takes no such name")
    out = tmp_path / "out"
    out.mkdir()
    words = [w for format_ in check.FORMATS for w in ("--also", f"{format_}={out / format_}")]
    done = run(os.fsdecode(name), *words, "--output", tmp_path / "screen")
    assert isinstance(done.exception, SystemExit)
    assert {file.name for file in out.iterdir()} == set(check.FORMATS)
    for file in out.iterdir():
        assert ".dxf" in file.read_text(encoding="utf-8"), file.name
    assert "/%FF.dxf" in (out / "sarif").read_text(encoding="utf-8")


def test_a_file_that_was_not_read_is_in_each(tmp_path):
    """And the exit status is as ever."""
    bad = tmp_path / "bad.dxf"
    bad.write_bytes(b"AC1027 not text")
    out = tmp_path / "out"
    out.mkdir()
    words = [w for name in check.FORMATS for w in ("--also", f"{name}={out / name}")]
    assert run(bad, *words).exit_code == 2
    for file in out.iterdir():
        assert "DWG" in file.read_text(encoding="utf-8"), file.name
