"""SVG files: well-formed whatever a drawing holds, legible on both papers, and the marks where the findings are."""

import re
import time
import xml.etree.ElementTree as ET
from dataclasses import replace
from pathlib import Path

import ezdxf
import pytest
from hypothesis import given
from hypothesis import strategies as st

from dimaudit.model.audit import Finding, Level
from dimaudit.model.picture import FOREGROUND, PAPER, DrawnEntity, Picture, Stroke
from dimaudit.model.settings import Settings
from dimaudit.pipeline import audit_file, pictures_of_file
from dimaudit.report.interface import CAUTION
from dimaudit.report.svg import LEAST_CONTRAST, THEMES, Mark, close_up, contrast, marks_of, readable, svg_of

SAMPLES = Path(__file__).parent.parent.parent / "samples"
DRAWINGS = sorted(SAMPLES.glob("*.dxf"))
SVG = "{http://www.w3.org/2000/svg}"


def entity(handle: str, box, *strokes: Stroke, kind: str = "LINE", lettering=()) -> DrawnEntity:
    return DrawnEntity(handle, kind, "0", strokes or (Stroke("M0 0h1", FOREGROUND, 0.25),), box, lettering)


def picture(*entities: DrawnEntity, size: float = 100.0) -> Picture:
    return Picture("Model", (0.0, 0.0, size, size), 1.0, entities)


def finding(level: Level = Level.ERROR, at=(50.0, 50.0), handles=("A",), layout="Model", message="off by 1") -> Finding:
    return Finding("wrong-value", level, handles, message, (), "mend it", at, layout)


def words(svg: str) -> list[str]:
    return [element.text or "" for element in ET.fromstring(svg).iter(f"{SVG}text")]


@pytest.mark.parametrize("theme", THEMES)
@pytest.mark.parametrize("path", DRAWINGS, ids=lambda p: p.name)
def test_samples_are_well_formed_and_the_same_each_time(path, theme):
    """Every sample in both themes: XML that another parser takes, with a title, a description and the caution."""
    audit, _ = audit_file(path, Settings())
    for shown in pictures_of_file(path):
        svg = svg_of(shown, marks_of(audit.findings, shown), theme, title=path.name)
        assert svg == svg_of(shown, marks_of(audit.findings, shown), theme, title=path.name)
        root = ET.fromstring(svg)
        assert root.find(f"{SVG}title").text == path.name
        assert CAUTION in root.find(f"{SVG}desc").text
        assert " ".join(words(svg)).endswith(CAUTION)


def test_each_finding_on_the_picture_has_its_mark():
    """The marks of a sample: one for each finding, with the number of every report, and the message as its title."""
    path = SAMPLES / "engine-bearer.dxf"
    audit, _ = audit_file(path, Settings())
    (shown,) = pictures_of_file(path)
    svg = svg_of(shown, marks_of(audit.findings, shown))
    labels = [word for word in words(svg) if re.fullmatch(r"[EWN]\d+", word)]
    ranked = sorted((f.level for f in audit.findings), key=list(Level).index)
    assert sorted(labels, key=lambda label: int(label[1:])) == [
        f"{str(level)[0].upper()}{n}" for n, level in enumerate(ranked, start=1)
    ]
    titles = " ".join(t.text for t in ET.fromstring(svg).iter(f"{SVG}title"))
    assert all(f.message in titles for f in audit.findings)


def test_levels_differ_without_colour():
    """Error, warning and note have one colour; their shapes and their letters are different."""
    marks = [Mark(n, level, (20.0 * n, 50.0), "x") for n, level in enumerate(Level, start=1)]
    root = ET.fromstring(svg_of(picture(entity("A", (0, 0, 1, 1))), marks))
    groups = [group for group in root.findall(f"{SVG}g") if group.find(f"{SVG}title") is not None]
    shapes = [next(s for s in ("polygon", "rect", "circle") if group.find(f"{SVG}{s}") is not None) for group in groups]
    assert shapes == ["polygon", "rect", "circle"]
    assert [group.find(f"{SVG}text").text for group in groups] == ["E1", "W2", "N3"]


def test_marks_do_not_stand_on_one_another():
    """Twenty findings in one place get twenty places."""
    marks = [Mark(n, Level.NOTE, (50.0, 50.0), "x") for n in range(1, 21)]
    root = ET.fromstring(svg_of(picture(entity("A", (0, 0, 1, 1))), marks))
    spots = [(float(t.get("x")), float(t.get("y"))) for t in root.iter(f"{SVG}text") if t.text.startswith("N")][:20]
    size = 297 * 0.0085
    assert all(
        max(abs(a[0] - b[0]), abs(a[1] - b[1])) > 2 * size for k, a in enumerate(spots) for b in spots[:k]
    )


