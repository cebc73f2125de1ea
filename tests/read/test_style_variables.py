"""Each variable of a dimension style, changed alone, changes what is read: in the style, as override, in an old header.

The DXF reference (DIMSTYLE and its group codes, HEADER) says what each does; the texts are worked by hand from it.
Where ezdxf draws the variable, its drawn text must be read as the same. It draws no fractions, no alternates, and no
DIMPOST without '<>'.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field
from fractions import Fraction as F
from pathlib import Path
from typing import Any

import pytest

from dimaudit.exact.number import Rounding
from dimaudit.model.audit import Judgement
from dimaudit.model.drawing import Kind
from dimaudit.model.stated import Stated, Tolerance
from dimaudit.model.style import DimStyle
from dimaudit.read.style import CODES
from dimaudit.text.formatter import written_text
from dimaudit.text.markup import plain_text
from read.sketch import Sketch, audited

GROUPS = {name: code for code, name in CODES.items()}
BASE = {"dimdec": 2, "dimtdec": 2, "dimdsep": 46, "dimzin": 0, "dimtzin": 0, "dimlunit": 2, "dimlfac": 1.0}
"""The library takes other values than the reference where a style gives none; so these are always written."""

TOLERANCED = {"dimtol": 1, "dimtp": 0.02, "dimtm": 0.02, "dimtdec": 3}
ALTERNATE = {"dimalt": 1, "dimaltf": 25.4, "dimaltd": 2}
BOTH = {**TOLERANCED, "dimtp": 0.5, "dimtm": 0.5, **ALTERNATE}
ANGLE = {"dimadec": 2, "dimazin": 0}


@dataclass(frozen=True)
class Case:
    """One variable: what stands beside it in the style, its value, and the text without and with it."""

    variable: str
    value: Any
    before: str
    after: str
    beside: Mapping[str, Any] = field(default_factory=dict)
    size: float = 2.4375
    """Of the plate; for angles the height of a triangle on a base of 3."""
    kind: Kind = Kind.LINEAR
    drawn: bool = True
    """ezdxf draws it."""
    why: str = ""

    def __str__(self) -> str:
        return f"{self.variable} {self.value}"


def angle(variable: str, value: Any, before: str, after: str, beside: Mapping[str, Any] = ANGLE, **more: Any) -> Case:
    return Case(variable, value, before, after, beside, 2.0, Kind.ANGULAR_3P, **more)


CASES = [
    Case("dimdec", 1, "2.44", "2.4"),
    Case("dimdec", 3, "2 1/2", "2 3/8", {"dimlunit": 5, "dimdec": 2}, size=2.40625, drawn=False,
         why="quarters, then eighths: 2.40625 is 1/32 above 2 3/8"),
    Case("dimzin", 4, "0.50", ".50", size=0.5),
    Case("dimzin", 8, "0.50", "0.5", size=0.5),
    Case("dimzin", 12, "0.50", ".5", size=0.5),
    Case("dimzin", 1, '6"', "0'-6\"", {"dimlunit": 4}, size=6, drawn=False),
    Case("dimrnd", 0.25, "2.44", "2.50"),
    Case("dimlfac", 2.0, "2.44", "4.88", why="4.875 is a tie: 4.88 by half-up and by half-even"),
    Case("dimlunit", 1, "2.4375", "2.4375E+00", {"dimdec": 4}, drawn=False),
    Case("dimlunit", 3, "14.50", "1'-2.50\"", size=14.5, drawn=False),
    Case("dimlunit", 4, "2.4375", '2 7/16"', {"dimdec": 4}, drawn=False),
    Case("dimlunit", 5, "2.4375", "2 7/16", {"dimdec": 4}, drawn=False),
    Case("dimunit", 5, "2.4375", "2 7/16", {"dimdec": 4}, drawn=False, why="R13 and R14, without DIMLUNIT"),
    Case("dimdsep", 44, "2.44", "2,44"),
    Case("dimdsep", 183, "2.44", "2·44"),
    Case("dimpost", "<> mm", "2.44", "2.44 mm"),
    Case("dimpost", "4X <>", "2.44", "4X 2.44"),
    Case("dimpost", " mm", "2.44", "2.44 mm", drawn=False, why="without '<>' it is a suffix"),
    Case("dimpost", "<>\\XTYP", "2.44", "2.44\nTYP", drawn=False, why="what follows \\X stands below the line"),
    Case("dimpost", "<>\\X", "2.44 [61.91]", "2.44\n[61.91]", ALTERNATE, drawn=False),
    Case("dimtol", 1, "2.44", "2.44 ±0.020", {**TOLERANCED, "dimtol": 0}),
    Case("dimtol", 1, "2.458\n2.418", "2.44 ±0.020", {**TOLERANCED, "dimtol": 0, "dimlim": 1}, size=2.438,
         why="the two exclude each other, and DIMTOL wins"),
    Case("dimlim", 1, "2.44", "2.458\n2.418", {**TOLERANCED, "dimtol": 0}, size=2.438),
    Case("dimtp", 0.05, "2.44 ±0.020", "2.44 +0.050 -0.020", TOLERANCED),
    Case("dimtm", 0.0, "2.44 ±0.020", "2.44 +0.020 -0.000", TOLERANCED),
    Case("dimtm", -0.01, "2.44 ±0.020", "2.44 +0.020 +0.010", TOLERANCED, why="negative is above the size"),
    Case("dimtdec", 1, "2.44 ±0.52", "2.44 ±0.5", {**TOLERANCED, "dimtdec": 2, "dimtp": 0.52, "dimtm": 0.52}),
    Case("dimtzin", 8, "2.44 ±0.020", "2.44 ±0.02", TOLERANCED),
    Case("dimtzin", 4, "2.44 ±0.020", "2.44 ±.020", TOLERANCED),
    Case("dimalt", 1, "2.44", "2.44 [61.91]", {**ALTERNATE, "dimalt": 0}, drawn=False, why="2.4375 x 25.4 = 61.9125"),
    Case("dimaltf", 0.5, "2.44 [61.91]", "2.44 [1.22]", ALTERNATE, drawn=False, why="1.21875"),
    Case("dimaltd", 1, "2.44 [61.91]", "2.44 [61.9]", ALTERNATE, drawn=False),
    Case("dimaltrnd", 0.5, "2.44 [61.91]", "2.44 [62.00]", ALTERNATE, drawn=False),
    Case("dimaltu", 4, "2.44 [2.4375]", '2.44 [2 7/16"]', {**ALTERNATE, "dimaltf": 1.0, "dimaltd": 4}, drawn=False),
    Case("dimaltu", 7, "2.44 [2.4375]", "2.44 [2 7/16]", {**ALTERNATE, "dimaltf": 1.0, "dimaltd": 4}, drawn=False),
    Case("dimaltu", 1, "2.44 [61.91]", "2.44 [6.19E+01]", ALTERNATE, drawn=False),
    Case("dimaltz", 8, "2.50 [63.50]", "2.50 [63.5]", ALTERNATE, size=2.5, drawn=False),
    Case("dimapost", "[] mm", "2.44 [61.91]", "2.44 [61.91 mm]", ALTERNATE, drawn=False),
    Case("dimapost", "mm", "2.44 [61.91]", "2.44 [61.91mm]", ALTERNATE, drawn=False),
    Case("dimalttd", 1, "2.44 ±0.500 [61.91 ±12.70]", "2.44 ±0.500 [61.91 ±12.7]", {**BOTH, "dimalttd": 2}, drawn=False,
         why=".5 x 25.4 = 12.7"),
    Case("dimalttz", 8, "2.44 ±0.500 [61.91 ±12.70]", "2.44 ±0.500 [61.91 ±12.7]", BOTH, drawn=False),
    Case("dimlim", 1, "2.44 [61.93]", "2.458\n2.418 [62.43\n61.42]", {**TOLERANCED, **ALTERNATE, "dimtol": 0},
         size=2.438, drawn=False, why="2.458 x 25.4 = 62.4332, 2.418 x 25.4 = 61.4172"),
    angle("dimadec", 2, "34°", "33.69°", {"dimadec": 0}, why="atan(2/3) = 33.690067..°"),
    angle("dimadec", -1, "34°", "33.69°", {"dimadec": 0}, drawn=False, why="-1 takes DIMDEC"),
    angle("dimaunit", 1, "33.69°", "33°41'", drawn=False, why="0.690067° = 41.404'"),
    angle("dimaunit", 2, "33.69°", "37.43g", why="x 10/9 = 37.43341"),
    angle("dimaunit", 3, "33.69°", "0.59r", why="x pi/180 = 0.588003"),
    angle("dimazin", 2, "33.690°", "33.69°", {**ANGLE, "dimadec": 3}),
    angle("dimazin", 1, "0.59r", ".59r", {**ANGLE, "dimaunit": 3}),
]  # fmt: skip


def styled(values: Mapping[str, Any]) -> str:
    """The tags of a style with these values, as lines of a file."""
    return "".join(f"{GROUPS[name]}\n{value}\n" for name, value in values.items())


def part(case: Case, values: Mapping[str, Any]) -> Sketch:
    """A plate, or a triangle, with one dimension that has no drawn block; `values` are its overrides."""
    sketch = Sketch(version="R2000")
    sketch.doc.dimstyles.new("OWN")
    if case.kind is Kind.LINEAR:
        sketch.rect(0, 0, case.size, 1)
        dimension = sketch.across((0, 0), (case.size, 0), dimstyle="OWN")
    else:
        sketch.chain((0, 0), (3, 0), (3, case.size), (0, 0))
        dimension = sketch.dim(
            case.kind, {15: (0, 0), 13: (3, 0), 14: (3, case.size), 10: (3.5, 0.5)}, dimstyle="OWN"
        )  # fmt: skip
    if values:
        pairs = [pair for name, value in values.items() for pair in ((1070, GROUPS[name]), (data(value), value))]
        dimension.set_xdata("ACAD", [(1000, "DSTYLE"), (1002, "{"), *pairs, (1002, "}")])
    return sketch


def data(value: Any) -> int:
    """The group of a value in XDATA."""
    return 1000 if isinstance(value, str) else 1040 if isinstance(value, float) else 1070


def read(case: Case, folder: Path, style: Mapping[str, Any], overrides: Mapping[str, Any]) -> Judgement:
    """The one dimension of the part; the tags of its style are written into the file by hand."""
    path = part(case, overrides).save(folder)
    text = path.read_text("cp1252")
    head, record, rest = text.partition("  2\nOWN\n 70\n0\n")
    _, end, rest = rest.partition("\n  0\n")  # the library fills a new style with variables of its own
    path.write_text(f"{head}{record}{styled(style)}{end[1:]}{rest}", "cp1252")
    (judgement,) = audited(path).judgements
    return judgement


def base(case: Case) -> dict[str, Any]:
    """The style without the variable: nothing of DIMLUNIT where the older DIMUNIT is looked at."""
    values = {**BASE, **case.beside}
    if case.variable == "dimunit":
        del values["dimlunit"]
    return values


@pytest.mark.parametrize("case", CASES, ids=str)
def test_a_variable_of_the_style_changes_the_text(tmp_path: Path, case: Case) -> None:
    """Changed alone in the style, it changes the shown text, which is read as it stands."""
    style = base(case)
    assert read(case, tmp_path, style, {}).text == case.before
    changed = read(case, tmp_path, {**style, case.variable: case.value}, {})
    assert changed.text == case.after, case.why


@pytest.mark.parametrize("case", CASES, ids=str)
def test_a_variable_overridden_changes_the_text(tmp_path: Path, case: Case) -> None:
    """Overridden for the dimension, it does what it does in the style."""
    style = base(case)
    by_style = read(case, tmp_path, {**style, case.variable: case.value}, {})
    by_override = read(case, tmp_path, style, {case.variable: case.value})
    assert (by_override.text, by_override.reading) == (case.after, by_style.reading)


@pytest.mark.parametrize("case", [case for case in CASES if case.drawn], ids=str)
def test_the_text_is_what_another_program_draws(tmp_path: Path, case: Case) -> None:
    """ezdxf's drawn text, read as a drawn text is, states the same as the style alone."""
    values = {**base(case), case.variable: case.value}
    sketch = Sketch(version="R2000")
    sketch.doc.dimstyles.new("OWN", dxfattribs={"dimtxt": 0.1})
    space: Any = sketch.doc.modelspace()
    if case.kind is Kind.LINEAR:
        sketch.rect(0, 0, case.size, 1)
        made = space.add_linear_dim((0, -1), (0, 0), (case.size, 0), dimstyle="OWN", override=values)
    else:
        sketch.chain((0, 0), (3, 0), (3, case.size), (0, 0))
        made = space.add_angular_dim_3p((3.5, 0.5), (0, 0), (3, 0), (3, case.size), dimstyle="OWN", override=values)
    made.render()
    audit = sketch.audit(tmp_path)
    (judgement,) = audit.judgements
    assert judgement.attached.dimension.drawn_text is not None
    assert [f.rule for f in audit.findings if f.rule == "stale-text"] == []
    bare = read(case, tmp_path, values, {}).reading
    assert isinstance(judgement.reading, Stated)
    assert isinstance(bare, Stated)
    for name in ("value", "tolerance", "limits", "count", "unit", "sign"):
        assert getattr(judgement.reading, name) == getattr(bare, name), name
    if judgement.reading.tolerance is None and judgement.reading.limits is None:  # these it stacks
        assert plain_text(judgement.attached.dimension.drawn_text) == case.after


