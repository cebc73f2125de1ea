"""The report page in a real browser: findings found and centred, parts magnified, printed, by keys and touch."""

import re
from itertools import pairwise
from pathlib import Path

import ezdxf
import pytest
from bench_plates import make_plates
from chromium import Page, chromium
from click.testing import CliRunner
from selenium.webdriver import ActionChains
from selenium.webdriver.common.keys import Keys

from dimaudit.cli import cli
from dimaudit.report.interface import CAUTION

ROOT = Path(__file__).parents[2]
SAMPLES = ROOT / "samples"
JIG = SAMPLES / "cleat-drill-jig.dxf"
SHEET = SAMPLES / "mast-step-sheet.dxf"
CENTRE_OF = """(() => {
  const m = document.querySelector('.marks .picked').getBoundingClientRect();
  const w = document.querySelector('.sheet:not([hidden]) .window').getBoundingClientRect();
  return [(m.left + m.width / 2 - w.left) / w.width, (m.bottom - w.top) / w.height];
})()"""
"""Where the marker of the opened finding stands, as shares of the picture's window."""
SPAN = "Number(document.querySelector('.sheet:not([hidden]) svg').getAttribute('viewBox').split(' ')[2])"
"""Width of what is seen, in drawing units."""
SHOWN = "[...document.querySelectorAll('.item')].filter((i) => i.offsetParent).length"
SOON = 0.2
"""Seconds: twice a tenth, since a machine that does much else takes longer for the same work."""


@pytest.fixture(scope="module")
def browser(tmp_path_factory):
    with chromium(tmp_path_factory.mktemp("profile")) as page:
        yield page


def report(path: Path, *drawings: Path) -> Path:
    done = CliRunner().invoke(cli, ["check", *map(str, drawings), "--format", "html", "--output", str(path)])
    assert done.exit_code in (0, 1), done.output
    return path


@pytest.fixture(scope="module")
def jig_page(tmp_path_factory):
    return report(tmp_path_factory.mktemp("page") / "jig.html", JIG)


@pytest.fixture
def jig(browser, jig_page) -> Page:
    """The drill jig's page, open on a desk."""
    browser.size(1280, 900).media(prefers_color_scheme="light")
    yield browser.open(jig_page)
    assert browser.logs() == [], "the console has nothing to say"
    assert {address.partition("#")[0] for address in browser.requests()} <= {jig_page.as_uri()}, "no request leaves"


def test_a_click_in_the_list_centres_the_finding_and_shows_its_arithmetic(jig):
    """The marker comes to the middle, its entity stands out, the panel holds the steps that `explain` prints."""
    before = jig.ask(SPAN)
    jig.click(".item[data-f='0']")
    x, y = jig.ask(CENTRE_OF)
    assert abs(x - 0.5) < 0.02
    assert abs(y - 0.5) < 0.06  # the marker stands a little above its place
    assert jig.ask(SPAN) < before / 2
    assert jig.ask("[...document.querySelectorAll('svg .picked')].map((g) => g.dataset.h)") == ["B7"]
    assert jig.ask("document.querySelectorAll('svg .measured').length") == 2  # the two circles
    panel = jig.text(".panel")
    assert "wrong-value" in panel
    assert "two digits are swapped" in panel
    explained = CliRunner().invoke(cli, ["explain", str(JIG), "B7"]).output
    line = next(x.strip() for x in explained.splitlines() if "measured − stated" in x)
    assert line in panel
    assert jig.ask("location.hash") == "#drawing-1/E1"


