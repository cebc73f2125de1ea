"""Which of several values counts, and for which drawings."""

import os
import subprocess
import time
from fractions import Fraction
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from config.tree import tree
from dimaudit.config import Configurations, Configured, configured
from dimaudit.config import settle as settle_module
from dimaudit.config.files import file_in
from dimaudit.errors import UsageError
from dimaudit.exact.number import Rounding
from dimaudit.model.audit import Level
from dimaudit.model.settings import RuleLevel, Settings

FOLDERS = ["", "castings", "castings/details"]
DRAWINGS = [f"{folder}/{name}".lstrip("/") for folder in FOLDERS for name in ("plate.dxf", "plate.router.dxf", "b.dxf")]

LITERALS: dict[str, list[tuple[str, Any]]] = {
    "rounding": [(f'"{rule}"', rule) for rule in Rounding],
    "snap": [('"1/1000"', Fraction(1, 1000)), ("1e-3", Fraction(1, 1000)), ("0.002", Fraction(1, 500))],
    "eaten-share": [('"1/5"', Fraction(1, 5)), ("1", Fraction(1)), ('"default"', Fraction(1, 10))],
    "without-layer": [("[]", ()), ('["A", "B"]', ("A", "B")), ('"C"', ("C",))],
    "fail-on": [('"never"', None), ('"note"', Level.NOTE), ('"default"', Level.ERROR)],
    "fail-on-not-judged": [("true", True), ("false", False)],
    "rules.rounded": [('"off"', RuleLevel.OFF), ('"default"', None), ('"error"', RuleLevel.ERROR)],
    "rules.cut-off": [('"note"', RuleLevel.NOTE)],
}
"""Values as they are written, and what they mean."""
DEFAULTS = {
    "rounding": Rounding.HALF_UP, "snap": None, "eaten-share": Fraction(1, 10), "without-layer": (),
    "fail-on": Level.ERROR, "fail-on-not-judged": False, "rules.rounded": None, "rules.cut-off": None,
}  # fmt: skip

some_keys = st.dictionaries(st.sampled_from(sorted(LITERALS)), st.integers(0, 2), max_size=4).map(
    lambda d: {key: LITERALS[key][k % len(LITERALS[key])] for key, k in d.items()}
)
patterns = st.sampled_from(["*.router.dxf", "details/", "/plate.dxf", "castings/**", "b.*"])
files = st.tuples(some_keys, st.lists(st.tuples(patterns, some_keys), max_size=3))
trees = st.tuples(*(st.none() | files for _ in FOLDERS))


def is_for(pattern: str, relative: str) -> bool:
    """The five patterns, each by what it means."""
    *inside, name = relative.split("/")
    return {
        "*.router.dxf": name.endswith(".router.dxf"),
        "details/": "details" in inside,
        "/plate.dxf": relative == "plate.dxf",
        "castings/**": inside[:1] == ["castings"],
        "b.*": name.startswith("b."),
    }[pattern]


def found(c: Configured) -> dict[str, Any]:
    levels = dict(c.settings.rule_levels)
    return {
        "rounding": c.settings.rounding, "snap": c.settings.snap, "eaten-share": c.settings.eaten_share,
        "without-layer": c.settings.left_out_layers, "fail-on": c.fail_on, "fail-on-not-judged": c.fail_on_not_judged,
        "rules.rounded": levels.get("rounded"), "rules.cut-off": levels.get("cut-off"),
    }  # fmt: skip


def written(keys: dict[str, tuple[str, Any]]) -> str:
    return "".join(f"{key} = {literal}\n" for key, (literal, _) in keys.items())


@settings(max_examples=120, deadline=None)
@given(trees, some_keys, st.booleans())
def test_the_last_that_speaks_counts(files_of_folders, on_line, in_project):
    """Default, then each file from the outermost in, each followed by its own tables, then the command line."""
    on_line = {k: v for k, v in on_line.items() if not k.startswith("rules.") and v[0] != '"default"'}
    with TemporaryDirectory() as folder:
        root = Path(folder)
        at = {}
        for place, file in zip(FOLDERS, files_of_folders, strict=True):
            if file is not None:
                whole, some = file
                prefix = "tool.dimaudit." if in_project else ""
                text = "[tool.dimaudit]\n" if in_project else ""
                text += written(whole)
                for pattern, keys in some:
                    text += f'[[{prefix}for]]\nfiles = ["{pattern}"]\n{written(keys)}'
                at[f"{place}/{'pyproject' if in_project else 'dimaudit'}.toml".lstrip("/")] = text
        tree(root, at)
        told = Configurations({key: value for key, (_, value) in on_line.items() if key != "fail-on"}
                              | {key: literal.strip('"') for key, (literal, _) in on_line.items() if key == "fail-on"})
        for drawing in DRAWINGS:
            expected = {key: (value, "default") for key, value in DEFAULTS.items()}
            for place, file in zip(FOLDERS, files_of_folders, strict=True):
                if file is None or not drawing.startswith(f"{place}/" if place else ""):
                    continue
                name = f"{place}/{'pyproject' if in_project else 'dimaudit'}.toml".lstrip("/")
                expected |= {key: (value, name) for key, (_, value) in file[0].items()}
                for n, (pattern, keys) in enumerate(file[1], 1):
                    if is_for(pattern, drawing.removeprefix(f"{place}/" if place else "")):
                        where = f"{name}, [[for]] {n} ({pattern})"
                        expected |= {key: (value, where) for key, (_, value) in keys.items()}
            expected |= {key: (value, "command line") for key, (_, value) in on_line.items()}
            one = told.of(root / drawing)
            assert found(one) == {key: value for key, (value, _) in expected.items()}
            origins = {o.key: o.where for o in one.origins}
            assert {k: v for k, v in origins.items() if k in expected} == {
                key: where for key, (_, where) in expected.items() if key in origins
            }


