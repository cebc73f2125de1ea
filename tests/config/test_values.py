"""What a user writes for a setting: exact, and read alike on the command line and in a file."""

import re
from fractions import Fraction
from pathlib import Path

import click
import pytest
from hypothesis import given
from hypothesis import strategies as st

from config.tree import tree
from dimaudit.cli.options import BOX, GENERAL, NUMBER, SHARE
from dimaudit.config import configured
from dimaudit.config.keys import KEYS, default_words
from dimaudit.config.values import number, view_box
from dimaudit.errors import UsageError
from dimaudit.model import settings
from dimaudit.model.audit import Level
from dimaudit.model.scheme import Implied
from dimaudit.model.settings import RuleLevel, Settings, ViewBox
from dimaudit.model.units import Unit

F = Fraction


def read(folder: Path, text: str, **given: object) -> Settings:
    tree(folder, {"dimaudit.toml": text})
    return configured(folder / "x.dxf", given).settings


@pytest.mark.parametrize(
    ("written", "exact"),
    [
        ("0.1", F(1, 10)), ('"0.1"', F(1, 10)), ('".0001"', F(1, 10_000)), ('"1/64"', F(1, 64)), ("1", F(1)),
        ('"1 1/2"', F(3, 2)), ("1e-4", F(1, 10_000)), ('"1e-4"', F(1, 10_000)), ("1_0.2_5", F(41, 4)), ("0", F(0)),
        ("0.1000000000000000055511151231257827", F("0.1000000000000000055511151231257827")), ('" 3 "', F(3)),
    ],
)  # fmt: skip
def test_numbers_are_exactly_as_written(tmp_path, written, exact):
    """A decimal of TOML is the decimal, not the double next to it: 0.1 is 1/10."""
    assert read(tmp_path, f"noise = {written}").noise == exact


@given(st.decimals(min_value=0, max_value=1000, allow_nan=False, allow_infinity=False, places=9))
def test_a_number_is_what_its_digits_say(decimal):
    """As text, as the command line has it, any decimal is its own exact value (the oracle: fractions.Fraction)."""
    assert number(f"{decimal:f}") == Fraction(f"{decimal:f}") == NUMBER.convert(f"{decimal:f}", None, None)


@given(st.text(max_size=12) | st.integers() | st.booleans() | st.none() | st.lists(st.integers(), max_size=2))
def test_a_number_is_read_or_refused(value):
    """Whatever is written, there is a number that is not negative, or a message that says what is wrong."""
    try:
        found = number(value)
    except ValueError as error:
        found, said = F(0), str(error)
        assert re.search("is neither a decimal nor a fraction|is negative", said)
    assert found >= 0


@pytest.mark.parametrize("word", ["-1", "abc", "1/0", "", "nan", "inf", "1e999999999", "0x10", "٣"])
def test_what_is_no_number_is_refused_alike(tmp_path, word):
    """The command line and the file refuse the same words with the same sentence."""
    with pytest.raises(click.BadParameter) as on_line:
        NUMBER.convert(word, None, None)
    with pytest.raises(UsageError) as in_file:
        read(tmp_path, f'snap = "{word}"')
    assert str(in_file.value).endswith(on_line.value.message)
    assert "line 1: snap: " in str(in_file.value)


@pytest.mark.parametrize("word", ["0,0,200,100", "200,100,0,0=2:1", "0,0,1/2,.5=1/2", " 0 , 0 , 1 , 1 "])
def test_a_box_is_read_alike(tmp_path, word):
    """A rectangle by its corners, in whichever order, with its scale."""
    (box,) = read(tmp_path, f'view = "{word}"').views
    assert box == BOX.convert(word, None, None) == view_box(word)
    assert box.low <= box.high


@pytest.mark.parametrize("word", ["0,0,1", "0,0,1,1=0", "0,0,1,1=1:0", "a,b,c,d", "0,0,1,1=-1"])
def test_a_box_that_is_none_is_refused(tmp_path, word):
    with pytest.raises(UsageError, match="view: "):
        read(tmp_path, f'view = ["{word}"]')
    with pytest.raises(click.BadParameter):
        BOX.convert(word, None, None)