def test_a_click_on_the_picture_opens_the_finding_in_the_list(jig):
    """A marker and a dimension's own lines both lead to the list; a sound dimension shows its arithmetic."""
    jig.click(".marks button.error")
    assert jig.ask("document.querySelector('.item.picked .mark').textContent") == "E1"
    jig.click(".marks button.error.picked")  # the same place holds a second finding
    assert jig.ask("document.querySelector('.item.picked .mark').textContent") == "W12"
    jig.press(Keys.ESCAPE)
    assert jig.ask("document.querySelector('.panel').hidden")
    for handle, said in (("D7", "E2"), ("C7", "1.250: exact")):
        box = jig.ask("""(() => { const p = document.querySelector(`g[data-h='${arguments[0]}'] .t`);
            const r = p.getBoundingClientRect(); return [r.left + r.width / 2, r.top + r.height / 2]; })()""", handle)
        actions = ActionChains(jig.driver)
        actions.w3c_actions.pointer_action.move_to_location(*map(round, box)).click()
        actions.perform()
        jig.settle()
        assert said in jig.text(".panel h3"), handle


def test_hover_shows_the_other_side(jig):
    """The pointer on an item lights its entity and its marker, and on a marker the item."""
    first = jig.driver.find_element("css selector", ".item[data-f='6']")
    ActionChains(jig.driver).move_to_element(first).perform()
    jig.settle()
    assert jig.ask("[...document.querySelectorAll('svg .met')].map((g) => g.dataset.h)") == ["241"]
    assert jig.ask("document.querySelector('.marks .met').textContent") == "E7"
    marker = jig.driver.find_element("css selector", ".marks .note")
    ActionChains(jig.driver).move_to_element(marker).perform()
    jig.settle()
    assert jig.ask("document.querySelector('.item.met .mark').textContent") == "N32"


def test_the_list_is_sifted_by_level_rule_and_words(jig):
    """What is not asked for leaves the list and the picture, and the count says so."""
    assert jig.text(".shown output") == "32 findings"
    jig.click("[name=level][value=warning]")
    assert jig.text(".shown output") == "8 of 32 findings"
    assert jig.ask(SHOWN) == 8
    assert jig.ask("document.querySelectorAll('.marks .warning').length") == 0
    jig.ask("(() => { const s = document.querySelector('[name=rule]'); s.value = 'wrong-value';"
            " s.dispatchEvent(new Event('input', {bubbles: true})); })()")  # fmt: skip
    assert jig.ask(SHOWN) == 5
    jig.driver.find_element("css selector", "[name=words]").send_keys("1.3375 doubled")
    jig.settle()
    assert jig.ask(SHOWN) == 1
    assert jig.ask("document.querySelectorAll('.marks button').length") == 1
    jig.click(".shown button")
    assert jig.ask(SHOWN) == 32


def test_keys_reach_everything(jig):
    """From the top: skip link, list by arrows, Enter, Escape back to where one was, markers by arrows, + and 0."""
    jig.press(Keys.TAB)
    assert "Skip" in jig.ask("document.activeElement.textContent")
    assert jig.ask("document.activeElement.getBoundingClientRect().top") >= 0, "it is seen"
    jig.ask("document.querySelector('.item').focus()")
    jig.press(Keys.ARROW_DOWN)
    jig.press(Keys.ENTER)
    assert abs(jig.ask(CENTRE_OF)[0] - 0.5) < 0.02
    assert jig.ask("document.activeElement.classList.contains('picked')"), "the focus stays in the list"
    assert "error 2, wrong-value" in jig.ask("document.querySelector('#status').textContent")
    jig.press("n")
    assert jig.ask("document.querySelector('.item.picked .mark').textContent") == "E3"
    jig.press(Keys.ESCAPE)
    assert jig.ask("document.activeElement.querySelector('.mark').textContent") == "E3"
    jig.ask("document.querySelector('.window').focus()")
    jig.press("0")
    whole = jig.ask(SPAN)
    jig.press("+")
    assert jig.ask(SPAN) < whole
    left = jig.ask("document.querySelector('svg').getAttribute('viewBox')")
    jig.press(Keys.ARROW_RIGHT)
    assert jig.ask("document.querySelector('svg').getAttribute('viewBox')") != left
    jig.press("0", Keys.TAB)
    assert jig.ask("document.activeElement.closest('.marks') !== null"), "one tab leads to the markers"
    name = jig.ask("document.activeElement.getAttribute('aria-label')")
    jig.press(Keys.ARROW_RIGHT)
    assert jig.ask("document.activeElement.getAttribute('aria-label')") != name
    jig.press(Keys.ENTER)
    assert not jig.ask("document.querySelector('.panel').hidden")
    assert jig.ask("document.activeElement.closest('.marks') !== null"), "the focus stays on the marker"
    assert jig.ask("getComputedStyle(document.activeElement).outlineStyle") == "solid", "and is seen"


