"""The pages of a class: what they say is what was graded, and no text on them is ever anything but text."""

import csv
import re
from collections.abc import Iterator
from dataclasses import replace
from fractions import Fraction
from html.parser import HTMLParser
from pathlib import Path
from time import process_time
from urllib.parse import unquote

import pytest
from chromium import Page, chromium
from hypothesis import given
from hypothesis import strategies as st

from dimaudit.grade import workers
from dimaudit.grade.gradebook import number_text, rows_of
from dimaudit.grade.pages.figure import Shown, numbered, packed, shown_of, unpacked
from dimaudit.grade.pages.filled import class_page, learner_page
from dimaudit.grade.pages.names import page_names
from dimaudit.grade.proposed import proposed
from dimaudit.grade.remarks import Remark, Remarks
from dimaudit.grade.room import Class, grade_class
from dimaudit.grade.rubric_text import rubric_text
from dimaudit.grade.state import Result
from dimaudit.grade.submissions import Submission
from dimaudit.grade.summary import summarise
from dimaudit.model.grading import Alignment, Criterion, CriterionMark, Deduction, ForAPerson, Graded
from grade import evening
from grade.evening import hand_in, key, plate
from grade.plates import KEY, Drawn
from grade.test_gradebook import RUBRIC, graded, person

F = Fraction
HOSTILE = '<script>alert(1)</script>"\'&lt;{{ 7*7 }}<img src=x onerror=alert(1)>\u202e\x00\ud800'
VOID = frozenset({"meta", "br"})
FOREIGN = frozenset({"path", "rect", "circle"})


class Read(HTMLParser):
    """A page read strictly: each element closed in its turn."""

    def __init__(self, page: str) -> None:
        super().__init__()
        self.open: list[str] = []
        self.tags: list[str] = []
        self.attributes: list[tuple[str, str]] = []
        self.texts: list[str] = []
        self.feed(page)
        self.close()
        assert self.open == []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append(tag)
        self.attributes += [(name, value or "") for name, value in attrs]
        if tag not in VOID:
            self.open.append(tag)

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        assert tag in FOREIGN
        self.tags.append(tag)
        self.attributes += [(name, value or "") for name, value in attrs]

    def handle_endtag(self, tag: str) -> None:
        assert self.open.pop() == tag

    def handle_data(self, data: str) -> None:
        if self.open and self.open[-1] != "style":
            self.texts.append(data)

    @property
    def text(self) -> str:
        return " ".join("".join(self.texts).split())


def page(result: Result, remarks: Remarks = Remarks(), shown: Shown = Shown(why="none")) -> str:  # noqa: B008
    return learner_page(result, rows_of([result], RUBRIC, remarks)[0], RUBRIC, remarks, shown, "1")


def whole(results: list[Result], remarks: Remarks = Remarks()) -> str:  # noqa: B008
    names = page_names(r.name for r in results)
    return class_page(RUBRIC, rows_of(results, RUBRIC, remarks), summarise(results, RUBRIC, remarks), names, "1")


def harmless(text: str) -> Read:
    """No script, nothing from outside, no handler, and a policy that would stop all three."""
    read = Read(text)
    assert not {"script", "img", "iframe", "object", "embed", "link", "base", "form", "b", "i"} & set(read.tags)
    policy = next(v for _, v in read.attributes if v.startswith("default-src"))
    assert re.fullmatch(
        r"default-src 'none'; style-src 'sha256-[\w+/=]{44}'; base-uri 'none'; form-action 'none'", policy
    )
    for name, value in read.attributes:
        assert not name.startswith("on")
        assert name not in ("src", "style", "xlink:href")
        assert name != "href" or re.fullmatch(r"#[\w-]+|pages/[\w%~-]+\.html|\.\./class\.html", value), value
    assert not re.search(r"url\(|@import|https?:", text)
    text.encode("utf-8")
    return read


# --- what they say -------------------------------------------------------------------------------