def test_every_variable_has_its_case() -> None:
    """Each variable that is read has a drawing above or below."""
    elsewhere = {"dimgap", "dimfrac", "dimsd1", "dimsd2", "dimse1", "dimse2"}
    assert {case.variable for case in CASES} | elsewhere == set(GROUPS)


PLATE = Case("dimgap", 0, "", "")
ONES = ["style", "override"]


def with_variables(where: str, folder: Path, values: Mapping[str, Any], beside: Mapping[str, Any]) -> Judgement:
    style = {**BASE, **beside}
    return read(PLATE, folder, style | values, {}) if where == "style" else read(PLATE, folder, style, values)


@pytest.mark.parametrize("where", ONES)
@pytest.mark.parametrize(("gap", "boxed"), [(0.09, False), (-0.09, True)])
def test_a_negative_gap_is_a_box(tmp_path: Path, where: str, gap: float, boxed: bool) -> None:
    """DIMGAP below nought draws a box: a basic dimension."""
    reading = with_variables(where, tmp_path, {"dimgap": gap}, {}).reading
    assert isinstance(reading, Stated)
    assert (reading.value, reading.boxed) == (F("2.44"), boxed)


STACKS = [
    # DIMFRAC, DIMLUNIT, the text as a file holds it
    (0, 5, r"2\S7/16;"), (1, 5, r"2\S7#16;"), (2, 5, "2 7/16"), (0, 4, r'2\S7/16;"'), (2, 4, '2 7/16"'),
    (1, 2, "2.4375"),
]  # fmt: skip