def test_wheel_drag_and_pinch_move_the_picture(jig):
    """The wheel keeps what is under the pointer; a drag takes the picture along; two fingers zoom."""
    middle = jig.ask("(() => { const r = document.querySelector('.window').getBoundingClientRect();"
                     " return [r.left + r.width / 2, r.top + r.height / 2]; })()")  # fmt: skip
    x, y = map(round, middle)
    wheel = {"type": "mouseWheel", "x": x, "y": y, "deltaX": 0, "deltaY": -400}
    whole = jig.ask(SPAN)
    jig.driver.execute_cdp_cmd("Input.dispatchMouseEvent", wheel)
    jig.settle()
    near = jig.ask(SPAN)
    assert near < whole * 0.8
    before = jig.ask("document.querySelector('svg').viewBox.baseVal.x")
    for kind, dx in (("mousePressed", 0), ("mouseMoved", 30), ("mouseMoved", 80), ("mouseReleased", 80)):
        said = {"type": kind, "x": x + dx, "y": y + 200, "button": "left", "buttons": 1, "clickCount": 1}
        jig.driver.execute_cdp_cmd("Input.dispatchMouseEvent", said)
    jig.settle()
    wide = jig.ask("document.querySelector('.window').clientWidth")
    moved = before - jig.ask("document.querySelector('svg').viewBox.baseVal.x")
    assert moved == pytest.approx(80 * near / wide, rel=0.05)
    for kind, apart in (("touchStart", 30), ("touchMove", 60), ("touchMove", 120), ("touchEnd", None)):
        points = [] if apart is None else [{"x": x - apart, "y": y, "id": 0}, {"x": x + apart, "y": y, "id": 1}]
        jig.driver.execute_cdp_cmd("Input.dispatchTouchEvent", {"type": kind, "touchPoints": points})
    jig.settle()
    assert jig.ask(SPAN) == pytest.approx(near / 4, rel=0.1)


def test_the_as_read_part_is_magnified(jig):
    """point = drawn + k × (as read − drawn): a hole that is read 0.18 to the left moves by k times that."""
    jig.click(".lay")
    assert jig.text(".times").startswith("× ")

    def first_circles(power: int) -> list[float]:
        jig.ask(f"(() => {{ const p = document.querySelector('.power'); p.value = {power};"
                " p.dispatchEvent(new Event('input', {bubbles: true})); })()")  # fmt: skip
        d = jig.ask("document.querySelector('.lay-over .reads').getAttribute('d')")
        return [float(x) + float(r) for x, r in re.findall(r"M([-\d.e]+) [-\d.e]+a([\d.]+)", d)]

    one, ten, thousand = first_circles(0), first_circles(100), first_circles(300)
    assert jig.text(".times") == "× 1000"
    drawn = {round(a - (b - a) / 9, 6) for a, b in zip(one, ten, strict=True)}
    circles = {round(float(e.dxf.center.x), 6) for e in ezdxf.readfile(JIG).modelspace().query("CIRCLE")}
    left = jig.ask("document.querySelector('svg > g').transform.baseVal[0].matrix.e")
    assert len(drawn) > 3
    offsets = {round(x - min(drawn), 3) for x in drawn}
    assert offsets <= {round(x - min(circles), 3) for x in circles}, left
    for a, b, c in zip(one, ten, thousand, strict=True):
        assert c - a == pytest.approx(111 * (b - a), abs=1e-3)
    jig.click(".lay")
    assert jig.ask("document.querySelectorAll('.lay-over path').length") == 0