@pytest.fixture
def room(tmp_path: Path) -> Path:
    drawing = key(tmp_path)
    (tmp_path / "rubric.toml").write_text(rubric_text(proposed(drawing, "key.dxf", "plate"), None))
    hand_in(tmp_path / "class", "ines.dxf")
    hand_in(tmp_path / "class", "tor/plate.dxf", plate(corner=("2", "2"), marked=True))
    (tmp_path / "class" / "lot.dwg").write_bytes(b"AC1032" + bytes(200))
    return tmp_path


def grade(room: Path) -> Class:
    return grade_class(room / "rubric.toml", [room / "class"], room / "marks", "1", 1, grader=evening.grade,
                       run=evening.here)  # fmt: skip


def pages(room: Path) -> dict[str, str]:
    return {p.name: p.read_text(encoding="utf-8") for p in (room / "marks" / "pages").iterdir()}


def test_the_marks_are_those_of_the_gradebook(room):
    """On each learner's page and on the class's."""
    grade(room)
    data = (room / "marks" / "gradebook.csv").read_text(encoding="utf-8-sig")
    rows = {row["name"]: row for row in csv.DictReader(data.splitlines())}
    found = pages(room)
    assert set(found) == {"ines.html", "tor-plate.html", "lot.html"}
    for name, row in rows.items():
        text = harmless(found[page_names([name])[name]]).text
        assert f"{row['mark']} of {row['of']}" in text if row["mark"] else "No mark yet" in text
    table = harmless((room / "marks" / "class.html").read_text(encoding="utf-8")).text
    for name, row in rows.items():
        assert f"{name}{row['mark'] or '–'}{row['of']}" in table.replace(" ", "")


def test_a_mark_can_be_done_again_from_the_page():
    """The points of each criterion less what its deductions say give what it got; their sum is the mark."""
    lost = (
        Deduction(Criterion.FEATURES, F(10), "the left hole is missing", ("40 / 4 = 10",), ("4F",)),
        Deduction(Criterion.FEATURES, F(0), "the slot is off", follows="the left hole"),
    )
    marks = (
        CriterionMark(Criterion.FEATURES, F(40), 4, F(10), lost, F(30)),
        CriterionMark(Criterion.SIZES, F(60), 7, F(60, 7), (Deduction(Criterion.SIZES, F(60, 7), "off"),), F(360, 7)),
    )
    text = harmless(page(Graded("ines", "", "", Alignment(), marks, ""))).text
    assert "40 - 10 = 30" in text
    assert "60 - 60/7 = 360/7, about 51.43" in text
    assert "sum: 30 + 360/7 = 570/7, about 81.43, rounded half up to a multiple of 0.5: 81.5" in text
    assert "81.5 of 100" in text
    assert "1-10: the left hole is missing" in text
    assert "2no cost: the slot is off" in text
    assert "follows from what was charged already: the left hole" in text
    assert "40 / 4 = 10" in text


def test_what_a_person_must_look_at_is_no_zero():
    """With the reason and what to do; and not with a mark, unless the instructor gave one."""
    text = harmless(page(person("lot"))).text
    assert "No mark yet" in text
    assert "another format" in text
    assert "export it" not in text  # that is said to the instructor
    assert "What you can do: nothing for now; your instructor looks at it." in text
    own = replace(person("lot"), yours="save it as DXF, and hand that in")
    assert "What you can do: save it as DXF, and hand that in." in harmless(page(own)).text
    given = harmless(page(person("lot"), Remarks({"lot": Remark("done on paper", F(71))}))).text
    assert "71 of 100, given by the instructor" in given
    assert "The instructor says: done on paper" in given
    open_ = harmless(page(graded("tor", 40, person="the arc could not be judged"))).text
    assert "40 of 40" in open_
    assert "the arc could not be judged" in open_
    assert "60 points more are for a person to give" in open_


def test_a_changed_mark_is_named_as_such():
    """A mark that rests is the instructor's matter only."""
    text = harmless(page(graded("tor", 30), Remarks({"tor": Remark("see me", F(88))}))).text
    assert "88 of 100, given by the instructor; as graded: 90" in text
    stale = harmless(page(graded("tor", 30), Remarks({"tor": Remark("see me", None, "the changed mark rests")}))).text
    assert "90 of 100" in stale
    assert "rests" not in stale


