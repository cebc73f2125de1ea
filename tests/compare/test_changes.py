"""Each kind of change, made alone in a sample, is told alone, with the exact numbers; and nothing else is."""

from pathlib import Path

import pytest
from ezdxf.document import Drawing

from compare.revising import SAMPLES, Edit, between, entity, revised, shift, told
from dimaudit.model.compared import DANGEROUS, Compared, Sort

PLATE, JIG, BLOCK, FLANGE = (
    SAMPLES / f"{name}.dxf"
    for name in ("winch-base-plate", "cleat-drill-jig", "rudder-bearing-block", "shaft-log-flange")
)
AUDIT = (Sort.FINDING_NEW, Sort.FINDING_GONE)
"""What follows from a change; looked at by itself below."""


def put(handle: str, **values: object) -> Edit:
    """Sets groups of one entity."""

    def edit(doc: Drawing) -> None:
        for name, value in values.items():
            entity(doc, handle).dxf.set(name, value)

    return edit


def reads(handle: str, text: str) -> Edit:
    """What is drawn for a dimension says something else."""

    def edit(doc: Drawing) -> None:
        for part in doc.blocks[entity(doc, handle).dxf.geometry]:
            if part.dxftype() == "MTEXT":
                part.text = text  # type: ignore[attr-defined]

    return edit


def all_of(*edits: Edit) -> Edit:
    def edit(doc: Drawing) -> None:
        for one in edits:
            one(doc)

    return edit


def without(handle: str) -> Edit:
    return lambda doc: doc.modelspace().delete_entity(entity(doc, handle))


def moved(handles: str, dx: float, dy: float) -> Edit:
    return lambda doc: shift(doc, handles, dx, dy)


def hole_with_its_dimensions(doc: Drawing) -> None:
    """The lower right hole and all that points at it, .125 to the right; the texts that are drawn stay."""
    shift(doc, "60 67 68", 0.125, 0)
    put("7F", defpoint3=(8.125, 5.75))(doc)
    put("CF", defpoint3=(8.125, 5.75))(doc)
    put("DF", defpoint2=(8.125, 5.75))(doc)


SIDE_VIEW = " ".join(f"{n:X}" for n in range(0x11F, 0x12F)) + " 12F 13F"

