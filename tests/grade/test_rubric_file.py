"""The rubric file: what a key asks, written for people to edit, read back exactly, and refused with a line."""

import re
import tomllib
from dataclasses import replace
from fractions import Fraction
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from dimaudit.errors import UsageError
from dimaudit.grade.laid_out import key_of
from dimaudit.grade.proposed import errors_of, proposed
from dimaudit.grade.rubric import UNITS, read_rubric
from dimaudit.grade.rubric_text import rubric_text, toml_text
from dimaudit.model.grading import Asked, Criterion, LayerAsked, Lying, Rubric
from dimaudit.model.settings import Settings
from dimaudit.pipeline import examine_file
from dimaudit.text.toml_file import exact_float, read_number
from grade.evening import key, plate

F = Fraction
SAMPLES = Path(__file__).parent.parent.parent / "samples"
SHA = "0" * 64
GOOD = f'[rubric]\nkey = "key.dxf"\nkey_sha256 = "{SHA}"\n\n[sizes]\npoints = 100\n'


def read(tmp_path: Path, text: str | bytes) -> Rubric:
    path = tmp_path / "rubric.toml"
    path.write_bytes(text.encode() if isinstance(text, str) else text)
    return read_rubric(path)


def refused(tmp_path: Path, text: str | bytes) -> str:
    with pytest.raises(UsageError) as caught:
        read(tmp_path, text)
    return str(caught.value)


# --- from a key ----------------------------------------------------------------------------------


@pytest.mark.parametrize("path", sorted(SAMPLES.glob("*.dxf")), ids=lambda p: p.stem)
def test_a_rubric_from_a_key_is_100_points_and_reads_back_the_same(path, tmp_path):
    """Whatever the key shows: what is written is what is read."""
    drawing = key_of(examine_file(path, Settings()))
    rubric = proposed(drawing, path.name, path.stem)
    assert sum(a.points for a in rubric.criteria) == 100
    faults = [f.message for f in errors_of(drawing)]
    assert read(tmp_path, rubric_text(rubric, drawing.examined.audit.unit, faults)) == rubric


def test_what_the_key_does_not_show_is_not_asked(tmp_path):
    """No point at a centre, no place at the origin, no dimension: no criterion for it."""
    bare = plate()
    for dimension in bare.into.query("DIMENSION"):
        bare.into.delete_entity(dimension)
    asked = {a.criterion for a in proposed(key(tmp_path, bare), "key.dxf", "").criteria}
    assert asked.isdisjoint(
        {Criterion.PLACE, Criterion.DIMENSIONS, Criterion.TYPED, Criterion.LAYERS, Criterion.CENTRE_POINTS}
    )
    assert {Criterion.FEATURES, Criterion.SIZES, Criterion.LINEWORK} <= asked


@pytest.mark.parametrize(
    ("corner", "lying"), [(("0", "0"), Lying.CORNER), (("-2", "-1"), Lying.CENTRED), (("1", "1"), Lying.ANYWHERE)]
)
def test_where_the_key_lies_is_asked(tmp_path, corner, lying):
    """A key with a corner, or its middle, on the origin asks for that; another asks for nothing."""
    rubric = proposed(key(tmp_path, plate(corner=corner)), "key.dxf", "")
    assert rubric.lying is lying
    assert (Criterion.PLACE in {a.criterion for a in rubric.criteria}) is (lying is not Lying.ANYWHERE)


def test_layers_and_centre_points_are_those_of_the_key(tmp_path):
    """Each purpose with the layers that the key has it on, and any kind of entity."""
    rubric = proposed(key(tmp_path, plate(marked=True)), "key.dxf", "")
    assert rubric.layers == (
        LayerAsked("outline", ("PART",), ()), LayerAsked("dimensions", ("DIM",), ()),
        LayerAsked("points", ("PART",), ()),
    )  # fmt: skip
    assert Criterion.CENTRE_POINTS in {a.criterion for a in rubric.criteria}


def test_what_is_left_out_can_be_asked_by_taking_the_hashes_away(tmp_path):
    """The remarked-out tables are good TOML once each single hash is gone."""
    drawing = key(tmp_path)
    text = rubric_text(proposed(drawing, "key.dxf", ""), drawing.examined.audit.unit)
    start = text.index("# Not asked")
    rest = re.sub(r"(?m)^# ", "", text[start:].partition("\n")[2])
    rubric = read(tmp_path, text[:start] + rest)
    assert [a.criterion for a in rubric.criteria] == list(Criterion)