# --- which drawings a pattern is for -------------------------------------------------------------

NAMES = [
    "a.dxf", "a.router.dxf", "router/a.dxf", "router/deep/a.dxf", "router/trial-1.dxf", "x/router/a.dxf",
    "evening-class/ines/a.dxf", "x/evening-class/a.dxf", "old/a.dxf", "x/old/a.dxf", "x/old/y/a.dxf", "old.dxf",
    "router.dxf", "#a.dxf", "!a.dxf", "b c.dxf", "é.dxf", "A.DXF", "[a].dxf",
]  # fmt: skip
PATTERNS = [
    ["*.router.dxf"], ["router/**"], ["/router/"], ["evening-class/"], ["**/old/*.dxf"],
    ["router/**", "!router/trial-*"], ["*.dxf", "!a.dxf"], ["old"], ["old*"], ["\\#a.dxf"], ["\\!a.dxf"], ["b c.dxf"],
    ["?.dxf"], ["[a-b]*.dxf"],
    ["a.dxf"], ["x/**/a.dxf"], ["*"], ["\\[a\\].dxf"], ["*.DXF"], ["r*/d*/*.dxf"],
]  # fmt: skip


@pytest.mark.parametrize("wanted", PATTERNS, ids=" ".join)
def test_patterns_are_those_of_git(tmp_path, wanted):
    """Each pattern takes the drawings that git itself takes as ignored (the oracle: git check-ignore).

    But for '?', which is a letter here; git counts the two bytes of an 'é' as two.
    """
    env = {**os.environ, "GIT_CONFIG_GLOBAL": os.devnull, "GIT_CONFIG_SYSTEM": os.devnull}
    subprocess.run(["git", "init", "-q", str(tmp_path)], env=env, check=True)
    (tmp_path / ".gitignore").write_text("\n".join(wanted) + "\n", encoding="utf-8")
    for name in NAMES:
        tree(tmp_path, {name: ""})
    asked = "\0".join(NAMES) + "\0"
    done = subprocess.run(["git", "check-ignore", "--no-index", "-z", "--stdin"], input=asked.encode(), cwd=tmp_path,
                          env=env, capture_output=True, check=False)  # fmt: skip
    ignored = set(done.stdout.decode().split("\0")) - {""}
    ignored |= {"é.dxf"} if wanted == ["?.dxf"] else set()
    listed = ", ".join(f"'{pattern}'" for pattern in wanted)
    tree(tmp_path, {"dimaudit.toml": f"[[for]]\nfiles = [{listed}]\nfail-on = 'never'\n"})
    told = Configurations({})
    assert {name for name in NAMES if told.of(tmp_path / name).fail_on is None} == ignored
    assert done.returncode in (0, 1)


@pytest.mark.parametrize("pattern", ["*a*a*ab", "**/*a*/**/b", "**/*a*a*ab", "**/a/**/*a*b", "a**a*/*ab"])
@pytest.mark.parametrize("names", [["a" * 254] * 15, ["a"] * 2000, ["a" * 30] * 130])
def test_a_pattern_is_compared_in_bounded_time(tmp_path, pattern, names):
    """The worst patterns that are allowed, against the longest paths that a system opens, take a moment."""
    tree(tmp_path, {"dimaudit.toml": f"[[for]]\nfiles = '{pattern}'\n"})
    (_, part) = file_in(tmp_path).parts
    begin = time.process_time()
    part.files.match_file("x/" + "/".join(names))
    assert time.process_time() - begin < 5


@pytest.mark.parametrize(
    "pattern", ["*a*a*a*ab", "a**a**ab", "**/a/**/a/**/b", "*/*/*/*/*.dxf", "a" * 201, "../a.dxf", "x/../*", "", " ",
                "#a", "/", "a\\", "[z-a]"]
)  # fmt: skip
def test_a_pattern_that_is_none_is_refused(tmp_path, pattern):
    """Too many asterisks, a way out of the folder, a remark: an error that names the table and the pattern."""
    tree(tmp_path, {"dimaudit.toml": f"[[for]]\nfiles = ['a', '{pattern}']\n"})
    with pytest.raises(UsageError, match=r"dimaudit\.toml: line 2: \[\[for\]\] 1: files: '"):
        configured(tmp_path / "x.dxf", {})