CASES: dict[str, tuple[Path, Edit, list[tuple[object, ...]]]] = {
    "a hole moves with its dimension's point, the number that is read does not": (
        PLATE, hole_with_its_dimensions,
        [
            ("GEOMETRY_ALONE", 'linear dimension "4.000"', "7F", "drawn 4 > 4.125", "verdict exact > wrong"),
            ("FEATURE_MOVED", "vertical centreline at x = 8.125", "68", "x 8 > 8.125"),
            ("FEATURE_MOVED", "Ø.281 circle", "60", "x 8 > 8.125"),
            ("FEATURE_MOVED", "horizontal centreline at y = 5.750", "67", "x 8 > 8.125"),
        ],
    ),
    "a number is typed over": (
        PLATE, all_of(put("7F", text="4.100"), reads("7F", "4.100")),
        [("TEXT_ALONE", 'linear dimension "4.100"', "7F", "stated 4 > 4.1", "text 4.000 > 4.100",
          "verdict exact > wrong")],
    ),
    "a hole moves and the number that is read goes along": (
        PLATE, all_of(hole_with_its_dimensions, reads("7F", "4.125")),
        [
            ("BOTH", 'linear dimension "4.125"', "7F", "stated 4 > 4.125", "text 4.000 > 4.125", "drawn 4 > 4.125"),
            ("FEATURE_MOVED", "vertical centreline at x = 8.125", "68", "x 8 > 8.125"),
            ("FEATURE_MOVED", "Ø.281 circle", "60", "x 8 > 8.125"),
            ("FEATURE_MOVED", "horizontal centreline at y = 5.750", "67", "x 8 > 8.125"),
        ],
    ),
    "a tolerance is put on": (
        PLATE, all_of(put("7F", text="<> %%p.002"), reads("7F", "4.000 %%p.002")),
        [("RESTATED", 'linear dimension "4.000 ±.002"', "7F", "tolerance None > ±0.002",
          "text 4.000 > 4.000 ±.002", "tolerance in force -0.005 to +0.005 > -0.002 to +0.002")],
    ),
    "a dimension becomes a reference": (
        PLATE, all_of(put("7F", text="(<>)"), reads("7F", "(4.000)")),
        [("RESTATED", 'linear dimension "(4.000)"', "7F", "reference None > yes", "text 4.000 > (4.000)",
          "tolerance in force -0.005 to +0.005 > none")],
    ),
    "a count changes": (
        PLATE, all_of(put("113", text="3X <>"), reads("113", "3X %%c.281")),
        [("RESTATED", 'diameter "3X Ø.281"', "113", "count 4X > 3X", "text 4X Ø.281 > 3X Ø.281")],
    ),
    "a place less is stated, and another general tolerance holds": (
        PLATE, reads("7F", "4.00"),
        [("RESTATED", 'linear dimension "4.00"', "7F", "text 4.000 > 4.00",
          "tolerance in force -0.005 to +0.005 > -0.01 to +0.01")],
    ),
    "a text is typed and not drawn yet": (
        PLATE, put("7F", text="<> REF"),
        [("RESTATED", 'linear dimension "4.000"', "7F", "typed text, not yet redrawn <> > <> REF")],
    ),
    "a dimension goes": (
        PLATE, without("7F"), [("DIMENSION_REMOVED", 'linear dimension "4.000"', "7F", "text 4.000 > None")],
    ),
    "a point of a dimension leaves the part": (
        PLATE, put("7F", defpoint3=(8.3, 5.69)),
        [("DETACHED", 'linear dimension "4.000"', "7F", "drawn 4 > 4.3",
          "attached to centre of the Ø.281 circle at (4.000, 5.750) to centre of the Ø.281 circle at (8.000, 5.750) > "
          "centre of the Ø.281 circle to nothing at (8.300, 5.690)",
          "tie to the geometry associated > broken", "verdict exact > wrong")],
    ),
    "a dimension is put on another feature": (
        PLATE, put("7F", defpoint3=(8.5, 5.625)),
        [("REATTACHED", 'linear dimension "4.000"', "7F", "drawn 4 > 4.5",
          "attached to centre of the Ø.281 circle at (4.000, 5.750) to centre of the Ø.281 circle at (8.000, 5.750) > "
          "centre of the Ø.281 circle to tangent point at (8.500, 5.625)",
          "tie to the geometry associated > broken", "verdict exact > wrong")],
    ),
    "a hole grows": (
        PLATE, put("60", radius=0.15), [("FEATURE_RESIZED", "Ø.300 circle", "60", "diameter 0.281 > 0.3")],
    ),
    "a hole goes, and its dimensions have nothing to be tied to": (
        PLATE, without("60"),
        [
            ("DETACHED", "3 dimensions", "7F CF DF", "tie to the geometry associated > broken"),
            ("FEATURE_REMOVED", "Ø.281 circle", "60", "diameter 0.281 > None", "x 8 > None", "y 5.75 > None"),
        ],
    ),
    "a hole comes": (
        PLATE, lambda doc: doc.modelspace().add_circle((5, 6), 0.2, dxfattribs={"layer": "OUTLINE", "handle": "FA0"}),
        [("FEATURE_ADDED", "Ø.400 circle", "FA0", "diameter None > 0.4", "x None > 5", "y None > 6")],
    ),
    "a view moves as a whole, its dimensions with it": (
        PLATE, moved(SIDE_VIEW, 0.5, -0.25),
        [("VIEW_MOVED", "view 2", SIDE_VIEW.removesuffix(" 12F 13F"), "x by 0.5", "y by -0.25")],
    ),
    "a hidden edge is drawn as a visible one": (
        PLATE, put("123", layer="OUTLINE"),
        [("FEATURE_REDRAWN", "horizontal edge at y = 6.125", "123", "drawn as hidden > outline")],
    ),
    "a line of the border moves": (
        PLATE, put("49", start=(13.2, 0.4)),
        [("OUTSIDE", "borders, tables, views without dimensions", "49",
          "lines, arcs and circles in that drawing only 1 > 1")],
    ),
    "a general tolerance changes": (
        PLATE, put("4F", text="TOLERANCES UNLESS NOTED: .XX %%p.02"),
        [("TITLE_BLOCK", "general tolerance .XX", "4F", "tolerance ±0.01 > ±0.02")],
    ),
    "the scale changes": (
        PLATE, put("4C", text="SCALE 1:2     SHEET 1 OF 1"),
        [("TITLE_BLOCK", "what it says of all dimensions", "4C", "read as scale 1:1 > scale 1:2")],
    ),
    "a note says more": (
        PLATE, put("54", text="1. BREAK SHARP EDGES .010."),
        [("NOTE_CHANGED", "note", "54", "text 1. BREAK SHARP EDGES. > 1. BREAK SHARP EDGES .010.")],
    ),
    "a note goes": (PLATE, without("55"), [("NOTE_REMOVED", "note", "55", "text 2. HOLES THRU UNLESS NOTED. > None")]),
    "a note comes": (
        PLATE, lambda doc: doc.modelspace().add_text("4. DEBURR.", dxfattribs={"insert": (9, 3), "handle": "FA1"}),
        [("NOTE_ADDED", "note", "FA1", "text None > 4. DEBURR.")],
    ),
    "a wrong number is mended": (
        JIG, all_of(put("B7", text=""), reads("B7", "2.315")),
        [("TEXT_ALONE", 'linear dimension "2.315"', "B7", "stated 2.135 > 2.315", "text 2.135 > 2.315",
          "verdict wrong > exact")],
    ),
}  # fmt: skip


@pytest.mark.parametrize("name", CASES)
def test_a_change_alone_is_told_alone(name: str, tmp_path: Path) -> None:
    path, edit, expected = CASES[name]
    found = between(path, revised(path, edit, tmp_path))
    assert [row for row in told(found) if Sort[str(row[0])] not in AUDIT] == expected