@pytest.mark.parametrize("where", ONES)
@pytest.mark.parametrize(("dimfrac", "dimlunit", "text"), STACKS)
def test_a_fraction_is_stacked_as_the_style_says(
    tmp_path: Path, where: str, dimfrac: int, dimlunit: int, text: str
) -> None:
    """DIMFRAC stacks a fraction with a level bar, with a slanted one, or not; the number stays the same."""
    judgement = with_variables(where, tmp_path, {"dimfrac": dimfrac}, {"dimlunit": dimlunit, "dimdec": 4})
    style = judgement.attached.dimension.style
    assert written_text(F(39, 16), style, Kind.LINEAR, Rounding.HALF_UP, coded=True) == text
    assert judgement.stated == F(39, 16)


@pytest.mark.parametrize("dimunit", [4, 5, 6, 7])
def test_old_units_say_what_is_stacked(tmp_path: Path, dimunit: int) -> None:
    """DIMUNIT 4 and 5 stack their fractions, 6 and 7 do not; feet and inches are 4 and 6."""
    case = Case("dimunit", dimunit, "", "", {"dimdec": 4})
    style = read(case, tmp_path, {**base(case), "dimunit": dimunit}, {}).attached.dimension.style
    coded = written_text(F(39, 16), style, Kind.LINEAR, Rounding.HALF_UP, coded=True)
    assert coded == {4: r'2\S7/16;"', 5: r"2\S7/16;", 6: '2 7/16"', 7: "2 7/16"}[dimunit]


