"""The page of a comparison in a real browser: it asks for nothing, says nothing to the console, and fits a phone."""

from pathlib import Path

import pytest
from chromium import Page, chromium
from click.testing import CliRunner

from compare.revising import SAMPLES, revised
from compare.test_compare_command import hostile, typed_over
from dimaudit.cli import cli
from dimaudit.report.compared_svg import PALETTES
from dimaudit.report.svg import LEAST_CONTRAST, contrast

PLATE = SAMPLES / "winch-base-plate.dxf"


@pytest.fixture(scope="module")
def pages(tmp_path_factory: pytest.TempPathFactory) -> dict[str, Path]:
    folder = tmp_path_factory.mktemp("pages")
    made = {}
    for name, edit in (("plain", typed_over), ("hostile", hostile)):
        made[name] = folder / f"{name}.html"
        new = revised(PLATE, edit, folder)
        done = CliRunner().invoke(
            cli, ["compare", str(PLATE), str(new), "--format", "html", "--output", str(made[name])]
        )
        assert done.exit_code == 1, done.output
    return made


@pytest.fixture(scope="module")
def browser(tmp_path_factory: pytest.TempPathFactory) -> object:
    with chromium(tmp_path_factory.mktemp("profile")) as page:
        yield page


@pytest.mark.parametrize("look", ["light", "dark"])
@pytest.mark.parametrize("name", ["plain", "hostile"])
def test_it_is_quiet_and_whole(browser: Page, pages: dict[str, Path], name: str, look: str) -> None:
    """No request, no message, no script; every change has its number in the list, every mark is on the list."""
    browser.size(1280, 900).media(prefers_color_scheme=look)
    browser.open(pages[name])
    assert browser.logs() == []
    assert set(browser.requests()) <= {pages[name].as_uri()}
    assert browser.ask("document.scripts.length") == 0
    listed = browser.ask("[...document.querySelectorAll('.changes .number')].map((n) => n.textContent)")
    marked = browser.ask("[...document.querySelectorAll('.picture .mark text')].map((n) => n.textContent)")
    assert listed == [str(n) for n in range(1, len(listed) + 1)]
    assert marked
    assert set(marked) <= set(listed)
    dashes = browser.ask(
        "['old', 'new', 'same'].map((look) => getComputedStyle(document.querySelector(`.key .${look} .line`)))"
        ".map((s) => [s.stroke, s.strokeDasharray])"
    )
    assert len({stroke for stroke, _ in dashes}) == 3
    assert [dash != "none" for _, dash in dashes] == [True, False, False]


def test_it_fits_a_phone(browser: Page, pages: dict[str, Path]) -> None:
    """360 px wide, only the picture is scrolled sideways."""
    browser.size(360, 800).media(prefers_color_scheme="light")
    browser.open(pages["plain"])
    assert browser.ask("document.documentElement.scrollWidth") <= 360


def test_the_colours_stand_out_in_both_themes() -> None:
    """3:1 at least for graphics (WCAG 2.2, 1.4.11), 4.5:1 for what is also lettering (1.4.3)."""
    for palette in PALETTES.values():
        assert contrast(palette.same, palette.paper) >= LEAST_CONTRAST
        for colour in (palette.ink, palette.same, palette.old, palette.new, palette.danger):
            assert contrast(colour, palette.paper) >= 4.5