def test_marks_keep_off_the_lettering():
    """A text right of the finding sends its mark elsewhere."""
    free = ET.fromstring(svg_of(picture(entity("A", (0, 0, 1, 1))), [Mark(1, Level.NOTE, (50.0, 50.0), "x")]))
    covered = picture(entity("A", (0, 0, 99, 99), lettering=((50.5, 40.0, 99.0, 60.0),)))
    moved = ET.fromstring(svg_of(covered, [Mark(1, Level.NOTE, (50.0, 50.0), "x")]))
    first, second = (next(float(t.get("x")) for t in r.iter(f"{SVG}text") if t.text == "N1") for r in (free, moved))
    assert first > 297 / 2 > second


def test_a_finding_without_a_place_of_its_own_stands_on_its_entity():
    """On a sheet, a finding about the model's side stands on what is drawn for its handles; else it has no mark."""
    shown = replace(picture(entity("B7", (10, 10, 30, 20))), layout="SHEET")
    assert [mark.at for mark in marks_of([finding(handles=("B7",))], shown)] == [(20, 15)]
    assert marks_of([finding(handles=("C1",))], shown) == ()


def test_a_close_up_shows_the_entity_and_what_is_around_it():
    """Its box holds the entity with room, stays within the drawing, and drops what lies elsewhere."""
    shown = picture(entity("A", (80, 80, 98, 90)), entity("B", (0, 0, 10, 10)), entity("C", (0, 85, 100, 85)))
    part = close_up(shown, ["A"])
    x0, y0, x1, y1 = part.box
    assert x0 < 80
    assert y0 < 80
    assert x1 <= 100
    assert y1 <= 100
    assert [e.handle for e in part.entities] == ["A", "C"]


def test_a_close_up_of_nothing_is_the_whole():
    """Handles that are not drawn, and no place."""
    shown = picture(entity("A", (80, 80, 98, 90)))
    assert close_up(shown, ["ZZ"]) is shown


@given(st.floats(0, 100), st.floats(0, 100), st.floats(0, 60), st.floats(0, 60))
def test_close_ups_have_a_shape_that_can_be_looked_at(x, y, across, up):
    """At most twice as wide as high, or as high as wide, wherever the entity is."""
    part = close_up(picture(entity("A", (x, y, x + across, y + up))), ["A"])
    width, height = part.size
    assert 0.499 <= width / height <= 2.001


def test_stressed_entities_stand_out():
    """They have the colour of the marks, are drawn last, and all else is faint."""
    shown = picture(entity("A", (0, 0, 1, 1)), entity("B", (0, 0, 1, 1)))
    root = ET.fromstring(svg_of(shown, stressed=["A"]))
    drawn = [(g.get("data-handle"), g[0].get("stroke")) for g in root.iter(f"{SVG}g") if g.get("data-handle")]
    assert drawn == [("B", THEMES["light"].faint), ("A", THEMES["light"].mark)]


HOSTILE = [
    "<script>alert(1)</script>",
    "\"'><&]]>", "--><!--", "\x00\x1b[31m\x07", "\ud800", "\ufffe\uffff", "\u202egnp", "A" * 9000,
]  # fmt: skip


@pytest.mark.parametrize("text", HOSTILE, ids=range(len(HOSTILE)))
def test_hostile_text_stays_text(text):
    """In titles, messages, handles and lines: the file has no element of the drawing's making, and parses."""
    shown = picture(entity(text, (0, 0, 1, 1)))
    plain = svg_of(picture(entity("A", (0, 0, 1, 1))), [Mark(1, Level.NOTE, (5, 5), "x")], title="x", lines=["x"])
    svg = svg_of(shown, [Mark(1, Level.NOTE, (5, 5), text)], title=text, lines=[text])
    svg.encode("utf-8")
    tags = [element.tag for element in ET.fromstring(svg).iter()]
    assert {*tags} == {element.tag for element in ET.fromstring(plain).iter()}
    assert not any(ord(c) < 32 and c != "\n" for c in svg)


@given(st.text(), st.text())
def test_any_text_gives_xml(title, handle):
    """Whatever the text."""
    ET.fromstring(svg_of(picture(entity(handle, (0, 0, 1, 1))), title=title, lines=[title]))


