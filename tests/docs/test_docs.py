"""The pages say what the code does: examples run, links lead somewhere, figures are those in force, recipes work."""

import doctest
import importlib.util
import os
import re
import shutil
import subprocess
import sys
import tomllib
from dataclasses import fields
from fractions import Fraction
from pathlib import Path

import pytest

from dimaudit.cli import check, group
from dimaudit.config.keys import default_words
from dimaudit.exact.number import Rounding
from dimaudit.exact.recover import ANGLE_GRIDS, INCH_GRIDS, LEAST_STEPS, METRIC_GRIDS
from dimaudit.judge.registry import RULES
from dimaudit.model import settings
from dimaudit.model.attached import Link
from dimaudit.model.audit import JUDGED, Verdict
from dimaudit.model.drawing import Kind
from dimaudit.read.dimension import CONSTRAINT_LAYER
from dimaudit.read.entities import ANNOTATION, READERS
from dimaudit.read.space import DIMENSIONS, MOST_INSERTS
from dimaudit.read.style import MOST_TERMS
from dimaudit.rebuild.views import MOST_TO_CUT
from dimaudit.report.schemas import SCHEMAS, schema

ROOT = Path(__file__).parents[2]
DOCS = ROOT / "docs"
PAGES = [ROOT / "README.md", ROOT / "DEVELOPERS.md", *sorted(DOCS.rglob("*.md"))]
PROJECT = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))
FENCE = re.compile(r"^```([^\n]*)\n(.*?)^```$", re.MULTILINE | re.DOTALL)


def text(name: str) -> str:
    return (ROOT / name).read_text(encoding="utf-8")


def label(path: Path) -> str:
    return path.relative_to(ROOT).as_posix()


def section(page: str, title: str) -> str:
    """What stands beneath a heading of the second level; a heading inside a block is none."""
    body = text(page)
    blocks = [m.span() for m in FENCE.finditer(body)]
    heads = [
        m for m in re.finditer(r"^## (.+)$", body, re.MULTILINE) if not any(a < m.start() < b for a, b in blocks)
    ]
    (k,) = [k for k, m in enumerate(heads) if m[1] == title]
    return body[heads[k].end() : heads[k + 1].start() if k + 1 < len(heads) else None]


def rows(body: str) -> list[list[str]]:
    """The cells of the tables in a text, headings left out."""
    lines = [line for line in body.splitlines() if line.startswith("|")]
    heads = {k - 1 for k, line in enumerate(lines) if set(line) <= set("|-")}
    cells = [[c.strip() for c in line.strip("|").split(" | ")] for line in lines]
    return [row for k, row in enumerate(cells) if k not in heads and not set("".join(row)) <= set("|-")]


# --- examples ------------------------------------------------------------------------------------

EXAMPLES = [page for page in PAGES if ">>>" in page.read_text(encoding="utf-8")]


def test_there_are_examples():
    """The page about numbers teaches by examples."""
    assert DOCS / "numbers.md" in EXAMPLES


@pytest.mark.parametrize("page", EXAMPLES, ids=label)
def test_examples_run(page):
    """The examples of a page run from top to bottom and give what the page says."""
    blocks = [code for info, code in FENCE.findall(page.read_text(encoding="utf-8")) if info == "pycon"]
    assert ">>>" not in FENCE.sub("", page.read_text(encoding="utf-8")), "an example outside a pycon block"
    test = doctest.DocTestParser().get_doctest("\n".join(blocks), {}, label(page), None, 0)
    said: list[str] = []
    result = doctest.DocTestRunner(verbose=False).run(test, out=said.append)
    assert result.attempted > 0
    assert result.failed == 0, "".join(said)


# --- links ---------------------------------------------------------------------------------------


def anchors(page: Path) -> set[str]:
    """The anchors of a page's headings, as hosting sites make them."""
    body = FENCE.sub("", page.read_text(encoding="utf-8"))
    titles = re.findall(r"^#+ (.+)$", body, re.MULTILINE)
    return {re.sub(r"[^\w\- ]", "", title.lower()).strip().replace(" ", "-") for title in titles}


@pytest.mark.parametrize("page", PAGES, ids=label)
def test_links_lead_somewhere(page):
    """Each relative link leads to a file, and to a heading where it names one."""
    body = FENCE.sub("", page.read_text(encoding="utf-8"))
    for target in re.findall(r"\]\(([^)\s]+)\)", body):
        if re.match(r"[a-z]+:", target):
            continue
        name, _, anchor = target.partition("#")
        file = (page.parent / name).resolve() if name else page
        assert file.exists(), f"{label(page)}: {target}"
        if anchor:
            assert anchor in anchors(file), f"{label(page)}: {target}"