def test_every_line_that_can_be_edited_is_explained():
    """Above each setting stands a remark in words, or a setting that shares its remark."""
    rubric = Rubric("k.dxf", SHA, "t", tuple(Asked(c, F(5)) for c in Criterion))
    lines = rubric_text(rubric, None).splitlines()
    for table in (n for n, line in enumerate(lines) if re.match(r"\[(?!rubric)", line)):
        assert lines[table - 1].startswith("# ")


def test_a_key_with_faults_says_so_in_the_file():
    """Its faults stand above everything, as remarks that stay remarks."""
    text = rubric_text(Rubric("k.dxf", SHA, "t", (Asked(Criterion.SIZES, F(1)),)), None, ["wrong\n[sizes]\npoints = 3"])
    assert "#   wrong [sizes] points = 3\n" in text
    assert tomllib.loads(text)["sizes"]["points"] == 1


# --- read exactly --------------------------------------------------------------------------------


numbers = st.fractions(min_value=0, max_value=1000, max_denominator=1000)
shares = st.fractions(min_value=0, max_value=1, max_denominator=100)
texts = st.text(st.characters(codec="utf-8", exclude_categories=["Cs"]), max_size=20)
names = st.lists(texts.filter(lambda t: t.strip() == t and t != ""), max_size=3).map(tuple)


@st.composite
def rubrics(draw: st.DrawFn) -> Rubric:
    chosen = draw(st.sets(st.sampled_from(list(Criterion)), min_size=1))
    criteria = tuple(
        Asked(c, draw(numbers) + 1, draw(st.none() | numbers)) for c in Criterion if c in chosen
    )
    tolerance = draw(st.none() | numbers) if Criterion.SIZES in chosen else None
    plain = Rubric("", "", "", ())
    total = sum(a.points for a in criteria)
    there, right = draw(shares) / 2, draw(shares) / 2
    return Rubric(
        draw(texts), draw(st.text("0123456789abcdef", min_size=64, max_size=64)), draw(texts), criteria,
        turned=draw(st.booleans()), mirrored=draw(st.booleans()), other_units=draw(st.booleans()),
        lying=draw(st.sampled_from(Lying)) if Criterion.PLACE in chosen else plain.lying,
        tolerance=tolerance,
        close=draw(st.none() | numbers.map(lambda n: n + (tolerance or 0) + 1)) if Criterion.SIZES in chosen else None,
        close_costs=draw(shares) if Criterion.SIZES in chosen else plain.close_costs,
        rounded_costs=draw(shares) if Criterion.SIZES in chosen else plain.rounded_costs,
        own_scheme=draw(st.booleans()) if Criterion.DIMENSIONS in chosen else plain.own_scheme,
        shares=(there, right, 1 - there - right, F(0)) if Criterion.DIMENSIONS in chosen else plain.shares,
        layers=(LayerAsked("outline", draw(names), ("LINE",)), LayerAsked("points", draw(names), ()))
        if Criterion.LAYERS in chosen else (),
        round_to=draw(st.none() | st.integers(1, 9).map(lambda n: total / n)),
        unit=draw(st.sampled_from([None, *UNITS.values()])), without_layers=draw(names),
    )  # fmt: skip


@given(rubrics())
def test_any_rubric_reads_back_as_it_was_written(tmp_path_factory, rubric):
    """Exactly: 1/3 stays 1/3, and hostile names stay names."""
    assert read(tmp_path_factory.getbasetemp(), rubric_text(rubric, None)) == rubric


@given(texts)
def test_any_text_is_one_toml_string(text):
    """Against the standard library's reader: nothing in a name ends the string."""
    assert tomllib.loads(f"a = {toml_text(text)}") == {"a": text}


@pytest.mark.parametrize(
    ("written", "value"),
    [
        ("1/64", F(1, 64)), ("1 1/2", F(3, 2)), ("-1 1/2", F(-3, 2)), (".005", F(1, 200)), ("2.", F(2)), (3, F(3)),
        ("0.1", F(1, 10)), (" 5 ", F(5)),
    ],
)  # fmt: skip
def test_a_number_is_read_exactly(written, value):
    """Decimals and fractions, without a double in between."""
    assert read_number(written) == value


@pytest.mark.parametrize("written", ["1/0", "", "1//2", "one", "1e9", "٣", "0x10", True, None, [1], "9" * 31, "1 2 3"])
def test_what_is_no_number_is_refused(written):
    """Never guessed, never evaluated."""
    with pytest.raises(ValueError, match=r"no number|larger"):
        read_number(written)


