"""Makes the sample class: a key drawing, its rubric, and submissions with known faults.

    python samples/make_class.py [OUTDIR]

The rubric is written by `dimaudit rubric` and then edited here, as an instructor would. The same bytes come out on
every run.
"""

import re
import subprocess
import sys
from collections.abc import Iterator
from dataclasses import replace
from fractions import Fraction
from pathlib import Path

from class_plate import ALL, Drawing, Plate, Way
from drafting import View, write

F = Fraction
KEY = Plate()


def without(*names: str) -> tuple[str, ...]:
    return tuple(name for name in ALL if name not in names)


def drawn_twice(view: View) -> None:
    """The upper edge once more."""
    view.line((F(1, 2), 4), (F(21, 4), 4))


def surplus(view: View) -> None:
    """A hole and a stray line that the key does not have."""
    view.circle((F(9, 2), 3), F(1, 4))
    view.line((F(3, 4), 2), (F(3, 2), 2))


HANDED_IN: dict[str, tuple[str, Plate]] = {
    "anchor": ("a perfect copy", KEY),
    "bilge": ("polylines and half arcs, and shifted", replace(KEY, polyline=True, way=Way(shift=(3, F(5, 4))))),
    "block": ("polylines and half arcs in place", replace(KEY, polyline=True)),
    "chisel": ("a quarter inch too wide", replace(KEY, width=F(25, 4))),
    "cleat": ("the printed 2.438 drawn for 2.4375", replace(KEY, bore=(3, F("2.438")))),
    "file": ("the right bolt hole missing", replace(KEY, bolts=((1, 1), None), dims=without("bolts apart"))),
    "gimlet": ("the right bolt hole moved by three eighths", replace(KEY, bolts=((1, 1), (F(43, 8), 1)))),
    "halyard": ("the bore's diameter drawn as its radius", replace(KEY, bore_size=F(5, 2))),
    "hammer": ("two numbers typed over, one of them wrong", replace(KEY, texts={"height": "4.250", "bore x": "3.000"})),
    "keel": ("two dimensions missing", replace(KEY, dims=without("height", "slot y"))),
    "mallet": ("no dimension associated", replace(KEY, free=True)),
    "oarlock": ("in millimetres", replace(KEY, way=Way(scale=F("25.4")), metric=True)),
    "painter": ("the lower edge half an inch short", replace(KEY, gap=F(1, 2))),
    "pintle": ("mirrored left to right", replace(KEY, way=Way(mirrored=True, shift=(6, 0)))),
    "plane": ("turned by a quarter", replace(KEY, way=Way(turns=1, shift=(4, 0)))),
    "rasp": ("an edge drawn twice, and a gap", replace(KEY, gap=F("0.01"), extra=drawn_twice)),
    "rudder": ("the holes on a wrong layer", replace(KEY, holes_on="NOTES")),
    "scraper": ("no points at the centres", replace(KEY, points=False)),
    "shackle": ("a hole and a line too many", replace(KEY, extra=surplus)),
    "spanner": ("the right bolt hole three thirty-seconds too high", replace(KEY, bolts=((1, 1), (5, F(35, 32))))),
    "tiller": ("dimensioned from the other side", replace(
        KEY, dims=(*without("bolts apart", "bore x"), "bolts to right", "bore to right"))),
    "winch": ("too wide, a point short, and a number typed over", replace(
        KEY, width=F(25, 4), points=False, texts={"slot x": "2.250"})),
}  # fmt: skip
"""By the name of the file: what is wrong with it, and what was drawn."""

FOR_A_PERSON = {
    "cotter.dxf": "nothing is drawn in it",
    "fender.dwg": "another format",
    "sheave.dxf": "broken off in the middle",
}

README = """
## The sample class

`class/` holds an exercise of the evening class, made by `make_class.py`: the key `key.dxf`, the rubric `rubric.toml`
(written by `dimaudit rubric`, and then edited: points, costs, layers), and what was handed in. The marks worked out by
hand, with their reasons, are in `tests/grade/test_sample_class.py`.

    dimaudit grade class/rubric.toml class/handed-in --output marks

| file in handed-in | what it is |
|---|---|
"""

EDITS: tuple[tuple[str, str, str], ...] = (
    ("rubric", "title", '"Evening class, exercise 4: oarlock plate"'),
    ("features", "points", "22"),
    ("sizes", "points", "32"),
    ("sizes", "rounded_costs", "0.25"),
    ("shape", "points", "2"),
    ("shape", "each", "2"),
    ("dimensions", "points", "16"),
    ("typed-over", "points", "2"),
    ("linework", "points", "6"),
    ("linework", "each", "2"),
    ("layers", "points", "2"),
    ("layers", "each", "0.25"),
    ("centre-points", "points", "3"),
)
"""Table, key and value. A key that the table does not have yet goes under its points."""


def edited(text: str) -> str:
    """The rubric with the instructor's own points; every remark in it stays."""
    for table, key, value in EDITS:
        begin = text.index(f"[{table}]\n") + len(table) + 3
        end = text.find("\n\n", begin)
        body = text[begin:] if end < 0 else text[begin:end]
        new, count = re.subn(rf"(?m)^{key} = .*$", f"{key} = {value}", body)
        if not count:
            new = re.sub(r"(?m)^(points = .*)$", rf"\1\n{key} = {value}", body)
        text = text[:begin] + new + text[begin + len(body) :]
    # centrelines are drawn as everyone likes
    return re.sub(r"(?m)^centre = .*\n", "", text)


def readme() -> str:
    """The class's part of the samples' README."""
    about = {f"{name}.dxf": what for name, (what, _) in HANDED_IN.items()} | {
        name: f"for a person to look at: {what}" for name, what in FOR_A_PERSON.items()
    }
    return README + "".join(f"| {name} | {about[name]} |\n" for name in sorted(about))


def make(to: Path) -> Iterator[Path]:
    """Writes everything into a folder; gives back each file."""
    handed_in = to / "handed-in"
    handed_in.mkdir(parents=True, exist_ok=True)
    drawings = {to / "key.dxf": KEY} | {handed_in / f"{name}.dxf": plate for name, (_, plate) in HANDED_IN.items()}
    for path, plate in drawings.items():
        write(Drawing(path.stem, plate).print, str(path))
        yield path
    empty = Drawing("cotter", replace(KEY, dims=()))
    empty.view.space.delete_all_entities()
    write(empty.print, str(handed_in / "cotter.dxf"))
    (handed_in / "fender.dwg").write_bytes(b"AC1032" + bytes(64))
    whole = (to / "key.dxf").read_bytes()
    (handed_in / "sheave.dxf").write_bytes(whole[: len(whole) // 12])
    yield from (handed_in / name for name in FOR_A_PERSON)
    rubric = to / "rubric.toml"
    rubric.unlink(missing_ok=True)
    command = [sys.executable, "-m", "dimaudit", "rubric", "key.dxf", "--output", rubric.name]
    subprocess.run(command, check=True, cwd=to, stdout=subprocess.DEVNULL)
    rubric.write_text(edited(rubric.read_text(encoding="utf-8")), encoding="utf-8")
    yield rubric


if __name__ == "__main__":
    for made in make(Path(sys.argv[1]) if len(sys.argv) > 1 else Path(__file__).parent / "class"):
        print(made)