def test_no_page_tells_of_others_or_of_folders(room):
    """Nor that another layout is the same."""
    hand_in(room / "class", "zoe.dxf")
    found = grade(room)
    assert found.summary.alike
    for file, text in pages(room).items():
        assert str(room) not in text
        others = {n for n, f in page_names(r.name for r in found.results).items() if f != file}
        assert len(others) == 3
        read = Read(text).text
        assert not any(re.search(rf"\b{other}\b", read) for other in others)
        assert "identical" not in read
    assert "ines, zoe: " in Read((room / "marks" / "class.html").read_text()).text


def test_the_class_page_tells_what_was_missed_and_the_spread():
    """By hand: two of three lost points in the features, 15 in all; marks 85, 100, 100."""
    text = harmless(whole([graded("a", 35, 50), graded("b"), graded("c", 30, 60), person("lot")]))
    assert "features2315" in text.text.replace(" ", "")
    assert "sizes1310" in text.text.replace(" ", "")
    assert "3 marks. 80 to 90: 1; 90 to 100: 2" in text.text
    assert "1 for a person to look at" in text.text
    assert [v for n, v in text.attributes if n == "href"][:3] == ["pages/lot.html", "pages/a.html", "pages/b.html"]


def test_an_empty_class_of_marks_has_a_plot_all_the_same():
    """Nobody has a mark yet."""
    assert "0 marks." in harmless(whole([person("lot")])).text


# --- what is shown -------------------------------------------------------------------------------


def test_the_numbers_stand_at_their_places(tmp_path):
    """At what `at` says; without it, at the entity; and what has neither is not marked."""
    board = Drawn(KEY)
    path = tmp_path / "block.dxf"
    board.board.doc.saveas(path)
    bore = next(e for e in board.board.msp.query("CIRCLE") if e.dxf.radius == 0.625)
    lost = tuple(
        Deduction(Criterion.FEATURES, F(1), "x", handles=handles, at=at)
        for handles, at in ((("999",), (4.0, 2.4375)), ((bore.dxf.handle,), None), (("999",), None))
    )
    result = Graded("a", "", "", Alignment(), (CriterionMark(Criterion.FEATURES, F(9), 9, F(1), lost, F(6)),), "")
    shown = shown_of(path, result)
    assert shown.marked == (1, 2)
    spots = re.findall(r'class="spot" cx="([\d.]+)" cy="([\d.]+)"', shown.svg)
    first, second = (tuple(map(float, s)) for s in spots)
    assert first == pytest.approx(second, abs=1e-6)
    assert "(not on the picture)" in page(result, shown=shown)
    harmless(page(result, shown=shown))


def test_a_picture_that_fails_takes_no_mark(tmp_path, monkeypatch):
    """The page says so, and so does the run."""
    path = hand_in(tmp_path, "ines.dxf")
    key(tmp_path)
    rubric = proposed(key(tmp_path), "key.dxf", "")

    def broken(*_: object) -> Shown:
        raise RuntimeError("no ink")

    monkeypatch.setattr(workers, "shown_of", broken)
    workers._start(workers.Work(tmp_path / "key.dxf", rubric, evening.grade))
    outcome = workers._one(Submission("ines", str(path), path, "0" * 64))
    assert isinstance(outcome.result, Graded)
    assert outcome.fault == "the picture: RuntimeError: no ink"
    assert unpacked(outcome.figure).why


@pytest.mark.parametrize("text", ["", "x", "AAAA", "é", packed(Shown())[:-8]])
def test_a_damaged_picture_is_an_error_that_is_told(text):
    """Not a crash of any other kind."""
    with pytest.raises(ValueError, match=r"\w"):
        unpacked(text)


def test_a_picture_is_kept_as_it_is():
    """Through packing."""
    shown = Shown("<svg>é</svg>", ".c0{}", (1, 3), 2, "")
    assert unpacked(packed(shown)) == shown


# --- hostile text --------------------------------------------------------------------------------