def test_the_index_lists_every_page():
    """docs/README.md leads to each page of its folder, and to the rules."""
    linked = set(re.findall(r"\]\(([^)#]+)\)", text("docs/README.md")))
    wanted = {p.name for p in DOCS.glob("*.md")} - {"README.md"} | {"rules/README.md"}
    assert wanted <= linked


# --- numbers -------------------------------------------------------------------------------------


def test_the_settings_are_the_defaults_in_force():
    """The table of settings holds the defaults of the code, in inches and in millimetres."""
    d = settings.Settings()

    def both(q: Fraction) -> tuple[str, str]:
        return str(q), str(q)

    in_force = {
        "snap": (str(settings.SNAP[True]), str(settings.SNAP[False])),
        "near": (str(settings.NEAR[True]), str(settings.NEAR[False])),
        "gap": (str(settings.GAP[True]), str(settings.GAP[False])),
        "nearly level": both(d.nearly_level),
        "eaten share": both(d.eaten_share),
        "finest noise": both(settings.FINEST_NOISE),
        "coarsest noise": both(settings.COARSEST_NOISE),
        "rounding": (str(d.rounding), str(d.rounding)),
    }
    table = {row[0]: (row[2], row[3]) for row in rows(section("docs/numbers.md", "Settings"))}
    assert table == in_force
    assert all(row[4] for row in rows(section("docs/numbers.md", "Settings"))), "each default has its reason"


def test_the_settings_name_options_that_exist():
    """The options in the table of settings are those of the command, and each setting of a length has one."""
    options = {opt for p in check.check.params for opt in p.opts}
    named = {row[1].strip("`") for row in rows(section("docs/numbers.md", "Settings"))} - {"none"}
    assert named <= options
    names = {f.name for f in fields(settings.Lengths)}
    assert {f"--{name}" for name in names} <= named


def test_the_verdicts_are_all_there():
    """The table of verdicts holds every verdict, and whether it counts as judged."""
    table = {row[0]: row[2] for row in rows(section("docs/numbers.md", "Verdicts"))}
    assert table == {str(v): "yes" if v in JUDGED else "no" for v in Verdict}


def test_the_rounding_rules_are_all_there():
    """The table of rounding rules holds every rule, the default marked."""
    table = [row[0] for row in rows(section("docs/numbers.md", "Rounding"))]
    default = settings.Settings().rounding
    assert table == [f"`{rule}`" + (" (default)" if rule is default else "") for rule in Rounding]


def test_the_grids_are_those_in_force():
    """The page lists as many grids as the code has, and the share of noise at which they are trusted."""
    table = {row[0]: row[1].split(", ") for row in rows(section("docs/numbers.md", "Recovering"))}
    assert {name: len(grids) for name, grids in table.items()} == {
        "inch": len(INCH_GRIDS), "millimetre": len(METRIC_GRIDS), "angles": len(ANGLE_GRIDS)
    }  # fmt: skip
    for grid, name in zip((*INCH_GRIDS, *METRIC_GRIDS), (*table["inch"], *table["millimetre"]), strict=True):
        number, _, unit = name.partition(" ")
        step = Fraction(1, 10 ** int(number)) if unit.startswith("decimal") else Fraction(number)
        if name in table["inch"] and unit == "mm":
            step /= Fraction("25.4")
        if name in table["millimetre"] and unit == "in":
            step *= Fraction("25.4")
        assert grid.step == step, name
    assert f"at least {LEAST_STEPS} times the noise" in section("docs/numbers.md", "Recovering").replace("\n", " ")


# --- exit status ---------------------------------------------------------------------------------


def test_the_exit_statuses_are_those_of_the_command():
    """The table of exit statuses holds the numbers of cli/group.py, in the order in which they outrank one another."""
    table = {row[1].strip("`"): int(row[0]) for row in rows(text("docs/exit-status.md"))}
    assert table == {name: getattr(group, name) for name in ("OUR_FAULT", "UNUSABLE", "FINDINGS", "CLEAN")}
    assert list(table.values()) == sorted(table.values(), reverse=True)


