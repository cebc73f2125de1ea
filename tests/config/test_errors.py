"""What is wrong with a configuration is one error that says where, and what would do."""

import os
from pathlib import Path

import pytest
from click.testing import CliRunner
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from config.tree import tree
from dimaudit.cli import cli
from dimaudit.config import Configurations, configured
from dimaudit.config.files import file_in
from dimaudit.errors import UsageError

SAMPLES = Path(__file__).parents[2] / "samples"


def said(folder: Path, text: str | bytes, name: str = "dimaudit.toml") -> str:
    tree(folder, {name: text})
    with pytest.raises(UsageError) as error:
        configured(folder / "x.dxf", {})
    message = str(error.value)
    assert message.startswith(f"{folder / name}: ")
    return message.removeprefix(f"{folder / name}: ")


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("\nroundin = 1", "line 2: roundin: there is no such key; did you mean 'rounding'?"),
        ("without-layers = []", "line 1: without-layers: there is no such key; did you mean 'without-layer'?"),
        ("[rule]", "line 1: rule: there is no such key; did you mean 'rules'?"),
        ("[rules]\nroundd = 'off'", "line 2: [rules]: roundd: there is no such rule; did you mean 'rounded'?"),
        ("rules.xyzzy = 'off'", "line 1: [rules]: xyzzy: there is no such rule: `dimaudit rules` lists them"),
        ("rules = 'off'", 'line 1: rules: must be a table: write [rules], and in it rounded = "note"'),
        ("[rules]\nrounded = 'of'", "line 2: [rules]: rounded: 'of' is not known; did you mean 'off'?"),
        ("[rules]\nrounded = true", "line 2: [rules]: rounded: true is not known; known are: 'off', 'note', 'warning'"),
        ("units = 'inch'", "line 1: units: 'inch' is not known; did you mean 'in'?"),
        ("units = 3", "line 1: units: 3 is not known; known are: 'in', 'ft', 'mm', 'cm', 'm'"),
        ("rounding = ['half-up']", "line 1: rounding: ['half-up'] is not known"),
        ("snap = true", "line 1: snap: true is neither a decimal nor a fraction such as 1/64"),
        ("snap = -1", "line 1: snap: -1 is negative"),
        ("snap = nan", "line 1: nan is no number that means anything here: mend that line"),
        ("units = 'in'\nsnap = 1e999", "line 2: 1e999 is no number that means anything here: mend that line"),
        ("eaten-share = 2", "line 1: eaten-share: must be above 0 and at most 1, as in 1/10"),
        ("general-tolerance = ['.XX=.01', '.XX=.02']", "line 1: general-tolerance: given twice for .XX: drop one"),
        ("general-tolerance = ['none', '.XX=.02']", "line 1: general-tolerance: none leaves no room for another"),
        ("general-tolerance = 5", "line 1: general-tolerance: 5 is no text"),
        ("general-tolerance = 'abc'", "line 1: general-tolerance: 'abc': write .XX=.01"),
        ("view = [1]", "line 1: view: 1 is not X0,Y0,X1,Y1"),
        ("without-layer = [1]", "line 1: without-layer: 1 is no name"),
        ("not-implied = ['levels']", "line 1: not-implied: 'levels' is not known; did you mean 'level'?"),
        ("fail-on = 'errors'", "line 1: fail-on: 'errors' is not known; did you mean 'error'?"),
        ("fail-on-not-judged = 1", "line 1: fail-on-not-judged: 1 is neither true nor false"),
        ("rule-set = 0", "line 1: rule-set: 0 is no rule set: write a whole number, as in 1"),
        ("rule-set = true", "line 1: rule-set: true is no rule set"),
        ("rule-set = 99", "line 1: rule-set: 99 is newer than this tool, whose rule set is 1: install a newer one"),
        ("accepted = 1", "line 1: accepted: 1 is no path"),
        ('accepted = "a\\u0000b"', "line 1: accepted: "),
        ("for = 1", "line 1: for: must be tables of their own: write [[for]] above each"),
        ("[for]\nsnap = 1", "line 1: for: must be tables of their own: write [[for]] above each"),
        ("[[for]]\nsnap = 1", "line 1: [[for]] 1: 'files' is missing: name the drawings"),
        ("[[for]]\nfiles = []", "line 2: [[for]] 1: files: is empty"),
        ("[[for]]\nfiles = 'a'\n[[for]]\nfiles = 'b'\nsnap = 'x'", "line 5: [[for]] 2: snap: 'x' is neither"),
        ("[[for]]\nfile = 'a'\nfiles = 'b'", "line 2: [[for]] 1: file: there is no such key; did you mean 'files'?"),
        ("[[for]]\nfiles = 'a'\nfor = 1", "line 3: [[for]] 1: for: there is no such key"),
        ("files = 'a'", "line 1: files: there is no such key"),
        ("[[for]]\nfiles = 'a'\nrules.cut-of = 'off'", "[[for]] 1: [rules]: cut-of: there is no such rule; did you"),
        ("units = in", "Invalid value (at line 1, column 9): mend that line; texts stand in double quotation marks"),
        ("snap = 1\nsnap = 2\nnear = 3", "Cannot overwrite a value (at line 2"),
        (b"units = 'in'\nrounding = '\xff'", "line 2: not UTF-8: save the file with the encoding UTF-8"),
        ("units = 'in'".encode("utf-16"), "it is UTF-16: save the file with the encoding UTF-8"),
        (b"#" * 1_000_001, "more than 1000000 bytes are no configuration file"),
        ("snap = " + "[" * 100_000, "brackets within brackets"),
    ],
)  # fmt: skip
def test_an_error_says_where_and_what_to_do(tmp_path, text, message):
    """The file, the line where it can be told, the table, the key, and the nearest known name."""
    assert said(tmp_path, text).startswith(message)


