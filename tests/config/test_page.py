"""docs/configuration.md: its tables are those of the code, and its example is a configuration that works."""

import re
from fractions import Fraction
from pathlib import Path

import pytest
from click.testing import CliRunner

from config.tree import tree
from dimaudit.cli import check, cli
from dimaudit.cli.options import setting_options
from dimaudit.config import Configurations, Configured
from dimaudit.config.files import LONGEST_PATTERN, MOST_ANY_FOLDERS, MOST_STARS, MOST_STARS_IN_A_NAME
from dimaudit.config.keys import KEYS, default_words
from dimaudit.config.values import FAILING, IMPLIED, ROUNDINGS, RULE_LEVELS, UNITS
from dimaudit.judge.registry import RULE_SET
from dimaudit.model.audit import Level
from dimaudit.model.general import Iso2768
from dimaudit.model.settings import RuleLevel
from dimaudit.model.units import Unit

PAGE = (Path(__file__).parents[2] / "docs" / "configuration.md").read_text(encoding="utf-8")
FLAT = PAGE.replace("\n", " ")
EXAMPLES = dict(re.findall(r"^```toml (\S+)\n(.*?)^```$", PAGE, re.MULTILINE | re.DOTALL))
TABLE = re.findall(r"^\| `([a-z-]+)` \| (.+?) \| (.+) \|$", PAGE, re.MULTILINE)


def test_the_table_holds_every_key_with_its_default():
    """In the order of the code, each with a meaning."""
    assert [(key, default) for key, default, _ in TABLE] == [(key, default_words(key)) for key in KEYS]
    assert all(meaning for _, _, meaning in TABLE)


def test_a_key_that_takes_a_list_says_so():
    for key, _, meaning in TABLE:
        takes_list = isinstance(KEYS[key].default, tuple) or key == "general-tolerance"
        assert meaning.endswith("; a list") is takes_list, key


@pytest.mark.parametrize(
    ("key", "words"), [("units", UNITS), ("rounding", ROUNDINGS), ("not-implied", IMPLIED), ("fail-on", FAILING)]
)
def test_the_words_of_a_key_are_on_the_page(key, words):
    (meaning,) = [meaning for name, _, meaning in TABLE if name == key]
    assert re.findall(r"`([^`]+)`", meaning) == list(words)


def test_the_levels_are_on_the_page():
    column = re.findall(r"^\| (`off`|`note`.*?|`default`) \|", PAGE, re.MULTILINE)
    assert re.findall(r"`(\w+)`", " ".join(column)) == [*RULE_LEVELS, "default"]
    assert f"The rule set in force is {RULE_SET}." in FLAT


def test_the_bounds_of_a_pattern_are_on_the_page():
    assert f"at most {LONGEST_PATTERN} characters and {MOST_STARS} asterisks" in FLAT
    assert f"of them {MOST_STARS_IN_A_NAME} in one name, and at most {MOST_ANY_FOLDERS} times `**`" in FLAT


def test_each_key_is_an_option_of_the_same_name():
    """But for those that the page says have none; the options of `check` that are no key are its own."""
    options = {p.name.replace("_", "-") for p in check.check.params}
    assert {*KEYS} - options == {"rule-set", "accepted"}
    assert "`rule-set`, `accepted` and the rules have no option" in FLAT

    @setting_options
    def bare() -> None: ...

    steering = {p.name.replace("_", "-") for p in bare.__click_params__}
    assert steering - {*KEYS} == {"without-configuration"}


@pytest.fixture
def yard(tmp_path) -> Path:
    """A repository with the files of the page's example."""
    return tree(tmp_path, EXAMPLES)


def held(yard: Path, drawing: str) -> Configured:
    return Configurations({}).of(yard / drawing)