def test_the_failing_levels_are_those_of_the_option():
    """The page names each word that --fail-on takes, and the default."""
    (option,) = [p for p in check.check.params if p.name == "fail_on"]
    (line,) = [line for line in text("docs/exit-status.md").splitlines() if line.startswith("- `--fail-on` sets")]
    assert re.findall(r"`(\w+)`", line) == list(option.type.choices)
    assert f"`{default_words('fail-on')}` (default)" in line


# --- reading and views ---------------------------------------------------------------------------


def test_each_entity_type_that_is_read_is_on_the_page():
    """The table of entities names every type that has a reader, and every type of dimension entity but an alias."""
    table = "\n".join(row[0] for row in rows(section("docs/reading.md", "Entities")))
    aliases = {"RADIAL_DIMENSION_LARGE"}
    for name in {*READERS, *DIMENSIONS, "INSERT", "TEXT", "MTEXT"} - aliases:
        assert re.search(rf"\b{name}\b", table), name
    assert not ANNOTATION & {*re.findall(r"[A-Z]{4,}", table)} - {"ATTRIB", "TEXT", "MTEXT"}


def test_the_figures_of_reading_are_those_in_force():
    """The bounds that the page names are those of the code."""
    page = text("docs/reading.md").replace("\n", " ")
    assert f"More than {MOST_INSERTS:,} block references".replace(",", " ") in page
    assert f"denominator up to {MOST_TERMS}" in page
    assert f"`{CONSTRAINT_LAYER}`" in page


def test_the_figures_of_views_are_those_in_force():
    """The bounds that the page names are those of the code, and the links are the code's links."""
    page = text("docs/views.md").replace("\n", " ")
    assert f"up to {MOST_TO_CUT:,} shapes".replace(",", " ") in page
    links = [row[0] for row in rows(section("docs/views.md", "How an end finds its feature"))]
    assert links == [str(link) for link in Link]


# --- JSON ----------------------------------------------------------------------------------------


def excerpt_module():
    spec = importlib.util.spec_from_file_location("docs_excerpt", Path(__file__).parent / "excerpt.py")
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


def test_the_excerpt_is_real_output():
    """The excerpt of the page is what the tool gives today; `python tests/docs/excerpt.py --write` renews it."""
    module = excerpt_module()
    (shown,) = [code for info, code in FENCE.findall(text("docs/json.md")) if info == "json"]
    assert shown == module.excerpt()


def named_fields(node: object) -> set[str]:
    """The names of all fields of a JSON Schema."""
    found: set[str] = set()
    if isinstance(node, dict):
        found |= set(node.get("properties", ()))
        for value in node.values():
            found |= named_fields(value)
    elif isinstance(node, list):
        for value in node:
            found |= named_fields(value)
    return found


@pytest.mark.parametrize("command", SCHEMAS)
def test_each_field_of_the_reports_is_on_the_page(command):
    """Every field of the schemas is described, and each format is called by its name."""
    page = FENCE.sub("", text("docs/json.md"))
    assert f"`{SCHEMAS[command]}`" in page
    assert sorted(name for name in named_fields(schema(command)) if f"`{name}`" not in page) == []
    assert all(str(kind) in page for kind in Kind)


# --- sources -------------------------------------------------------------------------------------


def test_each_standard_that_is_cited_is_among_the_sources():
    """Every standard and author that the code or a page cites is in the list of sources."""
    listed = text("docs/sources.md")
    files = [*(ROOT / "dimaudit").rglob("*.py"), *PAGES]
    names = r"ASME [A-Z]+\d+(?:\.\d+)?|NIST SP \d+|Olmsted|Johansson|Tarjan"
    cited = re.compile(rf"\b(?:ISO \d+(?:-\d+)?|ASTM [A-Z]\d+|{names})\b")
    found = {name for file in files for name in cited.findall(file.read_text(encoding="utf-8"))}
    assert len(found) > 10
    assert sorted(name for name in found if name not in listed) == []


# --- dependencies and rooms ----------------------------------------------------------------------


def packages(requirements: list[str]) -> list[str]:
    return [re.match(r"[\w\-]+", r).group() for r in requirements]


REQUIRED = packages(PROJECT["project"]["dependencies"])
EXTRA = packages(PROJECT["project"]["optional-dependencies"]["test"])


def test_each_dependency_has_its_reason():
    """Each package that pyproject asks for, and no other, has a row with its reason."""
    table = {row[0]: row[1] for row in rows(section("docs/decisions.md", "Dependencies"))}
    assert sorted(table) == sorted({*REQUIRED, *EXTRA})
    assert all(table.values())
    assert all(name in text("docs/decisions.md") for name in packages(PROJECT["build-system"]["requires"]))


