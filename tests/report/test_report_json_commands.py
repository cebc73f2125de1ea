"""The JSON reports of `as-read`, `stack-up` and `advise` against their schemas, and against what people are told."""

import json
from fractions import Fraction
from math import isqrt
from pathlib import Path

import jsonschema
import pytest
from click.testing import CliRunner
from hypothesis import given
from hypothesis import strategies as st
from read.sketch import Sketch

from dimaudit.cli import cli
from dimaudit.cli.listing import schema as schema_command
from dimaudit.report.json_shared import enclosed
from dimaudit.report.schemas import SCHEMAS, schema

SAMPLES = Path(__file__).parent.parent.parent / "samples"
DRAWINGS = sorted(SAMPLES.glob("*.dxf"))
COMMANDS = ("as-read", "stack-up", "advise")
JIG = SAMPLES / "cleat-drill-jig.dxf"


def printed(*words: object) -> str:
    done = CliRunner().invoke(cli, [str(word) for word in words])
    assert done.exit_code == 0, f"{done.output}{done.exception}"
    return done.output


def report(command: str, path: object, *words: object) -> dict:
    body = json.loads(printed(command, path, *words, "--format", "json"))
    jsonschema.validate(body, schema(command), cls=jsonschema.Draft202012Validator)
    return body


@pytest.mark.parametrize("command", COMMANDS)
@pytest.mark.parametrize("path", DRAWINGS, ids=lambda p: p.name)
def test_reports_fit_their_schemas(path, command):
    """Each report of each sample fits the shipped schema, says which file it is of, and holds no float."""
    body = report(command, path)
    assert body["schema"] == SCHEMAS[command]
    assert body["drawing"]["path"] == str(path)
    assert body["caution"]
    assert body["faults_of_the_tool"] == []

    def walk(value):
        assert not isinstance(value, float)
        for inner in value.values() if isinstance(value, dict) else value if isinstance(value, list) else ():
            walk(inner)

    walk(body)


@pytest.mark.parametrize("command", SCHEMAS)
def test_the_schemas_are_schemas_and_closed(command):
    """Each is valid under the draft that it names, refers to definitions that it holds, and allows no further field."""
    whole = json.loads(printed("schema", command))
    assert whole == schema(command)
    jsonschema.Draft202012Validator.check_schema(whole)
    first = whole if "properties" in whole else whole["$defs"]["run"]  # of JSON Lines, the first line has the name
    assert first["properties"]["schema"] == {"const": SCHEMAS[command]}

    def walk(node):
        if isinstance(node, dict):
            if node.get("type") == "object" and "properties" in node:
                assert node["additionalProperties"] is False
            if "$ref" in node:
                assert node["$ref"].removeprefix("#/$defs/") in whole["$defs"]
            for value in node.values():
                walk(value)
        elif isinstance(node, list):
            for value in node:
                walk(value)

    walk(whole)


def test_the_schema_command_knows_each_format():
    """Its choice is that of the formats, and without a word it prints the schema of `check`."""
    assert list(schema_command.params[0].type.choices) == list(SCHEMAS)
    assert json.loads(printed("schema")) == schema("check")


@pytest.mark.parametrize("command", COMMANDS)
def test_the_same_run_gives_the_same_bytes_and_the_file_holds_what_is_printed(command, tmp_path):
    """Twice on standard output and once into a file, in both formats."""
    option = "--report" if command == "as-read" else "--output"
    for how in ("json", "terminal"):
        once, again = (printed(command, JIG, "--format", how) for _ in range(2))
        assert once == again
        out = tmp_path / f"{command}.{how}"
        assert printed(command, JIG, "--format", how, option, out) == ""
        assert out.read_text(encoding="utf-8") == once


@pytest.mark.parametrize("command", COMMANDS)
def test_a_report_is_never_written_over_the_drawing(command, tmp_path):
    """The file is refused and left as it was."""
    drawing = tmp_path / "part.dxf"
    drawing.write_bytes(JIG.read_bytes())
    option = "--report" if command == "as-read" else "--output"
    done = CliRunner().invoke(cli, [command, str(drawing), option, str(drawing)])
    assert done.exit_code != 0
    assert "never written over" in str(done.exception)
    assert drawing.read_bytes() == JIG.read_bytes()