def hostile() -> Graded:
    lost = (Deduction(Criterion.FEATURES, F(1), HOSTILE, (HOSTILE,), (HOSTILE,), follows=HOSTILE),)
    marks = (CriterionMark(Criterion.FEATURES, F(40), 4, F(10), lost, F(39)),
             CriterionMark(Criterion.SIZES, F(60), 4, F(15), (), F(0), HOSTILE))  # fmt: skip
    return Graded(HOSTILE, HOSTILE, "1", Alignment(), marks, "", (HOSTILE,))


def test_hostile_text_is_text():
    """In names, in texts from a drawing, in remarks, in reasons, in the rubric's title."""
    remarks = Remarks({HOSTILE: Remark(HOSTILE, F(1), HOSTILE)})
    for result in (hostile(), ForAPerson(HOSTILE, HOSTILE, "", HOSTILE, HOSTILE)):
        rubric = replace(RUBRIC, title=HOSTILE)
        row = rows_of([result], rubric, remarks)[0]
        read = harmless(learner_page(result, row, rubric, remarks, Shown(why=HOSTILE), "1"))
        assert "<script>alert(1)</script>" in read.text
        assert "{{ 7*7 }}" in read.text
        assert "\\x202e" in read.text
        both = [result, replace(result, name="b")]
        read = harmless(class_page(rubric, rows_of(both, rubric, remarks), summarise(both, rubric, remarks),
                                   page_names(r.name for r in both), "1"))  # fmt: skip
        assert "<script>alert(1)</script>" in read.text


@given(st.lists(st.text(st.characters(), max_size=80), unique=True, max_size=8))
def test_each_name_has_a_file_name_of_its_own(names):
    """Also where the system takes capitals for small letters; nothing leads out of the folder."""
    files = page_names(names)
    assert len({f.casefold() for f in files.values()}) == len(names)
    for file in files.values():
        assert re.fullmatch(r"[\w-]+(~[0-9a-f]{20})?\.html", file)
        assert len(file.encode()) <= 255
        assert not file.startswith("-")


def test_file_names_as_they_come():
    """Each by hand."""
    assert page_names(["ines"]) == {"ines": "ines.html"}
    assert page_names(["tor/plate v2", "../../etc", "CON", "…"]) == {
        "tor/plate v2": "tor-plate-v2.html", "../../etc": "etc.html", "CON": "CON_.html", "…": "page.html",
    }  # fmt: skip
    two = page_names(["a/b", "A b"])
    assert all(re.fullmatch(r"[aA]-b~[0-9a-f]{20}\.html", f) for f in two.values())


def test_links_lead_to_the_pages(room):
    """Whatever letters the names are of."""
    hand_in(room / "class", "søren & co.dxf")
    grade(room)
    read = harmless((room / "marks" / "class.html").read_text(encoding="utf-8"))
    links = {unquote(v) for n, v in read.attributes if n == "href"}
    assert links == {f"pages/{name}" for name in pages(room)}


# --- again ---------------------------------------------------------------------------------------


def test_a_remark_changes_its_page_only_and_grades_nothing(room):
    """The picture is kept."""
    grade(room)
    before = pages(room)
    stamps = {p.name: p.stat().st_mtime_ns for p in (room / "marks" / "pages").iterdir()}
    path = room / "marks" / "remarks.toml"
    head, _, rest = path.read_text().partition('["ines"]\n')
    path.write_text(f'{head}["ines"]\n' + rest.replace('remark = ""', 'remark = "well done"', 1))
    assert grade(room).again == 0
    after = pages(room)
    assert [n for n in after if after[n] != before[n]] == ["ines.html"]
    assert "well done" in after["ines.html"]
    assert "<svg" in after["ines.html"]
    changed = {p.name for p in (room / "marks" / "pages").iterdir() if p.stat().st_mtime_ns != stamps[p.name]}
    assert changed == {"ines.html"}


def test_a_page_is_put_back_and_one_by_hand_is_kept(room):
    """What was deleted comes again without grading; what was written into it by hand is moved aside."""
    grade(room)
    before = pages(room)
    folder = room / "marks" / "pages"
    (folder / "ines.html").unlink()
    (folder / "lot.html").write_text("mine")
    found = grade(room)
    assert found.again == 0
    assert pages(room) == before
    assert (room / "marks/changed-by-hand/lot-1.html").read_text() == "mine"
    assert any("changed-by-hand/lot-1.html" in line for line in found.said)