HALVES = [
    # DIMSD1, DIMSE1, DIMSD2, DIMSE2, the end that is left away
    (0, 0, 0, 0, None), (1, 1, 0, 0, 13), (0, 0, 1, 1, 14), (1, 0, 0, 0, None), (0, 1, 0, 0, None), (1, 1, 1, 1, None),
    (1, 0, 0, 1, None), (0, 1, 1, 1, 14),
]  # fmt: skip


@pytest.mark.parametrize("where", ONES)
@pytest.mark.parametrize(("sd1", "se1", "sd2", "se2", "group"), HALVES)
def test_half_a_dimension_is_one_without_both_lines_of_one_end(
    tmp_path: Path, where: str, sd1: int, se1: int, sd2: int, se2: int, group: int | None
) -> None:
    """An end is left away where both its half of the dimension line and its extension line are."""
    values = {"dimsd1": sd1, "dimse1": se1, "dimsd2": sd2, "dimse2": se2}
    assert with_variables(where, tmp_path, values, {}).attached.dimension.style.half == group


def test_the_height_of_tolerances_changes_no_number(tmp_path: Path) -> None:
    """DIMTFAC (146) sets a height and is not read."""
    assert 146 not in CODES
    sketch = Sketch()
    sketch.rect(0, 0, 4, 3)
    for height in (0.5, 1.0):
        sketch.across((0, 0), (4, 0), style={**BASE, **TOLERANCED, "dimtfac": height})
    first, second = (judgement.reading for judgement in sketch.audit(tmp_path).judgements)
    assert first == second
    assert isinstance(first, Stated)
    assert first.tolerance == Tolerance(F(1, 50), F(-1, 50))