def test_the_part_and_its_report_are_two_files(tmp_path):
    """One name for both is refused before anything is written; two names give two files."""
    both = tmp_path / "both"
    done = CliRunner().invoke(cli, ["as-read", str(JIG), "--output", str(both), "--report", str(both)])
    assert "name two files" in str(done.exception)
    assert not both.exists()
    part, said = tmp_path / "part.dxf", tmp_path / "said.json"
    printed("as-read", JIG, "--output", part, "--report", said, "--format", "json")
    assert part.read_text(encoding="utf-8").rstrip().endswith("EOF")
    assert json.loads(said.read_text(encoding="utf-8"))["parts"]


def exact(number: dict) -> Fraction:
    return Fraction(number["exact"])


def test_an_as_read_sum_is_what_a_reader_adds_up():
    """Where a way is given, stated less drawn, each with its share, is how far off the place lands: for every place."""
    checked = 0
    for path in DRAWINGS:
        for part in report("as-read", path)["parts"]:
            for landing in part["landings"]:
                if landing["sum"] and landing["off"] and "exact" in landing["off"]:
                    stated, drawn = (
                        sum((exact(leg["share"]) * exact(leg[key]) for leg in landing["sum"]), Fraction(0))
                        for key in ("stated", "drawn")
                    )
                    assert exact(landing["off"]) == stated - drawn
                    checked += 1
    assert checked > 100


def test_neglected_dimensions_and_conflicts_are_in_the_as_read_report(tmp_path):
    """Three steps of 1/3 stated .333 under a whole of 1.000: one of the four is not met, and each way out is given."""
    path, _, _ = thirds(tmp_path)
    (part,) = report("as-read", path)["parts"]
    (conflict,) = part["conflicts"]
    assert sorted(d["text"] for d in conflict["dimensions"]) == [".333 ±.005"] * 3 + ["1.000 ±.005"]
    assert conflict["ways"] == len(conflict["choices"]) == 4
    assert all(len(choice["not_met"]) == 1 for choice in conflict["choices"])
    handle = conflict["dimensions"][0]["handle"]
    body = report("as-read", path, "--neglect", handle)
    assert body["neglected"] == [handle]
    assert body["parts"][0]["conflicts"] == []


def thirds(folder: Path) -> tuple[Path, str, str]:
    """Three steps of 1/3 under an overall of 1, all ±.005, and a hole; the file, the left edge, the hole."""
    sketch = Sketch()
    a, b = 1 / 3, 2 / 3
    left = sketch.chain((0, 0), (0, 3), (a, 3), (a, 2), (b, 2), (b, 1), (1, 1), (1, 0), (0, 0))[0]
    hole = sketch.circle((b, "0.5"), "0.125")
    for x, y, u, v in ((0, 3, a, 3), (a, 2, b, 2), (b, 1, 1, 1)):
        sketch.across((x, y), (u, v), y=4, text=".333 %%p.005")
    sketch.across((0, 0), (1, 0), text="1.000 %%p.005")
    return sketch.save(folder), left.dxf.handle, hole.dxf.handle