def test_a_project_file_says_its_own_lines(tmp_path):
    """In pyproject.toml the tables have longer names."""
    text = "[tool.dimaudit]\nunits = 'in'\n[tool.dimaudit.rules]\nrounded = 'of'\n"
    assert said(tmp_path, text, "pyproject.toml").startswith("line 4: [rules]: rounded: 'of' is not known")
    text = "[tool.dimaudit]\n[[tool.dimaudit.for]]\nfiles = 'a'\nsnap = 'x'\n"
    assert said(tmp_path, text, "pyproject.toml").startswith("line 4: [[for]] 1: snap: 'x'")
    assert said(tmp_path, "tool.dimaudit = 1", "pyproject.toml").startswith("line 1: tool.dimaudit must be a table")


def test_two_in_one_folder_are_an_error(tmp_path):
    """Which one counts would be a guess: both are named."""
    tree(tmp_path, {"dimaudit.toml": "", "pyproject.toml": "[tool.dimaudit]\n"})
    with pytest.raises(UsageError) as error:
        configured(tmp_path / "x.dxf", {})
    assert str(tmp_path / "dimaudit.toml") in str(error.value)
    assert str(tmp_path / "pyproject.toml") in str(error.value)


def test_a_mark_before_the_first_line_is_no_error(tmp_path):
    """Some editors put a byte order mark before UTF-8; it is passed over, as in a rubric."""
    tree(tmp_path, {"dimaudit.toml": b"\xef\xbb\xbfsnap = 1\n"})
    assert configured(tmp_path / "x.dxf", {}).settings.snap == 1


@pytest.mark.parametrize("kind", ["folder", "pipe", "link to nowhere", "link in a circle", "device"])
def test_what_is_no_file_is_an_error(tmp_path, kind):
    """A folder, a pipe, a device or a link to nowhere of that name is said to be one, and never waited for."""
    path = tmp_path / "dimaudit.toml"
    tree(tmp_path, {})
    if kind == "folder":
        path.mkdir()
    elif kind == "pipe":
        os.mkfifo(path)
    else:
        path.symlink_to({"link to nowhere": "nowhere", "link in a circle": path.name, "device": "/dev/zero"}[kind])
    with pytest.raises(UsageError, match=r"dimaudit\.toml: "):
        configured(tmp_path / "x.dxf", {})


@pytest.mark.skipif(os.geteuid() == 0, reason="root may read everything")
def test_a_file_that_may_not_be_read_is_an_error(tmp_path):
    tree(tmp_path, {"dimaudit.toml": "snap = 1"})
    (tmp_path / "dimaudit.toml").chmod(0)
    with pytest.raises(UsageError, match="Permission denied"):
        configured(tmp_path / "x.dxf", {})


def test_a_slip_ends_a_run_before_the_first_drawing(tmp_path):
    """Also one in a folder that comes last: no drawing is audited, no report is begun, and the status is 2."""
    tree(tmp_path, {"b/dimaudit.toml": "snapp = 1"})
    for name in ("a/x.dxf", "b/x.dxf"):
        tree(tmp_path, {name: (SAMPLES / "winch-base-plate.dxf").read_bytes()})
    report = tmp_path / "report.json"
    done = CliRunner().invoke(cli, ["check", str(tmp_path), "--format", "json", "--output", str(report)])
    assert isinstance(done.exception, UsageError)
    assert "did you mean 'snap'?" in str(done.exception)
    assert not report.exists()
    assert done.stdout == ""


toml_like = st.text(alphabet="abrules.for[]={}'\"\n #=01-files\x1b\u202e", max_size=60)


@settings(max_examples=150, suppress_health_check=[HealthCheck.function_scoped_fixture], deadline=None)
@given(text=st.one_of(toml_like, st.binary(max_size=40)))
def test_any_text_is_read_or_refused(tmp_path, text):
    """Nothing that stands in a file ends in anything but a configuration or a UsageError."""
    content = text.encode("utf-8", "surrogatepass") if isinstance(text, str) else text
    tree(tmp_path, {"dimaudit.toml": content})
    try:
        file = file_in(tmp_path)
    except UsageError:
        return
    assert file is not None
    assert Configurations({}).of(tmp_path / "x.dxf").files


values = st.recursive(
    st.one_of(st.booleans(), st.integers(-3, 3), st.sampled_from(["'in'", "'off'", "'1/2'", "1.5", "''"])),
    lambda inner: st.lists(inner, max_size=2) | st.dictionaries(st.sampled_from("ab"), inner, max_size=2),
    max_leaves=4,
)  # fmt: skip


def toml(value: object) -> str:
    if isinstance(value, bool):
        return str(value).lower()
    if isinstance(value, dict):
        return "{" + ", ".join(f"{k} = {toml(v)}" for k, v in value.items()) + "}"
    return "[" + ", ".join(map(toml, value)) + "]" if isinstance(value, list) else str(value)


@settings(max_examples=200, suppress_health_check=[HealthCheck.function_scoped_fixture], deadline=None)
@given(key=st.sampled_from(["units", "rounding", "snap", "eaten-share", "general-tolerance", "view", "without-layer",
                            "not-implied", "fail-on", "fail-on-not-judged", "rule-set", "accepted", "rules", "for",
                            "rules.rounded"]), value=values)  # fmt: skip
def test_any_value_is_read_or_refused(tmp_path, key, value):
    """Whatever type stands behind a key, it is used or refused by an error that names the key."""
    tree(tmp_path, {"dimaudit.toml": f"{key} = {toml(value)}\n"})
    try:
        configured(tmp_path / "x.dxf", {})
        said = key
    except UsageError as error:
        said = str(error)
    assert key.rpartition(".")[2] in said
