"""The commands obey configuration files, and `settings` says what holds."""

import json
from pathlib import Path

import ezdxf
import jsonschema
import pytest
from click.testing import CliRunner, Result

from config.tree import tree
from dimaudit.cli import cli
from dimaudit.cli.settling import as_text
from dimaudit.config import Configurations
from dimaudit.config.keys import KEYS
from dimaudit.report.schemas import SCHEMAS, schema

SAMPLES = Path(__file__).parents[2] / "samples"
CLEAN = (SAMPLES / "winch-base-plate.dxf").read_bytes()
FAULTY = (SAMPLES / "cleat-drill-jig.dxf").read_bytes()

YARD = """\
units = "in"
general-tolerance = [".XX=.01", "angles=1/2"]
snap = 1e-4
[rules]
rounded = "off"
[[for]]
files = ["castings/**", "*.router.dxf"]
rounding = "half-even"
rules.cut-off = "error"
"""
CASTINGS = 'accepted = "known.toml"\nwithout-layer = ["NOTES", "BORDER"]\n[rules]\nrounded = "default"\n'

HELD = """\
castings/jig.dxf
  configuration file: dimaudit.toml
  configuration file: castings/dimaudit.toml
  units               in                                    dimaudit.toml
  rounding            half-even                             dimaudit.toml, [[for]] 1 (castings/**, *.router.dxf)
  snap                0.0001                                dimaudit.toml
  near                0.1                                   command line
  gap                 1/64 in, .4 mm                        default
  noise               sized from the file, at most .000001  default
  eaten-share         1/10                                  default
  general-tolerance   .XX ±0.01, angles ±0.5°               dimaudit.toml
  view                none given: found in the drawing      default
  without-layer       NOTES, BORDER                         castings/dimaudit.toml
  without-layout      none                                  default
  not-implied         none                                  default
  fail-on             warning                               command line
  fail-on-not-judged  false                                 default
  rule-set            the one in force                      default
  accepted            castings/known.toml                   castings/dimaudit.toml
  rules.cut-off       error                                 dimaudit.toml, [[for]] 1 (castings/**, *.router.dxf)
  rules.rounded       its own level                         castings/dimaudit.toml
"""


@pytest.fixture
def yard(tmp_path, monkeypatch) -> Path:
    """A repository with a configuration, and one of its folders with another."""
    monkeypatch.chdir(tmp_path)
    return tree(tmp_path, {"dimaudit.toml": YARD, "castings/dimaudit.toml": CASTINGS, "castings/jig.dxf": FAULTY})


def said(*words: object, status: int = 0) -> str:
    done: Result = CliRunner().invoke(cli, [str(word) for word in words])
    assert done.exit_code == status, f"{done.output}{done.exception}"
    return done.stdout


@pytest.mark.usefixtures("yard")
def test_settings_says_what_holds_and_why():
    """Each key with its value and where that is from, in columns."""
    assert said("settings", "castings/jig.dxf", "--near", "1/10", "--fail-on", "warning") == HELD


def test_settings_fits_a_narrow_terminal(yard):
    """At 80 columns nothing is cut off: values and origins go on beneath themselves."""
    long = "a-long-name-for-a-layer-" * 8
    found = Configurations({"without-layer": [long, "B"]}).of(Path("castings/jig.dxf"))
    text = as_text(Path("castings/jig.dxf"), found, 80)
    assert max(map(len, text.splitlines())) <= 80
    assert yard.name not in text
    squeezed = "".join("".join(line[22:] for line in text.splitlines()).split())
    assert squeezed.count("a-long-name-for-a-layer-") >= 1
    assert all(any(line.startswith(f"  {key} ") for line in text.splitlines()) for key in KEYS)


@pytest.mark.usefixtures("yard")
def test_settings_for_a_script():
    """The same as JSON, in the shape of its schema."""
    body = json.loads(said("settings", "castings/jig.dxf", "--format", "json"))
    jsonschema.validate(body, schema("settings"), cls=jsonschema.Draft202012Validator)
    assert body["schema"] == SCHEMAS["settings"]
    assert body["files"] == ["dimaudit.toml", "castings/dimaudit.toml"]
    rows = {row["key"]: (row["value"], row["from"]) for row in body["settings"]}
    assert list(rows)[: len(KEYS)] == list(KEYS)
    assert rows["snap"] == ("0.0001", "dimaudit.toml")


@pytest.mark.usefixtures("yard")
def test_settings_of_a_folder():
    """Without a drawing, what holds where no table names the drawing; the command line can leave files out."""
    rows = {row["key"]: row["from"] for row in json.loads(said("settings", "--format", "json"))["settings"]}
    assert (rows["rounding"], rows["snap"]) == ("default", "dimaudit.toml")
    assert said("settings").startswith("a drawing in this folder\n  configuration file: dimaudit.toml\n  units ")
    assert said("settings", "castings").startswith("a drawing in castings\n")
    bare = said("settings", "castings", "--without-configuration")
    assert "configuration files are left out" in bare
    assert "dimaudit.toml" not in bare


def test_hostile_names_are_shown_and_not_obeyed(tmp_path, monkeypatch):
    """Names of folders, layers, patterns and files with control and direction characters come out as codes."""
    name = "a\x1b[31m\u202e[bold]"
    text = '[[for]]\nfiles = "\\u001b\\u202e\\\\[red*"\nwithout-layer = "[b]\\u001bX"\n'
    tree(tmp_path, {f"{name}/dimaudit.toml": text})
    drawing = f"{name}/\x1b\u202e[red].dxf"
    tree(tmp_path, {drawing: CLEAN})
    monkeypatch.chdir(tmp_path)
    text = said("settings", drawing)
    assert "\x1b" not in text
    assert "\u202e" not in text
    assert "\\x1b" in text
    assert "[b]\\x1bX" in text
    assert json.loads(said("settings", drawing, "--format", "json"))["for"] == drawing