def test_the_example_holds_for_a_print(yard):
    one = held(yard, "winch-base-plate.dxf")
    assert one.settings.unit is Unit.INCH
    assert one.settings.general is not None
    assert one.settings.general.words() == [".XX ±0.01", ".XXX ±0.005", ".XXXX ±0.0005", "angles ±0.5°"]
    assert one.settings.left_out_layers == ("SKETCH", "NESTING")
    assert dict(one.settings.rule_levels) == {
        "not-associated": RuleLevel.OFF, "rounded": RuleLevel.NOTE, "near-miss": RuleLevel.ERROR
    }  # fmt: skip
    assert (one.fail_on, one.settings.rule_set) == (Level.WARNING, 1)
    assert one.accepted == yard / "accepted-findings.toml"


@pytest.mark.parametrize("drawing", ["router/hatch.dxf", "router/old/hatch.dxf", "x/hatch.router.dxf"])
def test_the_example_holds_for_the_router(yard, drawing):
    one = held(yard, drawing)
    assert one.settings.unit is Unit.MILLIMETRE
    assert one.settings.near == Fraction(1, 2)
    assert one.settings.general is not None
    assert one.settings.general.iso2768 == Iso2768("m", "set by the user")
    assert one.fail_on is Level.WARNING


def test_the_example_holds_for_the_class(yard):
    one = held(yard, "2026/evening-class/ines.dxf")
    assert one.fail_on is Level.ERROR
    assert dict(one.settings.rule_levels)["rounded"] is RuleLevel.OFF


def test_the_example_holds_for_the_castings(yard):
    """The nearer file replaces what it names, and only that."""
    one = held(yard, "castings/bearing-block.dxf")
    assert one.settings.general is not None
    assert one.settings.general.words() == ["lengths ±0.03125", "angles ±1°"]
    assert one.settings.snap == Fraction(1, 10_000)
    assert dict(one.settings.rule_levels) == {"not-associated": RuleLevel.OFF, "near-miss": RuleLevel.ERROR}
    assert one.settings.left_out_layers == ("SKETCH", "NESTING")


def test_the_table_of_patterns_is_true(tmp_path):
    """Each pattern of the page takes what the page says."""
    rows = re.findall(r"^\| (`[\"\[].+?) \| (.+) \|$", PAGE, re.MULTILINE)
    takes = {
        '"*.router.dxf"': (["a.router.dxf", "x/a.router.dxf"], ["a.dxf"]),
        '"router/**"': (["router/a.dxf", "router/x/a.dxf"], ["x/router/a.dxf"]),
        '"/router/"': (["router/a.dxf", "router/x/a.dxf"], ["x/router/a.dxf"]),
        '"evening-class/"': (["evening-class/a.dxf", "x/evening-class/y/a.dxf"], ["evening-class.dxf"]),
        '"**/old/*.dxf"': (["old/a.dxf", "x/old/a.dxf"], ["old/y/a.dxf"]),
        '["router/**", "!router/trial-*"]': (["router/a.dxf"], ["router/trial-1.dxf"]),
    }
    named = [pattern for cell, _ in rows for pattern in re.findall(r"`([^`]+)`", cell)]
    assert named == list(takes)
    for pattern, (inside, outside) in takes.items():
        tree(tmp_path, {"dimaudit.toml": f"[[for]]\nfiles = {pattern}\nsnap = 1\n"})
        told = Configurations({})
        assert all(told.of(tmp_path / name).settings.snap == 1 for name in inside), pattern
        assert all(told.of(tmp_path / name).settings.snap is None for name in outside), pattern


def test_what_the_page_prints_is_printed(yard, monkeypatch):
    """The opening of what `settings` says, and the message of a slip."""
    monkeypatch.chdir(yard)
    tree(yard, {"castings/bearing-block.dxf": ""})
    (shown,) = re.findall(r"^```console\n\$ dimaudit (.*?)\n(.*?)  …\n```$", PAGE, re.MULTILINE | re.DOTALL)
    done = CliRunner().invoke(cli, shown[0].split())
    assert done.stdout.startswith(shown[1])
    tree(yard, {"dimaudit.toml": 'units = "in"\nroundin = "half-up"\n'})
    done = CliRunner().invoke(cli, ["check", "castings/bearing-block.dxf"])
    assert f"\ndimaudit: {done.exception}\n" in PAGE