@pytest.mark.parametrize("name", [*REQUIRED, *EXTRA])
def test_what_nothing_imports_is_called_announced(name):
    """A package that no Python file imports is said to be announced, and only such a one is."""
    renamed = {"python-flint": "flint", "resvg-py": "resvg_py", "markdown-it-py": "markdown_it"}
    run_or_imported_by_others = {"import-linter": "", "pre-commit": "", "mypy": "", "ruff": "", "pillow": ""}
    module = (renamed | run_or_imported_by_others).get(name, name)
    folders = ("dimaudit",) if name in REQUIRED else ("dimaudit", "tests", "samples")
    pattern = re.compile(rf"^\s*(?:import|from) {module}\b", re.MULTILINE)
    used = not module or any(
        pattern.search(p.read_text(encoding="utf-8")) for folder in folders for p in (ROOT / folder).rglob("*.py")
    )
    (reason,) = [row[1] for row in rows(section("docs/decisions.md", "Dependencies")) if row[0] == name]
    assert ("announced" in reason) is not used


def test_each_room_is_on_the_map():
    """Every sub-package, and every module beside them, is named in DEVELOPERS.md."""
    package = ROOT / "dimaudit"
    table = "\n".join(row[0] for row in rows(section("DEVELOPERS.md", "The rooms")))
    rooms = {p.parent.name for p in package.glob("*/__init__.py")}
    assert rooms == set(re.findall(r"`dimaudit/(\w+)/`", table))
    modules = {p.name for p in package.glob("*.py")} - {"__init__.py", "__main__.py"}
    assert modules == set(re.findall(r"`dimaudit/(\w+\.py)`", table))


def test_the_map_states_the_import_contract():
    """The order of imports in DEVELOPERS.md is that of the contract in pyproject."""
    (layers,) = [c["layers"] for c in PROJECT["tool"]["importlinter"]["contracts"] if c["type"] == "layers"]
    rooms = [name.split(".")[1] for layer in layers for name in layer.split(" | ")]
    table = re.findall(r"`dimaudit/(\w+)", section("DEVELOPERS.md", "The rooms"))
    assert table == rooms


def test_each_folder_of_tests_is_on_the_page():
    """Every folder of tests that holds tests is named in DEVELOPERS.md."""
    page = section("DEVELOPERS.md", "Tests")
    for folder in {p.parent.name for p in (ROOT / "tests").glob("*/test_*.py")}:
        assert f"`tests/{folder}/`" in page, folder


def test_the_set_up_is_the_commands_that_the_readme_gives():
    """DEVELOPERS.md gives the README's own command for the suite."""
    (command,) = [code for info, code in FENCE.findall(text("DEVELOPERS.md")) if info == "sh" and "venv" in code]
    assert command in text("README.md")


@pytest.mark.parametrize("tool", ["ruff check .", "mypy", "lint-imports"])
def test_the_parts_of_the_gate_are_on_the_page(tool):
    """Each tool that the gate runs has its row."""
    assert tool.split()[0] in text(".ci/run")
    assert f"`{tool}`" in section("DEVELOPERS.md", "The gate")


# --- shell completion ----------------------------------------------------------------------------


@pytest.mark.parametrize("shell", ["bash", "zsh", "fish"])
def test_completion_scripts_come_out(shell):
    """The variable that the page names makes the program print a script for the shell."""
    assert f"_DIMAUDIT_COMPLETE={shell}_source dimaudit" in text("docs/shell-completion.md")
    call = "import sys; sys.argv[0] = 'dimaudit'; from dimaudit.cli import main; main()"
    done = subprocess.run(
        [sys.executable, "-c", call],
        env={**os.environ, "_DIMAUDIT_COMPLETE": f"{shell}_source"}, capture_output=True, text=True, check=False,
    )  # fmt: skip
    if shell == "bash" and "_dimaudit_completion" not in done.stdout:
        pytest.skip("the shell is not here to ask for its version")
    assert "_dimaudit_completion" in done.stdout


# --- recipes -------------------------------------------------------------------------------------


def recipe(title: str) -> list[tuple[list[str], str]]:
    """The blocks of a recipe that name a file: kind, file and how, with the text."""
    blocks = FENCE.findall(section("docs/adding.md", title))
    found = [(info.split(), code) for info, code in blocks if len(info.split()) > 1]
    assert found, "a recipe has blocks"
    return found