def test_a_stack_up_by_hand(tmp_path):
    """.333 + .333, each ±.005: .666, .656 to .676, and ±.005·√2 by root-sum-square (arithmetic)."""
    path, left, hole = thirds(tmp_path)
    body = report("stack-up", path, left, hole)
    assert body["named"] == [left, hole]
    assert body["views"] == []
    (across,) = [s for s in body["stack_ups"] if s["axis"] == "x"]
    chain = across["chain"]
    assert across["why_not"] is None
    assert sum(c["sign"] * c["times"] * exact(c["stated"]) for c in chain["contributors"]) == exact(chain["nominal"])
    assert exact(chain["nominal"]) == Fraction("0.666")
    assert abs(exact(chain["drawn"]) - Fraction(2, 3)) < Fraction(1, 10**12)  # the file holds 16 digits of it
    assert [exact(n) for n in chain["worst_case"]] == [Fraction("0.656"), Fraction("0.676")]
    assert chain["root_sum_square"]["exact"] == f"sqrt({Fraction(1, 20000)})"
    digits = isqrt(10**18 // 20000)
    assert chain["root_sum_square"]["decimal"] == f"0.{digits:09d}…"


def test_every_stack_up_of_the_samples_adds_up():
    """Nominal is the sum of the contributors, worst case adds their tolerances on the side that each acts on."""
    checked = 0
    for path in DRAWINGS:
        for one in report("stack-up", path, "--worst", 4)["stack_ups"]:
            nominal = low = high = Fraction(0)
            for c in one["chain"]["contributors"]:
                times = c["sign"] * exact(c["share"]) * c["times"]
                ends = sorted(times * exact(n) for n in c["tolerances"])
                nominal, low, high = nominal + times * exact(c["stated"]), low + ends[0], high + ends[1]
            assert exact(one["chain"]["nominal"]) == nominal
            assert [exact(n) for n in one["chain"]["worst_case"]] == [nominal + low, nominal + high]
            shares = [exact(c["share_of_worst_case"]) for c in one["chain"]["contributors"]]
            assert sum(shares) == 1
            checked += 1
    assert checked > 50


def test_what_is_not_joined_is_not_judged(tmp_path):
    """A hole that no dimension leads to: no chain, and why; nothing is added up."""
    sketch = Sketch()
    left = sketch.chain((0, 0), (0, 3), (2, 3), (2, 0), (0, 0))[0].dxf.handle
    hole = sketch.circle(("1.25", "1.5"), "0.25").dxf.handle
    sketch.across((0, 0), (2, 0), text="2.000 %%p.005")
    (across,) = report("stack-up", sketch.save(tmp_path), left, hole)["stack_ups"]
    assert across["chain"] is None
    assert "no chain" in across["why_not"]


def test_advice_names_what_is_wrong_and_how_it_is_written():
    """The jig has numbers that are wrong by seeded fault: each is given with what is drawn, and the rest is advised."""
    groups = report("advise", JIG)["groups"]
    wrong = {w["text"]: w["written"] for group in groups for w in group["wrong"]}
    assert wrong["2.135"] == "2.315"
    assert wrong["38.1"] == "1.5"
    assert all(group["why_not"] is None and group["closes"] is not None for group in groups)
    (plan,) = [group["places"] for group in groups if group["places"]]
    (change,) = plan["changes"]
    assert (change["text"], change["decimals"], change["values"][0]["exact"]) == (".438", 4, "7/16")


def test_advice_by_the_users_word_and_without_decimals(tmp_path):
    """`--within` is in the report; three thirds are proved to have no decimals that close."""
    path, _, _ = thirds(tmp_path)
    body = report("advise", path, "--within", "1/1000")
    assert body["within"] == {"decimal": "0.001", "exact": "1/1000"}
    (group,) = [g for g in body["groups"] if g["axis"] == "x"]
    assert group["never"]
    assert group["closes"] is False
    assert {n["drawn"]["exact"] for n in group["no_decimal"]} == {"1/3"}


def test_direction_characters_and_quotes_of_a_drawing_stay_data(tmp_path):
    """A text with quotes, a backslash and a right-to-left mark is one JSON string, whatever it says."""
    sketch = Sketch()
    sketch.chain((0, 0), (0, 3), (2, 3), (2, 0), (0, 0))
    sketch.across((0, 0), (2, 0), text='2.000 "],"schema":"x\u202e')
    body = report("as-read", sketch.save(tmp_path))
    assert body["schema"] == SCHEMAS["as-read"]


@given(st.fractions(), st.fractions(min_value=0, max_value=Fraction(1, 10**15)))
def test_bounds_of_an_enclosed_number_hold_it(low, width):
    """However fine the proof, both bounds are outside it, by less than a millionth of a millionth of the unit each."""
    given_as = enclosed(low, low + width)
    if not width:
        assert Fraction(given_as["exact"]) == low
        return
    below, above = map(Fraction, given_as["between"].split(" and "))
    assert below <= low < low + width <= above
    assert max(low - below, above - low - width) < Fraction(1, 10**12)