# --- where files are looked for ------------------------------------------------------------------


def test_nothing_above_the_repository_counts(tmp_path):
    """The root of the repository is the last folder that is looked into, and is looked into."""
    tree(tmp_path, {"dimaudit.toml": "snap = 1", "yard/dimaudit.toml": "fail-on = 'note'", "yard/.git/x": ""}, False)
    one = configured(tmp_path / "yard" / "deep" / "x.dxf", {})
    assert (one.settings.snap, one.fail_on) == (None, Level.NOTE)


def test_a_git_file_marks_a_root_too(tmp_path):
    """In a linked working tree or a submodule, .git is a file."""
    tree(tmp_path, {"dimaudit.toml": "snap = 1", "yard/.git": "gitdir: elsewhere"}, False)
    assert configured(tmp_path / "yard" / "x.dxf", {}).settings.snap is None


def test_without_a_repository_all_folders_above_count(tmp_path):
    """The name of a file is then told from the outermost one."""
    tree(tmp_path, {"dimaudit.toml": "snap = 1", "a/b/dimaudit.toml": "fail-on = 'note'"}, False)
    one = configured(tmp_path / "a" / "b" / "c" / "x.dxf", {})
    assert (one.settings.snap, one.fail_on) == (1, Level.NOTE)
    assert {o.where for o in one.origins} == {"default", "dimaudit.toml", "a/b/dimaudit.toml"}


def test_a_project_file_counts_where_it_has_the_table(tmp_path):
    """pyproject.toml with [tool.dimaudit] counts; without, or of another tool only, it is no configuration."""
    tree(tmp_path, {"pyproject.toml": "[tool.dimaudit]\nsnap = 1\n", "a/pyproject.toml": "[tool.other]\nsnap = 2\n"})
    one = configured(tmp_path / "a" / "x.dxf", {})
    assert one.settings.snap == 1
    assert [f.name for f in one.files] == ["pyproject.toml"]


def test_a_project_file_of_others_need_not_be_sound(tmp_path):
    """A broken pyproject.toml that does not speak of dimaudit is nobody's business here; one that does is an error."""
    tree(tmp_path, {"pyproject.toml": "not toml at all ["})
    assert configured(tmp_path / "x.dxf", {}).files == ()
    tree(tmp_path, {"pyproject.toml": "[tool.dimaudit\nsnap = 1"})
    with pytest.raises(UsageError, match=r"pyproject\.toml: .*line 1"):
        configured(tmp_path / "x.dxf", {})


def test_links_are_followed_first(tmp_path):
    """A folder reached by a link has the configuration of where it is."""
    tree(tmp_path, {"dimaudit.toml": "snap = 1", "real/dimaudit.toml": "fail-on = 'note'"})
    (tmp_path / "other").mkdir()
    (tmp_path / "other" / "dimaudit.toml").write_text("fail-on = 'never'")
    (tmp_path / "other" / "link").symlink_to(tmp_path / "real")
    assert configured(tmp_path / "other" / "link" / "x.dxf", {}).fail_on is Level.NOTE
    assert configured(tmp_path / "other" / "link" / ".." / "x.dxf", {}).fail_on is Level.ERROR


def test_a_relative_name_is_from_here(tmp_path, monkeypatch):
    """A drawing named from the folder where one is, and its files are told from there."""
    tree(tmp_path, {"dimaudit.toml": "snap = 1\naccepted = 'known.toml'"})
    (tmp_path / "a").mkdir()
    monkeypatch.chdir(tmp_path)
    assert configured(Path("x.dxf"), {}).files == (Path("dimaudit.toml"),)
    assert configured(Path("a/x.dxf"), {}).accepted == Path("known.toml")
    monkeypatch.chdir(tmp_path / "a")
    assert configured(Path("x.dxf"), {}).files == (tmp_path / "dimaudit.toml",)


def test_files_can_be_left_out(tmp_path):
    tree(tmp_path, {"dimaudit.toml": "snap = oops"})
    one = Configurations({"snap": Fraction(1)}, use_files=False).of(tmp_path / "x.dxf")
    assert (one.settings, one.files) == (Settings(snap=Fraction(1)), ())


def test_each_file_is_read_once(tmp_path, monkeypatch):
    """For 2,000 drawings in 20 folders, 21 folders and those above are looked into, once each."""
    tree(tmp_path, {"dimaudit.toml": "snap = 1\n[[for]]\nfiles = 'f7/'\nfail-on = 'note'\n"})
    asked: list[Path] = []
    real = settle_module.file_in
    monkeypatch.setattr(settle_module, "file_in", lambda folder: (asked.append(folder), real(folder))[1])
    told = Configurations({})
    kinds = {id(told.of(tmp_path / f"f{k % 20}" / f"{k}.dxf")) for k in range(2000)}
    assert len(asked) == len(set(asked)) == 21
    assert len(kinds) == 20
    assert told.of(tmp_path / "f7" / "x.dxf").fail_on is Level.NOTE