def test_hostile_layers_and_texts_of_a_drawing_are_only_shapes(tmp_path):
    """Text of a drawing comes out as letters' outlines: not one of its characters is in the file."""
    doc = ezdxf.new("R2010")
    doc.layers.add("HOSTILE")
    doc.modelspace().add_text("<script>evil()</script>", dxfattribs={"layer": "HOSTILE"})
    doc.modelspace().add_mtext("]]><image href='http://x'/>")
    doc.saveas(tmp_path / "part.dxf")
    content = (tmp_path / "part.dxf").read_text().replace("HOSTILE", "</g><script>")
    (tmp_path / "part.dxf").write_text(content)
    (shown,) = pictures_of_file(tmp_path / "part.dxf")
    assert shown.entities[0].layer == "</g><script>"
    assert len(shown.entities) == 2
    svg = svg_of(shown)
    ET.fromstring(svg)
    assert "script" not in svg
    assert "http://x" not in svg


@pytest.mark.parametrize("theme", THEMES)
def test_what_the_tool_writes_stands_out(theme):
    """Ink and marks against the paper: 4.5 to 1 at least (WCAG 2.2, 1.4.3)."""
    colours = THEMES[theme]
    assert contrast(colours.ink, colours.paper) >= 4.5
    assert contrast(colours.mark, colours.paper) >= 4.5


def test_contrast_is_that_of_the_standard():
    """White and black have 21 to 1; #767676 on white is the standard's well-known 4.54 (WCAG 2.2, G18)."""
    assert contrast("#ffffff", "#000000") == pytest.approx(21)
    assert contrast("#767676", "#ffffff") == pytest.approx(4.54, abs=0.01)


@given(st.integers(0, 0xFFFFFF), st.sampled_from(sorted(THEMES)))
def test_lines_are_seen_on_either_paper(colour, theme):
    """A colour that is too near the paper's is moved; one that stands out is kept."""
    drawn, colours = f"#{colour:06x}", THEMES[theme]
    shown = readable(drawn, colours)
    assert contrast(shown, colours.paper) >= LEAST_CONTRAST
    if contrast(drawn, colours.paper) >= LEAST_CONTRAST:
        assert shown == drawn


def test_shades_keep_their_paleness_and_covers_are_paper():
    """A pale area stays pale, a cover has the colour of the paper, and letters of the same colour are darkened."""
    pale = "#f0f0f0"
    shown = picture(
        entity("A", (0, 0, 1, 1), Stroke("M0 0h1v1z", pale, 0), kind="HATCH"),
        entity("B", (0, 0, 1, 1), Stroke("M0 0h1v1z", PAPER, 0), kind="WIPEOUT"),
        entity("C", (0, 0, 1, 1), Stroke("M0 0h1v1z", pale, 0, text=True), kind="TEXT"),
    )
    fills = re.findall(r'<path fill="(#\w+)"', svg_of(shown))
    assert fills[:2] == [pale, THEMES["light"].paper]
    assert contrast(fills[2], THEMES["light"].paper) >= LEAST_CONTRAST


def test_marks_stay_whole_on_the_page():
    """In the corners, too: the widest shape, a hexagon, is 1.35 half sizes from its middle."""
    marks = [Mark(n, Level.ERROR, at, "x") for n, at in enumerate([(0, 0), (100, 0), (0, 100), (100, 100)], start=1)]
    svg = svg_of(picture(entity("A", (0, 0, 100, 100))), marks)
    _, _, width, height = map(float, re.search(r'viewBox="([^"]+)"', svg)[1].split())
    drawing = float(re.search(r'<svg width="[\d.]+" height="([\d.]+)"', svg)[1])
    polygons = ET.fromstring(svg).findall(f"{SVG}g/{SVG}polygon")
    corners = [tuple(map(float, pair.split(","))) for p in polygons for pair in p.get("points").split()]
    assert len(corners) == 24
    assert all(0 < x < width and 0 < y < drawing < height for x, y in corners), corners


def test_thousands_of_marks_find_their_places_soon():
    """3600 on one picture: the time does not grow with their square."""
    spots = [(x, y) for x in range(60) for y in range(60)]
    marks = [Mark(n, Level.NOTE, (1.6 * x, 1.6 * y), "x") for n, (x, y) in enumerate(spots, start=1)]
    start = time.process_time()
    svg = svg_of(picture(entity("A", (0, 0, 100, 100))), marks)
    assert time.process_time() - start < 10
    assert len(ET.fromstring(svg).findall(f"{SVG}g/{SVG}title")) == len(marks)