def test_the_rule_is_explained_inside_the_page(jig):
    """The panel has the rule's own words; its link opens the whole page of the rule, and one comes back."""
    jig.click(".item[data-f='0']")
    jig.click(".panel details:nth-of-type(2) summary")
    assert "The machinist cuts to the number" in jig.text(".panel")
    jig.click(".panel a[href='#rule-wrong-value']")
    assert jig.ask("document.querySelector('#rule-wrong-value').open")
    assert "Half a unit in the last place" in jig.text("#rule-wrong-value")
    jig.click("#rule-wrong-value .return")
    assert jig.ask("document.activeElement.closest('.panel') !== null")


def test_paper_light_and_dark(jig):
    """The page follows the device; the switch outranks it; text stands out from the paper on both (WCAG 2.2, 1.4.3)."""
    paper = "getComputedStyle(document.querySelector('.window')).backgroundColor"
    light = jig.ask(paper)
    jig.media(prefers_color_scheme="dark")
    assert jig.ask(paper) != light
    ratio = """(() => {
      const at = (e, what) => getComputedStyle(e)[what].match(/[\\d.]+/g).slice(0, 3).map((v) => v / 255)
        .map((v) => v <= 0.04045 ? v / 12.92 : ((v + 0.055) / 1.055) ** 2.4);
      const lum = ([r, g, b]) => 0.2126 * r + 0.7152 * g + 0.0722 * b;
      const clear = (e) => getComputedStyle(e).backgroundColor === 'rgba(0, 0, 0, 0)';
      const behind = (e) => { while (clear(e)) e = e.parentElement; return e; };
      const ratio = (e) => { const [a, b] = [lum(at(e, 'color')), lum(at(behind(e), 'backgroundColor'))].sort();
        return (b + 0.05) / (a + 0.05); };
      const texts = '.item .said, .item .where, .fine, .caution, .tally, a, .legend, .line';
      return Math.min(...[...document.querySelectorAll(texts)]
        .filter((e) => e.offsetParent).map(ratio));
    })()"""  # fmt: skip
    assert jig.ask(ratio) >= 4.5
    jig.ask("(() => { const s = document.querySelector('#look'); s.value = 'light';"
            " s.dispatchEvent(new Event('change')); })()")  # fmt: skip
    assert jig.ask(paper) == light
    assert jig.ask(ratio) >= 4.5


def test_it_prints_whole(jig):
    """On paper the list has every finding with what to do, the picture is whole, and the tools stay away."""
    jig.click(".item[data-f='0']")
    pdf = jig.pdf()
    assert pdf.startswith(b"%PDF")
    assert len(re.findall(rb"/Type\s*/Page\b", pdf)) >= 2
    jig.ask("window.dispatchEvent(new Event('beforeprint'))")
    jig.media(media="print")
    w, h = jig.ask("[document.querySelector('.window').clientWidth, document.querySelector('.window').clientHeight]")
    box = jig.ask("(() => { const b = document.querySelector('svg').viewBox.baseVal; return [b.width, b.height]; })()")
    assert w / h == pytest.approx(box[0] / box[1], rel=0.02)
    assert box[0] > 20, "the whole sheet"
    assert jig.ask("[...document.querySelectorAll('.more')].every((e) => e.offsetParent)")
    assert not jig.ask("document.querySelector('.tools').offsetParent")
    jig.media(media="screen")
    jig.ask("window.dispatchEvent(new Event('afterprint'))")
    jig.settle()
    assert jig.ask(SPAN) < 20, "and then it is as it was"