def test_the_page_of_who_is_gone_is_deleted_unless_it_was_changed(room):
    """And that is said."""
    grade(room)
    hand_in(room / "class", "zoe.dxf", plate(wide="5"))
    grade(room)
    (room / "class" / "zoe.dxf").unlink()
    (room / "class" / "ines.dxf").unlink()
    (room / "marks" / "pages" / "ines.html").write_text("mine")
    found = grade(room)
    assert set(pages(room)) == {"ines.html", "lot.html", "tor-plate.html"}
    assert any("zoe.html" in line for line in found.said)


# --- the real grader, a browser, and time --------------------------------------------------------


BLOCKS = {
    "ines": KEY, "lot": replace(KEY, width=8.25, dims=KEY.dims[:5], texts={"height": "5.1"}),
    "tor <b>": replace(KEY, bolts=(KEY.bolts[0], None), stray=(6.5, 0.4)),
}  # fmt: skip


@pytest.fixture(scope="module")
def block_room(tmp_path_factory: pytest.TempPathFactory) -> Path:
    room = tmp_path_factory.mktemp("blocks")
    Drawn(KEY).board.doc.saveas(room / "key.dxf")
    (room / "rubric.toml").write_text(rubric_text(proposed(key_at(room / "key.dxf"), "key.dxf", "bearing"), None))
    (room / "class").mkdir()
    for name, block in BLOCKS.items():
        Drawn(block).board.doc.saveas(room / "class" / f"{name}.dxf")
    grade_class(room / "rubric.toml", [room / "class"], room / "marks", "1", 1, run=evening.here)
    return room


def key_at(path: Path) -> evening.Key:
    return evening.key_of(evening.examine_file(path, evening.Settings()))


@pytest.fixture(scope="module")
def browser(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Page]:
    with chromium(tmp_path_factory.mktemp("profile")) as opened:
        yield opened


def test_every_deduction_is_on_the_page(block_room):
    """With its words, its points and each line of its arithmetic."""
    found = grade_class(block_room / "rubric.toml", [block_room / "class"], block_room / "marks", "1", 1,
                        run=evening.here)  # fmt: skip
    assert found.again == 0
    for result in found.results:
        assert isinstance(result, Graded)
        name = page_names(r.name for r in found.results)[result.name]
        text = harmless((block_room / "marks" / "pages" / name).read_text(encoding="utf-8")).text
        for number, d in numbered(result):
            cost = f"-{number_text(d.points)}" if d.points.denominator == 1 else f"-{d.points}"
            assert f"{number}{cost if d.points else 'no cost'}: {' '.join(d.what.split())}" in text
            assert all(" ".join(line.split()) in text for line in d.why)
    assert sum(len(numbered(r)) for r in found.results) >= 6


def test_a_browser_shows_them_without_a_word_of_complaint(block_room, browser):
    """No request to the outside; a phone's page is not wider than the phone; each colour scheme has its paper."""
    papers = set()
    files = [block_room / "marks" / "class.html", *sorted((block_room / "marks" / "pages").iterdir())]
    for file in files:
        for scheme in ("light", "dark"):
            browser.size(390, 800).media(prefers_color_scheme=scheme).open(file)
            assert browser.logs() == []
            assert browser.requests() == [file.as_uri()]
            assert browser.ask("document.documentElement.scrollWidth") <= 390
            papers.add(browser.ask("getComputedStyle(document.body).backgroundColor"))
    assert len(papers) == 2
    browser.media(media="print").size(1000, 800).open(files[1])
    assert browser.pdf().startswith(b"%PDF")
    browser.media()


def test_a_page_costs_little(block_room):
    """Of the 60 seconds for a class of 100, on a slow day, the picture and the page of each may take a tenth."""
    result = graded("ines", 30)
    file = block_room / "class" / "ines.dxf"
    shown_of(file, result)
    start = process_time()
    for _ in range(5):
        page(result, shown=shown_of(file, result))
    assert (process_time() - start) / 5 < 0.6