def test_a_name_that_is_no_utf_8(tmp_path, monkeypatch):
    """A file whose name is no UTF-8 is matched and shown."""
    monkeypatch.chdir(tmp_path)
    tree(tmp_path, {"dimaudit.toml": "[[for]]\nfiles = 'plate*'\nsnap = 1\n"})
    (tmp_path / "plate\udcff.dxf").write_bytes(CLEAN)
    assert "[[for]] 1 (plate*)" in said("settings", "plate\udcff.dxf")


def test_check_goes_by_the_folder_of_each_drawing(yard):
    """One run, two settings: each drawing is told with its own."""
    tree(yard, {"plate.dxf": CLEAN, "castings/known.toml": ""})
    body = json.loads(said("check", ".", "--format", "json", status=1))
    settings = {d["path"]: d["settings"] for d in body["drawings"]}
    assert settings["plate.dxf"]["rounding"] == "half-up"
    assert settings["plate.dxf"]["rule_levels"] == {"rounded": "off"}
    assert settings["castings/jig.dxf"]["rounding"] == "half-even"
    assert settings["castings/jig.dxf"]["rule_levels"] == {"cut-off": "error"}
    assert settings["castings/jig.dxf"]["layers_left_out"] == ["NOTES", "BORDER"]
    levels = {f["rule"]: f["level"] for d in body["drawings"] for f in d["findings"]}
    assert levels["cut-off"] == "error"


def test_each_drawing_fails_by_its_own_level(tmp_path, monkeypatch):
    """A folder whose findings never fail a run does not, and its neighbour does."""
    monkeypatch.chdir(tmp_path)
    tree(tmp_path, {"a/dimaudit.toml": "fail-on = 'never'", "a/jig.dxf": FAULTY, "b/plate.dxf": CLEAN})
    said("check", ".", status=0)
    said("check", ".", "--fail-on", "error", status=1)
    said("check", ".", "--without-configuration", status=1)
    tree(tmp_path, {"b/jig.dxf": FAULTY})
    said("check", ".", status=1)
    tree(tmp_path, {"b/dimaudit.toml": "fail-on = 'never'\nfail-on-not-judged = true\n"})
    said("check", ".", status=1)
    said("check", ".", "--pass-not-judged", status=0)


def test_check_says_which_rules_are_off(yard):
    """A finding that nobody looked for is no finding that is not there: every report names the rules that are off."""
    tree(yard, {"dimaudit.toml": "[rules]\nwrong-value = 'off'\ncut-off = 'note'\n", "castings/dimaudit.toml": ""})
    for name in ("terminal", "markdown", "html"):
        text = said("check", "castings/jig.dxf", "--format", name, status=1)
        assert "1 × rule wrong-value: off by the user" in text, name
        assert "rule cut-off" not in text
    body = json.loads(said("check", "castings/jig.dxf", "--format", "json", status=1))
    (drawing,) = body["drawings"]
    off = [loss for loss in drawing["losses"] if loss["what"].startswith("rule ")]
    assert off == [{"what": "rule wrong-value", "why": "off by the user", "count": 1, "handles": []}]
    assert "wrong-value" not in {f["rule"] for f in drawing["findings"]}


@pytest.mark.parametrize(
    "command",
    [["explain", "B7"], ["as-read"], ["stack-up"], ["advise"], ["picture", "--output", "x.svg"],
     ["mark", "--out", "m.dxf"]],
    ids=lambda c: c[0],
)  # fmt: skip
def test_the_other_commands_obey_it_too(yard, command):
    """A slip in the configuration of the drawing's folder ends each, and leaving files out lets each go on."""
    tree(yard, {"castings/dimaudit.toml": "snapp = 1"})
    words = [command[0], "castings/jig.dxf", *command[1:]]
    done = CliRunner().invoke(cli, words)
    assert "did you mean 'snap'?" in str(done.exception)
    assert CliRunner().invoke(cli, [*words, "--without-configuration"]).exit_code == 0


def test_grading_goes_by_the_rubric_alone(yard):
    """`rubric` reads no configuration: a mark must not depend on where the instructor keeps the key."""
    tree(yard, {"dimaudit.toml": "snapp = 1"})
    said("rubric", SAMPLES / "winch-base-plate.dxf", "--output", "rubric.toml")
    tree(yard, {"key.dxf": CLEAN})
    said("rubric", "key.dxf", "--output", "other.toml")


def test_a_layout_is_left_out_by_option_and_by_file(tmp_path, monkeypatch):
    """What stands on it is not read, and that is said."""
    monkeypatch.chdir(tmp_path)
    doc = ezdxf.new("R2010", setup=True)
    doc.modelspace().add_line((0, 0), (4, 0))
    doc.layouts.new("Old Sheet").add_linear_dim((0, 2), (0, 0), (4, 0)).render()
    doc.saveas("print.dxf")
    tree(tmp_path, {})
    assert "1 dimension," in said("check", "print.dxf", "--fail-on", "never")
    left = said("check", "print.dxf", "--without-layout", "old sheet")
    assert "nothing to check" in left
    assert "layout old sheet: left out by the user" in left
    tree(tmp_path, {"dimaudit.toml": "without-layout = ['OLD SHEET', 'Model', 'Other']"})
    left = said("check", "print.dxf")
    assert "nothing to check" in left
    assert "layout Model: not left out: model space is always read" in left
    assert "layout Other: left out by the user, but no layout of that name is in the drawing" in left