def test_each_of_several_drawings_is_printed_with_the_caution(browser, tmp_path):
    """The sheets of one drawing are handed on without the others'; on the screen the caution stands once above all."""
    page = browser.size(1280, 900).open(report(tmp_path / "two.html", JIG, SHEET))
    seen = "[...document.querySelectorAll('.drawing .caution')].filter((c) => c.offsetParent).length"
    assert page.ask(seen) == 0
    page.media(media="print")
    assert page.ask(seen) == 2
    page.media(media="screen")


def test_it_fits_a_phone(jig):
    """At 360 pixels nothing runs off the side, even with everything opened, and a tap shows picture and words."""
    jig.size(360, 740)
    jig.settle()
    jig.ask("document.querySelectorAll('details').forEach((d) => { d.open = true; })")
    jig.click(".item[data-f='9']")
    assert jig.ask("document.documentElement.scrollWidth") <= 360
    top = "document.querySelector('{}').getBoundingClientRect().top"
    assert -1 <= jig.ask(top.format(".board")) < 200, "the picture is in sight"
    assert jig.ask(top.format(".panel")) < 740, "and the panel begins beneath it"
    for target in ("[data-do=closer]", ".panel .go button"):
        assert jig.ask(f"document.querySelector('{target}').getBoundingClientRect().height") >= 24, "WCAG 2.2, 2.5.8"


def test_layouts_have_a_picture_each(browser, tmp_path):
    """A sheet in paper space has its own picture; a finding there turns to it."""
    doc = ezdxf.new("R2010")
    doc.units = 4
    for space in (doc.modelspace(), doc.layout("Layout1")):
        space.add_lwpolyline([(0, 0), (80, 0), (80, 50), (0, 50)], close=True)
        space.add_linear_dim(base=(0, -10), p1=(0, 0), p2=(80, 0), text="81", override={"dimlfac": 1.0}).render()
    doc.saveas(tmp_path / "pad.dxf")
    page = browser.size(1280, 900).open(report(tmp_path / "pad.html", tmp_path / "pad.dxf"))
    assert page.ask("[...document.querySelectorAll('.layouts option')].map((o) => o.textContent)") == [
        "Model", "Layout1"
    ]  # fmt: skip
    there = page.ask("[...document.querySelectorAll('.item')].findIndex((i) => i.textContent.includes('Layout1'))")
    page.driver.find_elements("css selector", ".item")[there].click()
    page.settle()
    assert page.ask("document.querySelector('.layouts').value") == "1"
    assert page.ask("document.querySelectorAll('.sheet:not([hidden])').length") == 1
    assert abs(page.ask(CENTRE_OF)[0] - 0.5) < 0.02
    assert page.logs() == []


def test_several_drawings_have_an_index(browser, tmp_path):
    """Totals, a link to each drawing, one drawing at a time, and a file that was not read with its reason."""
    bad = tmp_path / "bad.dxf"
    bad.write_text("no drawing")
    page_file = tmp_path / "all.html"
    done = CliRunner().invoke(cli, ["check", str(JIG), str(bad), str(SHEET), "--format", "html", "--output",
                                    str(page_file)])  # fmt: skip
    assert done.exit_code == 2
    page = browser.size(1280, 900).open(page_file)
    assert "could not be read" in page.text("#index .unread")
    total = page.text("#index tfoot").split()
    rows = [row.split() for row in page.text("#index tbody").splitlines() if "samples" in row]
    assert [int(v) for v in total[1:4]] == [sum(int(row[k]) for row in rows) for k in (1, 2, 3)]
    assert not page.ask("[...document.querySelectorAll('.drawing')].some((d) => d.offsetParent)")
    page.click("#index a[href='#drawing-3']")
    assert page.ask("[...document.querySelectorAll('.drawing')].filter((d) => d.offsetParent).length") == 1
    assert page.ask("document.activeElement.id") == "name-3"
    page.click("#drawing-3 .back a")
    assert page.ask("document.querySelector('#index').offsetParent !== null")
    page.open(page_file, "#drawing-1/E2")
    assert page.ask("document.querySelector('.item.picked .mark').textContent") == "E2"
    assert page.logs() == []
    assert {a.partition("#")[0] for a in page.requests()} <= {page_file.as_uri()}