MIRROR = {"ADDED": "REMOVED", "REMOVED": "ADDED", "NEW": "GONE", "GONE": "NEW"}
BOTH_WAYS = [name for name, (*_, rows) in CASES.items() if "tie to the geometry" not in repr(rows)]
"""A tie that is lost is told; one that is made again is nothing that anyone need look at."""


def plainly(compared: Compared, mirrored: bool) -> list[str]:
    """Sorts and facts, or those of the mirror image."""
    rows = []
    for change in compared.changes:
        words = [MIRROR.get(word, word) if mirrored else word for word in change.sort.name.split("_")]
        facts = [
            (f.what, f.new, f.old, None if f.by is None else -f.by) if mirrored else (f.what, f.old, f.new, f.by)
            for f in change.facts
        ]
        rows.append(repr((words, sorted(facts, key=repr))))
    return sorted(rows)


@pytest.mark.parametrize("name", BOTH_WAYS)
def test_the_other_way_round_is_the_mirror_image(name: str, tmp_path: Path) -> None:
    """What was added is removed, what moved moves back, what was stated is stated again."""
    path, edit, _ = CASES[name]
    new = revised(path, edit, tmp_path)
    assert plainly(between(path, new), False) == plainly(between(new, path), True)


def test_the_dangerous_ones_come_first(tmp_path: Path) -> None:
    """Whatever else changed: first what a reader of the print would be deceived by."""
    edit = all_of(put("54", text="1. NONE."), without("8F"), put("9F", text="5.100"), hole_with_its_dimensions)
    found = between(PLATE, revised(PLATE, edit, tmp_path))
    dangerous = [change.dangerous for change in found.changes]
    assert sum(dangerous) == 2
    assert dangerous == sorted(dangerous, reverse=True)
    assert {change.sort for change in found.changes if change.dangerous} == set(DANGEROUS)


def test_what_a_change_means_is_said(tmp_path: Path) -> None:
    """A number that is mended and one that is spoilt are told apart."""
    spoilt = between(PLATE, revised(PLATE, all_of(put("7F", text="4.100"), reads("7F", "4.100")), tmp_path))
    mended = between(JIG, revised(JIG, all_of(put("B7", text=""), reads("B7", "2.315")), tmp_path))
    assert spoilt.changes[0].why == ("the number agreed with the geometry and does no longer",)
    assert mended.changes[0].why == ("the number did not agree with the geometry, and does now",)


def test_new_findings_are_told_and_old_ones_are_not(tmp_path: Path) -> None:
    """The jig's own faults are the same in both; a new one is new, and in the mirror it is gone."""
    new = revised(JIG, all_of(put("D7", text="2.600"), reads("D7", "2.600")), tmp_path)
    there, back = between(JIG, new), between(new, JIG)
    assert there.same_findings >= 31
    assert not [c for c in there.changes if c.sort is Sort.FINDING_NEW and "D7" not in c.new.handles]
    gone = [c for c in there.changes if c.sort is Sort.FINDING_GONE]
    come = [c for c in back.changes if c.sort is Sort.FINDING_NEW]
    assert [c.subject for c in gone] == [c.subject for c in come]


@pytest.mark.parametrize("path", [PLATE, JIG, BLOCK, FLANGE], ids=lambda p: p.stem)
def test_a_whole_drawing_moved_is_views_moved(path: Path, tmp_path: Path) -> None:
    """Each view is one line; no feature, no dimension and no note is."""

    def edit(doc: Drawing) -> None:
        for drawn in doc.modelspace():
            drawn.translate(3, -2, 0)

    found = between(path, revised(path, edit, tmp_path))
    drawn = [c for c in found.changes if c.sort not in (*AUDIT, Sort.OUTSIDE)]
    assert {c.sort for c in drawn} == {Sort.VIEW_MOVED}
    assert {tuple(f.by for f in c.facts) for c in drawn} == {(3, -2)}
    assert len(drawn) == found.new.views


def test_much_linework_that_comes_is_told_together(tmp_path: Path) -> None:
    """Twenty slanted lines in the plate are one change that counts them, with all their handles."""

    def edit(doc: Drawing) -> None:
        for n in range(20):
            doc.modelspace().add_line((4 + n / 10, 6), (4.05 + n / 10, 6.1 + n / 100), dxfattribs={"layer": "OUTLINE"})

    found = between(PLATE, revised(PLATE, edit, tmp_path))
    (change,) = [c for c in found.changes if c.sort is Sort.FEATURE_ADDED]
    assert change.subject == "20 lines, arcs and curves"
    assert len(change.new.handles) == 20


def test_a_view_that_loses_its_dimensions_is_still_drawn(tmp_path: Path) -> None:
    """It is no view any more, its linework is there: said so, and not told a second time as linework that came."""
    found = between(PLATE, revised(PLATE, all_of(without("12F"), without("13F")), tmp_path))
    (change,) = [c for c in found.changes if c.sort is Sort.VIEW_REMOVED]
    assert change.why == ("its linework is still drawn, and no dimension belongs to it",)
    assert found.counts[Sort.DIMENSION_REMOVED] == 2
    assert not found.counts[Sort.OUTSIDE]
    assert not found.counts[Sort.FEATURE_REMOVED]
