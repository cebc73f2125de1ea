"""A rubric as the TOML file that an instructor edits, each line explained."""

from collections.abc import Iterable, Iterator, Sequence
from fractions import Fraction

from dimaudit.exact.number import decimal_text
from dimaudit.grade.rubric import PURPOSES, SHARES, UNITS
from dimaudit.model.grading import Asked, Criterion, LayerAsked, Lying, Rubric
from dimaudit.model.units import Unit
from dimaudit.text.toml_text import toml_text as toml_text

ABOUT = {
    Criterion.UNITS: "The layout is drawn in the key's unit and at its scale; charged once, whatever depends on it.",
    Criterion.ORIENTATION: "The layout is neither turned nor mirrored. What [accept] lets pass costs nothing.",
    Criterion.PLACE: "Where the part lies about the origin.",
    Criterion.FEATURES: "Every edge, hole and window of the key is there.",
    Criterion.SIZES: "Every number of the key is drawn right. One wrong number is charged once, however much follows.",
    Criterion.SHAPE: "What the key draws level, square, in line, tangent or alike, without a number, is drawn so: also "
    "where a hole of a row stands that has no number of its own.",
    Criterion.DIMENSIONS: "The dimensions are there, right, well stated and associated.",
    Criterion.TYPED: "No number is typed over the measured one.",
    Criterion.LINEWORK: "Nothing is drawn twice, left open, or drawn that the key does not have.",
    Criterion.LAYERS: "Linework is on the layers asked for, and of the kinds of entity asked for.",
    Criterion.CENTRE_POINTS: "A POINT stands at each hole's centre.",
}
COUNTED = frozenset({Criterion.FEATURES, Criterion.SIZES, Criterion.DIMENSIONS, Criterion.LAYERS,
                     Criterion.CENTRE_POINTS})  # fmt: skip
"""Those whose points are shared out among the things asked."""
UNIT_NAMES = {
    Unit.INCH: "inches", Unit.FOOT: "feet", Unit.MILLIMETRE: "millimetres", Unit.CENTIMETRE: "centimetres",
    Unit.METRE: "metres",
}  # fmt: skip

HEAD = """\
# A rubric: what is asked of each layout, and what it gives.
# Edit it; a line that begins with # is a remark. Numbers: 5, 0.5 or "1/64", all read exactly.
# A criterion that you delete, table and all, is not asked. Points may add up to anything.
"""


def rubric_text(rubric: Rubric, unit: Unit | None, faults: Sequence[str] = ()) -> str:
    """The file. `unit`: the key's; `faults`: of the key, shown as remarks."""
    return "\n".join(_lines(rubric, unit, faults)) + "\n"


def number_text(value: Fraction) -> str:
    """A number as TOML: a whole one or a short decimal as it is, else a fraction in quotation marks."""
    text = decimal_text(value, 6)
    return f'"{value}"' if text.endswith("…") else text