def test_every_key_reaches_the_settings(tmp_path):
    """Each key of a file changes what it is for."""
    text = """
        units = "mm"
        rounding = "half-even"
        snap = "1/1000"
        near = 0.5
        gap = "1/4"
        noise = 1e-8
        eaten-share = "1/5"
        general-tolerance = [".XX=.01", "iso2768-m"]
        view = ["0,0,2,1=2:1", "3,0,4,1"]
        without-layer = ["A", "B"]
        without-layout = "Sheet"
        not-implied = ["level", "meets"]
        fail-on = "never"
        fail-on-not-judged = true
        rule-set = 1
        accepted = "below/accepted.toml"
        [rules]
        rounded = "off"
        cut-off = "note"
    """
    tree(tmp_path, {"dimaudit.toml": text})
    found = configured(tmp_path / "x.dxf", {})
    s = found.settings
    assert (s.unit, str(s.rounding), s.snap, s.near, s.gap, s.noise, s.eaten_share) == (
        Unit.MILLIMETRE, "half-even", F(1, 1000), F(1, 2), F(1, 4), F(1, 10**8), F(1, 5)
    )  # fmt: skip
    assert s.general is not None
    assert s.general.words() == [".XX ±0.01", "ISO 2768-1 m"]
    assert s.views == (ViewBox((F(0), F(0)), (F(2), F(1)), F(2)), ViewBox((F(3), F(0)), (F(4), F(1))))
    assert (s.left_out_layers, s.left_out_layouts) == (("A", "B"), ("Sheet",))
    assert set(Implied) - set(s.taken_as_implied) == {Implied.LEVEL, Implied.MEETS}
    assert s.rule_levels == (("cut-off", RuleLevel.NOTE), ("rounded", RuleLevel.OFF))
    assert s.rule_set == 1
    assert (found.fail_on, found.fail_on_not_judged) == (None, True)
    assert found.accepted == tmp_path / "below" / "accepted.toml"
    changed = {o.key for o in found.origins if o.where == "dimaudit.toml"}
    assert changed == {*KEYS, "rules.rounded", "rules.cut-off"}


def test_without_files_all_is_as_ever(tmp_path):
    """With no file and no option, the settings are the defaults of the tool."""
    (tmp_path / ".git").mkdir()
    found = configured(tmp_path / "x.dxf", {})
    assert found.settings == Settings()
    assert (found.fail_on, found.fail_on_not_judged, found.accepted, found.files) == (Level.ERROR, False, None, ())
    assert {o.where for o in found.origins} == {"default"}


def test_the_defaults_in_words_are_those_in_force():
    """What the help says of a default is what the code does."""
    for key, lengths in (("snap", settings.SNAP), ("near", settings.NEAR), ("gap", settings.GAP)):
        inch, mm = default_words(key).split(", ")
        assert (number(inch.removesuffix(" in")), number(mm.removesuffix(" mm"))) == (lengths[True], lengths[False])
    assert number(default_words("noise").rsplit(" ", 1)[1]) == settings.COARSEST_NOISE
    assert SHARE.convert(default_words("eaten-share"), None, None) == settings.EATEN_SHARE


@pytest.mark.parametrize(
    ("key", "word"),
    [("units", "ft"), ("rounding", "half-even"), ("fail-on", "never"), ("fail-on", "note"), ("eaten-share", "1/20"),
     ("snap", "0.001"), ("snap", "1/3"), ("view", "0,0,2,1=2:1"), ("without-layer", "NOTES"), ("not-implied", "meets"),
     ("accepted", "a/b.toml")],
)  # fmt: skip
def test_words_read_back(key, word):
    """What is shown of a value is what was written."""
    assert KEYS[key].words(KEYS[key].read(word)) == word


def test_general_tolerances_are_read_alike(tmp_path):
    """One entry is the same on the command line and in a file; 'none' is none, [] is the title block's."""
    assert read(tmp_path, 'general-tolerance = "angles=1/2"').general is not None
    entry = GENERAL.convert("angles=1/2", None, None)
    assert read(tmp_path, 'general-tolerance = "angles=1/2"').general == read(
        tmp_path, "", **{"general-tolerance": (entry,)}
    ).general  # fmt: skip
    none = read(tmp_path, 'general-tolerance = "none"').general
    assert none is not None
    assert not none
    assert read(tmp_path, "general-tolerance = []").general is None


@pytest.mark.parametrize(
    ("given", "said"),
    [
        ({"general-tolerance": (None, None)}, "--general-tolerance: none leaves no room"),
        ({"eaten-share": F(2)}, "--eaten-share: must be above 0"),
        ({"snap": F(1), "near": F(1)}, "--near must be larger than --snap"),
        ({"snap": F(1), "gap": F(1, 2)}, "--gap must be larger than --snap"),
    ],
)
def test_options_that_make_no_sense_together(tmp_path, given, said):
    (tmp_path / ".git").mkdir()
    with pytest.raises(UsageError, match=said):
        configured(tmp_path / "x.dxf", given)