# --- before R13 -----------------------------------------------------------------------------------

OLD_HEADER = [
    # variable, group, value, the text for 2.4375 with two places
    ("$LUPREC", 70, 3, "2.438"), ("$LUNITS", 70, 5, "2 1/2"), ("$AUPREC", 70, 1, "2.44"),
    ("$DIMPOST", 1, "<> mm", "2.44 mm"), ("$DIMRND", 40, 0.25, "2.50"), ("$DIMLFAC", 40, 2.0, "4.88"),
    ("$DIMALT", 70, 1, "2.44 [61.91]"),
]  # fmt: skip
OLD_BESIDE = [
    # the same with others beside it, and the text
    ({"$DIMTOL": (70, 1), "$DIMTP": (40, 0.5), "$DIMTM": (40, 0.25)}, "2.44 +0.50 -0.25"),
    ({"$DIMTOL": (70, 1), "$DIMTP": (40, 0.5), "$DIMTM": (40, 0.5), "$DIMZIN": (70, 12)}, "2.44 ±.5"),
    ({"$DIMLIM": (70, 1), "$DIMTP": (40, 0.5), "$DIMTM": (40, 0.25)}, "2.94\n2.19"),
    ({"$DIMALT": (70, 1), "$DIMALTF": (40, 2.0), "$DIMALTD": (70, 1)}, "2.44 [4.9]"),
    ({"$DIMALT": (70, 1), "$DIMAPOST": (1, "[] mm")}, "2.44 [61.91 mm]"),
]


def old_file(folder: Path, header: Mapping[str, tuple[int, Any]], style: str = "") -> Path:
    """A file from before R13: a line and its dimension, and in the header what formats its text."""
    values = {"$ACADVER": (1, "AC1009"), "$LUPREC": (70, 2), **header}
    tags = "".join(f"9\n{name}\n{code}\n{value}\n" for name, (code, value) in values.items())
    table = "0\nSECTION\n2\nTABLES\n0\nTABLE\n2\nDIMSTYLE\n70\n1\n0\nDIMSTYLE\n2\nSTANDARD\n70\n0\n"
    table += f"{style}0\nENDTAB\n0\nENDSEC\n"
    path = folder / "old.dxf"
    path.write_text(
        f"0\nSECTION\n2\nHEADER\n{tags}0\nENDSEC\n{table if style else ''}0\nSECTION\n2\nENTITIES\n"
        "0\nLINE\n8\n0\n10\n0.0\n20\n0.0\n11\n2.4375\n21\n0.0\n"
        "0\nDIMENSION\n8\n0\n10\n2.4375\n20\n1.0\n13\n0.0\n23\n0.0\n14\n2.4375\n24\n0.0\n70\n0\n"
        "0\nENDSEC\n0\nEOF\n",
        "ascii",
    )
    return path


@pytest.mark.parametrize(
    ("header", "text"),
    [({}, "2.44"), *(({name: (code, value)}, text) for name, code, value, text in OLD_HEADER), *OLD_BESIDE],
    ids=str,
)
def test_an_old_file_is_formatted_by_its_header(
    tmp_path: Path, header: Mapping[str, tuple[int, Any]], text: str
) -> None:
    """Without a style, a file from before R13 has the variables in its header, and the places are the drawing's."""
    (judgement,) = audited(old_file(tmp_path, header)).judgements
    assert judgement.text == text


def test_the_style_of_an_old_file_outranks_its_header(tmp_path: Path) -> None:
    """Where the table has the style, the header is only the style that is current."""
    path = old_file(tmp_path, {"$DIMPOST": (1, "<> in")}, "3\n<> mm\n144\n2.0\n")
    (judgement,) = audited(path).judgements
    assert judgement.text == "4.88 mm"


@pytest.mark.parametrize("style", [DimStyle(alternate=True, alternate_factor=F(0)), DimStyle(alternate=False)])
def test_an_alternate_of_nought_times_is_none(style: DimStyle) -> None:
    """DIMALTF of nought gives no second number."""
    assert written_text(F(1), style, Kind.LINEAR, Rounding.HALF_UP) == "1.0000"
