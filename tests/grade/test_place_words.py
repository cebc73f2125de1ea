"""What is out of place is said as a person sees it: by each thing, at the place of each."""

from dataclasses import replace
from fractions import Fraction as F

from dimaudit.grade.laid_out import key_of
from dimaudit.model.grading import Asked, Criterion, LayerAsked
from grade.plates import KEY, RUBRIC, Block, examined, key, marks, taken

C = Criterion
BARE = replace(
    KEY, bolts=((1.0, 1.0), (7.0, 1.5)), dims=tuple(d for d in KEY.dims if not d.startswith(("bolt", "bore")))
)
"""No number says where the holes are."""


def said(block: Block, criterion: Criterion, of: Block = KEY) -> list[str]:
    found = marks(block, of=key() if of is KEY else key_of(examined(of)))
    return [d.what for m in found.marks if m.criterion is criterion for d in m.deductions if d.points]


def test_two_holes_off_alike_along_one_axis_only_are_two() -> None:
    block = replace(BARE, bolts=((1.0625, 1.125), (7.0625, 1.75)))
    assert sorted(said(block, C.SIZES, BARE)) == [
        "the Ø.500 hole at (1.000, 1.000) is out of place: .0625 to the right and .125 up",
        "the Ø.500 hole at (7.000, 1.500) is out of place: .0625 to the right and .250 up",
    ]
    alike = replace(BARE, bolts=((1.0625, 1.125), (7.0625, 1.625)))
    assert said(alike, C.SIZES, BARE) == [
        "the Ø.500 hole at (1.000, 1.000) and the Ø.500 hole at (7.000, 1.500) are out of place: .0625 to the right "
        "and .125 up"
    ]


def test_a_chamfers_leg_is_named_by_the_chamfer() -> None:
    assert said(replace(KEY, chamfer=(0.5, 0.75)), C.SIZES) == [
        "the slanted edge from (7.250, 5.000) to (8.000, 4.250) is .500 instead of .750 along x"
    ]


def test_a_distance_lies_between_two_things() -> None:
    (words,) = said(replace(KEY, bolts=((1.0, 1.25), (7.0, 1.25))), C.SIZES)
    assert words.endswith("between the lower edge and the Ø.500 hole at (1.000, 1.000) (and 1 more in line with it)")


def test_which_line_is_drawn_twice_is_said_and_shown_at_its_middle() -> None:
    found = marks(replace(KEY, extra=lambda b: b.line((0, 0), (0, 5))))
    (twice,) = [d for m in found.marks if m.criterion is C.LINEWORK for d in m.deductions]
    assert twice.why == ("2 lie on one another: keep one", "it is the left edge")
    assert twice.at == (0.0, 2.5)


def test_holes_on_another_layer_are_called_holes_and_one_cause_is_one() -> None:
    """Their linetype comes with the layer."""
    rubric = replace(
        RUBRIC, criteria=(*RUBRIC.criteria, Asked(C.LAYERS, F(19), F(1))), layers=(LayerAsked("outline", ("0",), ()),)
    )
    found = marks(replace(KEY, layers={"bolts": "NOTES"}), rubric)
    (holes,) = [d.what for m in found.marks if m.criterion is C.LAYERS for d in m.deductions]
    assert holes == "2 holes on layer NOTES instead of 0"
    hidden = marks(replace(KEY, extra=lambda b: hide(b), layers={"bolts": "HIDDEN"}), rubric)
    (one,) = [d.what for m in hidden.marks if m.criterion is C.LAYERS for d in m.deductions]
    assert one == "2 holes on layer HIDDEN instead of 0"
    assert taken(hidden)[C.LAYERS] == 2


def hide(board: object) -> None:
    """The layer's own linetype is that of hidden lines."""
    doc = board.doc  # type: ignore[attr-defined]
    if "HIDDEN" not in doc.linetypes:
        doc.linetypes.add("HIDDEN", [0.375, 0.25, -0.125])
    (doc.layers.get("HIDDEN") if "HIDDEN" in doc.layers else doc.layers.add("HIDDEN")).dxf.linetype = "HIDDEN"