def test_decimals_of_the_file_are_exact(tmp_path):
    """0.1 in the file is one tenth."""
    assert read(tmp_path, GOOD + "tolerance = 0.1\n").tolerance == F(1, 10)
    assert exact_float("1e3") == 1000


@pytest.mark.parametrize("number", ["inf", "nan", "1e999999999", "1e-999999999", "0e-999999999"])
def test_absurd_decimals_do_not_hang(tmp_path, number):
    """An exponent is never multiplied out before it is looked at."""
    assert "rubric.toml: " in refused(tmp_path, GOOD + f"tolerance = {number}\n")


# --- refused -------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("text", "says"),
    [
        (GOOD.replace("points", "pionts"), "line 6: [sizes] 'pionts' is nothing that [sizes] has; did you mean "
         "'points'?"),
        (GOOD.replace("[sizes]", "[size]"), "line 5: 'size' is nothing that a rubric has; did you mean 'sizes'?"),
        (GOOD.replace("100", "-1"), "line 6: [sizes] points: -1 is below zero"),
        (GOOD.replace("100", "true"), "line 6: [sizes] points: is no number"),
        (GOOD.replace("100", '"1/0"'), "line 6: [sizes] points: '1/0' is no number"),
        (GOOD.replace("100", "0"), "no criterion gives any points"),
        (GOOD.replace("points = 100", "each = 1"), "line 5: [sizes] 'points' is missing"),
        (GOOD + 'close = "1/64"\ntolerance = 0.1\n', "line 7: [sizes] close: must be more than the tolerance"),
        (GOOD + "close_costs = 2\n", "line 7: [sizes] close_costs: 2 must be from 0 to 1"),
        (GOOD + '[place]\npoints = 1\nlying = "centered"\n', "line 9: [place] lying: 'centered' is not known; did you "
         "mean 'centred'?"),
        (GOOD + "[dimensions]\npoints = 1\nthere = 1\n", "'right' is missing: all four shares"),
        (GOOD + "[dimensions]\npoints = 1\nthere = 1\nright = 1\nstated = 0\nassociated = 0\n",
         "line 9: [dimensions] the four shares there, right, stated, associated add up to 2: make it 1"),
        (GOOD + '[layers]\npoints = 1\noutline = ["PART"]\n', "line 9: [layers] outline: write { layers"),
        (GOOD + '[layers]\npoints = 1\noutline = { layer = ["A"] }\n', "did you mean 'layers'?"),
        (GOOD + '[accept]\nturned = "yes"\n', "line 8: [accept] turned: must be true or false"),
        (GOOD.replace(SHA, "12"), "line 3: [rubric] key_sha256: must be the 64 digits"),
        (GOOD.replace('"key.dxf"', "key.dxf"), "line 2"),
        ("points = 3\n", "line 1: 'points' is nothing that a rubric has"),
        ("rubric = 3\n", "'rubric' must be a table of its own: write [rubric]"),
        ("", "there is no [rubric]: write the rubric anew"),
        (b"[rubric]\n\nkey = '\xff'\n", "line 3: not UTF-8"),
        ("a = " + "[" * 5000, "rubric.toml: "),
        ("a = " + "9" * 5000, "rubric.toml: "),
        (GOOD + '[layers]\npoints = 5\noutline = { layers = [], entities = ["LINES"] }\n',
         "line 9: [layers] outline: 'LINES' is no kind of entity that is graded; did you mean 'LINE'?"),
        (GOOD + '[reading]\nunits = "inchs"\n', "line 8: [reading] units: 'inchs' is not known; did you mean 'inches'"),
        (GOOD + '[reading]\nwithout_layers = "NOTES"\n', 'line 8: [reading] without_layers: must be names in brackets'),
    ],
)  # fmt: skip
def test_a_slip_is_named_with_its_line_and_what_to_do(tmp_path, text, says):
    """Nothing that can't be understood is passed over."""
    assert says in refused(tmp_path, text)


def test_a_mark_before_the_first_line_does_no_harm(tmp_path):
    """Some editors put a byte order mark there."""
    assert read(tmp_path, b"\xef\xbb\xbf" + GOOD.encode()) == read(tmp_path, GOOD)


def test_a_file_that_is_not_there_or_far_too_large(tmp_path):
    """Both are said, with the name."""
    with pytest.raises(UsageError, match=r"none\.toml: No such file"):
        read_rubric(tmp_path / "none.toml")
    assert "name another" in refused(tmp_path, "#" * 1_000_001)


def test_comments_change_nothing(tmp_path):
    """A rubric is what its settings say."""
    assert read(tmp_path, "# a remark\n" + GOOD) == replace(read(tmp_path, GOOD))