def test_a_small_part_in_a_wide_drawing_is_still_seen(browser, tmp_path):
    """A stray point far away makes the whole a speck; an opened finding fills a good part of the window."""
    doc = ezdxf.new("R2010")
    doc.units = 1
    space = doc.modelspace()
    space.add_lwpolyline([(0, 0), (6, 0), (6, 4), (0, 4)], close=True)
    space.add_linear_dim(base=(0, -1), p1=(0, 0), p2=(6, 0), text="7.000", override={"dimlfac": 1.0}).render()
    space.add_circle((9000, 5000), 1)
    doc.saveas(tmp_path / "pad.dxf")
    page = browser.size(1280, 900).open(report(tmp_path / "pad.html", tmp_path / "pad.dxf"))
    assert page.ask(SPAN) > 9000
    page.click(".item[data-f='0']")
    assert 6 < page.ask(SPAN) < 60


HOSTILE = "<img src=x onerror=alert(1)></script><script>document.title='hit'</script>&amp;\"'`"


@pytest.mark.parametrize("width", [1280, 360])
def test_no_marker_is_cut_off_by_the_window(browser, tmp_path, width):
    """Findings in every corner, and one far above all: each marker is whole, its stem over its place."""
    doc = ezdxf.new("R2010")
    doc.units = 4
    space = doc.modelspace()
    for x, y in ((0, 0), (400, 0), (0, 600), (400, 600)):
        space.add_lwpolyline([(x, y), (x + 20, y), (x + 20, y + 20), (x, y + 20)], close=True)
        space.add_linear_dim(base=(x, y - 5), p1=(x, y), p2=(x + 20, y), text="25", override={"dimlfac": 1.0}).render()
    doc.saveas(tmp_path / "corners.dxf")
    page = browser.size(width, 900).open(report(tmp_path / "corners.html", tmp_path / "corners.dxf"))
    marks = page.ask("""[...document.querySelectorAll('.marks button')].map((b) => {
        const r = b.getBoundingClientRect(), w = b.closest('.window').getBoundingClientRect();
        const stem = parseFloat(getComputedStyle(b, '::after').left) + 1 + r.left;
        return [r.left - w.left, w.right - r.right, r.top - w.top, stem - w.left - b.group.px];
    })""")
    assert len(marks) >= 4
    assert all(room >= -0.5 for mark in marks for room in mark[:3]), marks
    assert all(abs(mark[3]) < 4 for mark in marks), marks


def test_hostile_text_is_text(browser, tmp_path):
    """Markup in a layer name, in texts, in a dimension and in the file's name is shown as it is written."""
    doc = ezdxf.new("R2010")
    doc.units = 1
    space = doc.modelspace()
    layer = "PLATE' &lt &amp {{7-7}}"  # what a layer's name may hold: DXF forbids < and >
    doc.layers.add(layer)
    space.add_lwpolyline([(0, 0), (6, 0), (6, 4), (0, 4)], close=True)
    space.add_linear_dim(base=(0, -1), p1=(0, 0), p2=(6, 0), text=f"7.000 {HOSTILE}",
                         override={"dimlfac": 1.0}, dxfattribs={"layer": layer}).render()  # fmt: skip
    space.add_linear_dim(base=(-1, 0), p1=(0, 0), p2=(0, 4), angle=90, text="4.5", override={"dimlfac": 1.0},
                         dxfattribs={"layer": layer}).render()  # fmt: skip
    space.add_text(f"SIZE 4.25 {HOSTILE}", height=0.2).set_placement((1, 5))
    file = tmp_path / "<b>&'pad'<script>1<!--.dxf"
    doc.saveas(file)
    page = browser.size(1280, 900).open(report(tmp_path / "pad.html", file))
    assert page.text("h1") == file.name
    assert page.ask("document.title") == f"{file.name}: dimension audit"
    assert page.ask("document.querySelectorAll('img, b').length") == 0
    assert page.ask("document.querySelectorAll('script:not(.data)').length") == 1
    assert page.ask("document.querySelectorAll('[onclick], [onerror]').length") == 0
    words = page.ask("document.querySelector('main').textContent")
    assert HOSTILE in words
    page.ask("[...document.querySelectorAll('.item')].find((i) => i.textContent.includes('4.5')).click()")
    page.settle()
    assert f"layer {layer}" in page.text(".panel")
    assert page.logs() == []