def carry_out(title: str, to: Path) -> None:
    """Carries a recipe out on a copy of the project."""
    for name in ("dimaudit", "tests/rules", "tests/read", "docs", "samples"):
        shutil.copytree(ROOT / name, to / name, ignore=shutil.ignore_patterns("__pycache__"))
    shutil.copy(ROOT / "pyproject.toml", to)
    for name in ("tests/reporting.py", "tests/resaved.py", "tests/strategies.py"):
        shutil.copy(ROOT / name, to)
    for (kind, name, *how), code in recipe(title):
        file = to / name
        if kind == "diff":
            lines = code.splitlines()
            before = "\n".join(line[1:] for line in lines if line[0] in " -") + "\n"
            after = "\n".join(line[1:] for line in lines if line[0] in " +") + "\n"
            now = file.read_text(encoding="utf-8")
            assert now.count(before) == 1, f"docs/adding.md: {name} no longer holds what the recipe changes:\n{before}"
            file.write_text(now.replace(before, after), encoding="utf-8")
        elif how == ["append"]:
            file.write_text(file.read_text(encoding="utf-8") + "\n\n" + code, encoding="utf-8")
        else:
            assert not file.exists(), f"docs/adding.md: {name} is no longer new"
            file.write_text(code, encoding="utf-8")


def python(folder: Path, *arguments: str) -> str:
    """Runs Python on the copy; gives what it printed."""
    done = subprocess.run(
        [sys.executable, *arguments], cwd=folder, capture_output=True, text=True, check=False,
        env={**os.environ, "PYTHONPATH": str(folder), "PYTHONDONTWRITEBYTECODE": "1"},
    )  # fmt: skip
    assert done.returncode == 0, done.stdout + done.stderr
    return done.stdout


def test_a_rule_is_added_as_the_recipe_says(tmp_path):
    """With the recipe carried out, the new rule is listed, its situations hold and its page passes."""
    carry_out("A rule", tmp_path)
    assert "no-text" in python(tmp_path, "-m", "dimaudit", "rules")
    options = ("-p", "no:cacheprovider", "-k", "no_text or registry or every_link or without_a_rule")
    said = python(tmp_path, "-m", "pytest", "tests/rules", *options)
    assert re.search(r"\b\d+ passed", said)
    assert "no-text" not in {rule.name for rule in RULES}


def test_a_format_is_added_as_the_recipe_says(tmp_path):
    """With the recipe carried out, the new format stands in the table and writes a line for each finding."""
    carry_out("A report format", tmp_path)
    code = (
        "from pathlib import Path\n"
        "from reporting import report_of\n"
        "from dimaudit.model.settings import Settings\n"
        "from dimaudit.pipeline import audit_file\n"
        "jig = Path('samples/cleat-drill-jig.dxf')\n"
        "audit, _ = audit_file(jig, Settings())\n"
        "text = report_of([jig, Path('pyproject.toml')], 'tabs')\n"
        "lines = text.splitlines()\n"
        "print(len(lines) - 2 - len(audit.findings), {line.count(chr(9)) for line in lines})\n"
        "print(text)\n"
    )
    said = python(tmp_path, "-c", code)
    assert said.startswith("0 {4}\ndrawing\tlevel\t")
    assert "\tunread\t" in said


def test_an_entity_type_is_added_as_the_recipe_says(tmp_path):
    """With the recipe carried out, a face is read as its four edges, and a dimension stands on it."""
    carry_out("An entity type", tmp_path)
    code = (
        "import ezdxf\n"
        "from pathlib import Path\n"
        "from dimaudit.model.settings import Settings\n"
        "from dimaudit.pipeline import audit_file\n"
        "doc = ezdxf.new('R2010')\n"
        "space = doc.modelspace()\n"
        "space.add_3dface([(0, 0), (6, 0), (6, 4), (0, 4)])\n"
        "space.add_aligned_dim((0, 4), (6, 4), 1, dxfattribs={'layer': '0'}, dimstyle='Standard').render()\n"
        "doc.saveas('face.dxf')\n"
        "audit, broken = audit_file(Path('face.dxf'), Settings())\n"
        "(judgement,) = audit.judgements\n"
        "print(judgement.verdict, judgement.attached.link, len(judgement.attached.view.shapes), audit.losses, broken)\n"
    )
    assert python(tmp_path, "-c", code) == "exact on 4 () ()\n"