def _lines(rubric: Rubric, unit: Unit | None, faults: Sequence[str]) -> Iterator[str]:
    of = f" ({UNIT_NAMES[unit]})" if unit is not None else " (which the file does not say)"
    yield HEAD
    if faults:
        yield "# THE KEY HAS FAULTS OF ITS OWN, and a wrong key marks everyone wrong:"
        yield from (f"#   {' '.join(fault.split())}" for fault in faults)
        yield ""
    yield "[rubric]"
    yield "# Shown at the head of each learner's page: say which exercise it is."
    yield f"title = {toml_text(rubric.title)}"
    yield "# The key drawing, from the folder of this file, and its fingerprint: a key that was changed is noticed."
    yield f"key = {toml_text(rubric.key)}"
    yield f"key_sha256 = {toml_text(rubric.key_sha256)}"
    yield '# The sum of the marks is rounded to a multiple of this, half up; "" leaves it as it is.'
    yield f"round_to = {_or_none(rubric.round_to)}"
    yield ""
    yield "# How the files are read, where the audit's own reading is wrong or fails."
    yield "[reading]"
    yield f"# The key's unit: {', '.join(UNITS)}; \"\" reads it from the file. It holds for a layout"
    yield "# only where its file names none."
    yield f"units = {toml_text(next((word for word, named in UNITS.items() if named is rubric.unit), ''))}"
    yield '# Layers that are left out of the key and of every layout, as in ["NOTES"].'
    yield f"without_layers = {_names(rubric.without_layers)}"
    yield ""
    yield "# What costs nothing. It is still named on the learner's page."
    yield "[accept]"
    yield "# Turned by quarter turns."
    yield f"turned = {_yes_no(rubric.turned)}"
    yield f"mirrored = {_yes_no(rubric.mirrored)}"
    yield "# Drawn in another unit, or at another scale."
    yield f"other_units = {_yes_no(rubric.other_units)}"
    asked = {a.criterion: a for a in rubric.criteria}
    for criterion in Criterion:
        if criterion in asked:
            yield from ("", f"# {ABOUT[criterion]}", f"[{criterion}]")
            yield from _points(asked[criterion])
            yield from _own(criterion, rubric, of)
    left = [c for c in Criterion if c not in asked]
    if left:
        yield from ("", "# Not asked: the key does not show it. To ask it all the same, take the single # away.")
    for criterion in left:
        yield from ("", f"## {ABOUT[criterion]}", f"# [{criterion}]", "# points = 5")
        yield from (f"#{line}" if line.startswith("#") else f"# {line}" for line in _own(criterion, rubric, of))


def _points(asked: Asked) -> Iterator[str]:
    yield f"points = {number_text(asked.points)}"
    if asked.each is not None:
        yield "# What one fault costs, until the points are gone."
        yield f"each = {number_text(asked.each)}"
    elif asked.criterion in COUNTED:
        yield "# The points are shared out evenly among the things asked; or say what one costs: each = 1"


def _own(criterion: Criterion, rubric: Rubric, of: str) -> Iterator[str]:
    match criterion:
        case Criterion.PLACE:
            yield f"# One of: {', '.join(str(w) for w in Lying)}. Centred: the middle of its bounds on the origin;"
            yield "# corner: their lower left corner."
            yield f"lying = {toml_text(str(rubric.lying))}"
        case Criterion.SIZES:
            yield f'# How far a size may be off, in the key\'s unit{of}; "" is exact.'
            yield f"tolerance = {_or_none(rubric.tolerance)}"
            yield '# A size off by no more than this is close, and costs only this share of a wrong one; "" is no such.'
            yield f"close = {_or_none(rubric.close)}"
            yield f"close_costs = {number_text(rubric.close_costs)}"
            yield "# Share of a wrong size where the printed, rounded number was drawn for the exact one."
            yield f"rounded_costs = {number_text(rubric.rounded_costs)}"
        case Criterion.DIMENSIONS:
            yield "# \"any\": a learner's own dimensions count where they define the part; \"key\": only the key's."
            yield f"scheme = {toml_text('any' if rubric.own_scheme else 'key')}"
            yield "# Of a dimension's points: for being there, right, well stated, associated. They add up to 1."
            yield from (f"{n} = {number_text(s)}" for n, s in zip(SHARES, rubric.shares, strict=True))
        case Criterion.LAYERS:
            yield "# By what the linework is drawn for. Layers: any of these names. Entities: any of these kinds, as in"
            yield '# ["LINE", "ARC"]. [] leaves it open.'
            yield from (_layer(layer) for layer in rubric.layers or (LayerAsked("outline", ("0",), ()),))
        case _:
            pass


def _layer(layer: LayerAsked) -> str:
    word = next(word for word, purpose in PURPOSES.items() if purpose == layer.purpose)
    return f"{word} = {{ layers = {_names(layer.layers)}, entities = {_names(layer.entities)} }}"


def _names(names: Iterable[str]) -> str:
    return f"[{', '.join(map(toml_text, names))}]"


def _or_none(value: Fraction | None) -> str:
    return '""' if value is None else number_text(value)


def _yes_no(value: bool) -> str:
    return "true" if value else "false"