def test_names_and_landmarks(jig):
    """One h1, headings without gaps, every control with a name, every id once, main, caution and alternative text."""
    assert jig.ask("document.querySelectorAll('h1').length") == 1
    levels = jig.ask("[...document.querySelectorAll('h1,h2,h3,h4,h5')].map((h) => Number(h.tagName[1]))")
    assert all(b <= a + 1 for a, b in pairwise(levels)), levels
    assert jig.ask("""[...document.querySelectorAll('button, input, select, [role=img], [role=group]')].filter((e) =>
        !(e.getAttribute('aria-label') || e.textContent.trim() || (e.labels && e.labels.length))).length""") == 0
    ids = jig.ask("[...document.querySelectorAll('[id]')].map((e) => e.id)")
    assert len(ids) == len(set(ids))
    assert jig.ask("document.querySelectorAll('main, header.masthead, footer').length") == 3
    assert "Picture of Model" in jig.ask("document.querySelector('svg[role=img]').getAttribute('aria-label')")
    assert jig.text(".masthead .caution").replace("\n", " ") == f"Caution. {CAUTION}"
    assert jig.ask("document.documentElement.lang") == "en"


def test_what_was_not_judged_leads_to_the_picture(jig):
    """A dimension that was not judged is listed with its reason, and its button goes to it."""
    assert "more than one decimal point" in jig.text(".below")
    jig.ask("document.querySelector('.spot[data-h=\"1A5\"]').click()")
    jig.settle()
    assert jig.ask("[...document.querySelectorAll('svg .picked')].map((g) => g.dataset.h)") == ["1A5"]
    assert "unreadable" in jig.text(".panel h3")


def test_five_thousand_dimensions_do_not_freeze_it(browser, tmp_path):
    """Opened within 3 seconds; a click or a filter is done at once: processor's time, the best of three."""
    make_plates(tmp_path / "plates.dxf", 1000)
    file = report(tmp_path / "plates.html", tmp_path / "plates.dxf")
    page = browser.size(1280, 900)
    start = page.seconds()
    page.open(file)
    assert page.seconds() - start < 3
    assert page.ask("document.querySelectorAll('.item').length") > 4000
    assert 0 < page.ask("document.querySelectorAll('.marks button').length") <= 100, "markers stand together"
    items = "document.querySelectorAll('.item')"
    sift = "(() => {{ const e = document.querySelector('[name=words]'); e.value = '{}'; {}"
    event = "e.dispatchEvent(new Event('input', {bubbles: true})); })()"
    took: dict[str, list[float]] = {}
    for _ in range(3):
        for name, script in (
            ("a click, from the whole picture", f"{items}[1].click()"),
            ("a click", f"{items}[9].click()"),
            ("a click far down", f"{items}[4000].click()"),
            ("words", sift.format("375", event)),
            ("other words", sift.format("plate", event)),
            ("no words", sift.format("", event)),
        ):
            before = page.seconds()
            page.ask(script)
            page.settle()
            took.setdefault(name, []).append(page.seconds() - before)
        page.press("0")
    assert {name: times for name, times in took.items() if min(times) > SOON} == {}
    assert page.logs() == []
