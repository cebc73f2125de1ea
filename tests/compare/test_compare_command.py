"""`dimaudit compare` as its users call it: files and revisions, formats, exit status."""

import json
import shutil
import subprocess
from fractions import Fraction
from pathlib import Path

import ezdxf
import pytest
from click.testing import CliRunner, Result
from jsonschema import Draft202012Validator

from compare.revising import SAMPLES, entity, revised, shift
from dimaudit.cli import cli
from dimaudit.errors import AuditError, UnreadableFile, UsageError
from dimaudit.model.compared import Sort
from dimaudit.report.interface import CAUTION
from dimaudit.report.schemas import schema

PLATE = SAMPLES / "winch-base-plate.dxf"
HOSTILE = "<script>alert(1)</script>\x1b[31m [bold]| `x` @all\u202e"
"""Markup of a page, of a terminal, of Markdown; a mention; a letter that turns the line around."""


def typed_over(doc: ezdxf.document.Drawing) -> None:
    """A number typed over, and a hole moved."""
    entity(doc, "9F").dxf.text = "5.100"
    shift(doc, "5F", 0.0625, 0)


@pytest.fixture
def new(tmp_path: Path) -> Path:
    return revised(PLATE, typed_over, tmp_path)


def run(*arguments: object) -> Result:
    return CliRunner().invoke(cli, ["compare", *map(str, arguments)])


def hostile(doc: ezdxf.document.Drawing) -> None:
    entity(doc, "54").dxf.text = HOSTILE
    entity(doc, "9F").dxf.text = f"9.9 {HOSTILE}"


def test_no_change_is_0_and_a_change_is_1(new: Path) -> None:
    assert run(PLATE, PLATE).exit_code == 0
    assert run(PLATE, PLATE).output.startswith("no change")
    assert run(PLATE, new).exit_code == 1


def test_what_cannot_be_read_is_2(tmp_path: Path) -> None:
    """One error that names the file, and no report."""
    bad = tmp_path / "bad.dxf"
    bad.write_text("no drawing")
    done = run(PLATE, bad)
    assert isinstance(done.exception, UnreadableFile)
    assert str(bad) in str(done.exception)
    assert done.output == ""


def test_the_screen_tells_the_dangerous_first_and_what_is_not_compared(new: Path) -> None:
    said = run(PLATE, new).output
    assert said.index("the number changed, the geometry stood still") < said.index("feature moved")
    assert 'stated 5 → 5.1 (+0.1)' in said
    assert "x 4 → 4.0625 (+0.0625)" in said
    assert "the same in both: " in said
    assert "not compared: where texts stand" in said
    assert " ".join(CAUTION.split()) in " ".join(said.split())


def test_json_is_by_its_schema_and_exact(new: Path) -> None:
    """Values are those of the drawings; the schema is the published one and lists every sort."""
    report = json.loads(run(PLATE, new, "--format", "json").output)
    Draft202012Validator(schema("compare")).validate(report)
    assert schema("compare")["$defs"]["sort"]["enum"] == [str(sort) for sort in Sort]
    first = report["changes"][0]
    stated = next(f for f in first["facts"] if f["what"] == "stated")
    assert first["dangerous"]
    assert Fraction(stated["by"]["exact"]) == Fraction(1, 10)
    assert report["summary"]["changes"] == len(report["changes"]) == sum(report["summary"]["sorts"].values())
    assert report["summary"]["dangerous"] == 1


def test_a_report_that_has_no_change_is_by_the_schema() -> None:
    report = json.loads(run(PLATE, PLATE, "--format", "json").output)
    Draft202012Validator(schema("compare")).validate(report)
    assert report["changes"] == []


@pytest.mark.parametrize("format_", ["terminal", "json", "markdown", "html"])
def test_the_same_bytes_each_time(format_: str, new: Path, tmp_path: Path) -> None:
    out = [tmp_path / f"{n}.txt" for n in (1, 2)]
    for file in out:
        assert run(PLATE, new, "--format", format_, "--output", file).exit_code == 1
    assert out[0].read_bytes() == out[1].read_bytes()


@pytest.mark.parametrize("format_", ["terminal", "markdown", "html"])
def test_hostile_texts_do_nothing(format_: str, tmp_path: Path) -> None:
    """No escape reaches the terminal, no markup the page or the summary."""
    said = run(PLATE, revised(PLATE, hostile, tmp_path), "--format", format_).output
    assert "\x1b" not in said
    assert "\u202e" not in said
    assert "alert(1)" in said
    if format_ != "terminal":
        assert "<script" not in said.lower()
    if format_ == "markdown":
        assert "@all" not in said
        assert "`x`" not in said


@pytest.mark.parametrize("name", ["over.svg", "over.png"])
def test_the_picture(name: str, new: Path, tmp_path: Path) -> None:
    """Three looks and a number for each change, in a file of the kind that was asked for."""
    assert run(PLATE, new, "--picture", tmp_path / name).exit_code == 1
    content = (tmp_path / name).read_bytes()
    if name.endswith(".png"):
        assert content.startswith(b"\x89PNG")
        return
    svg = content.decode()
    for look in ("old", "new", "same", "mark danger", "mark other"):
        assert f'class="{look}"' in svg
    assert CAUTION.split(";")[0] in " ".join(svg.split())
    assert "http" not in svg.replace("http://www.w3.org/2000/svg", "")


def test_a_drawing_is_never_written_over(new: Path) -> None:
    before = new.read_bytes()
    assert isinstance(run(PLATE, new, "--output", new).exception, UsageError)
    assert isinstance(run(PLATE, new, "--picture", new).exception, UsageError)
    assert new.read_bytes() == before


def git(folder: Path, *arguments: str) -> str:
    who = ["-c", "user.name=Evening Class", "-c", "user.email=class@example.invalid", "-c", "commit.gpgsign=false"]
    done = subprocess.run(["git", *who, *arguments], cwd=folder, check=True, capture_output=True, text=True)
    return done.stdout.strip()


@pytest.fixture
def repository(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A repository with two revisions of a print in a folder whose name has a blank; the second is checked out."""
    if shutil.which("git") is None:
        pytest.skip("git is not installed")
    folder = tmp_path / "shop"
    (folder / "winch prints").mkdir(parents=True)
    print_ = folder / "winch prints" / "plate.dxf"
    git(folder, "init", "-q", "-b", "main")
    shutil.copy(PLATE, print_)
    git(folder, "add", ".")
    git(folder, "commit", "-q", "-m", "Draw the plate")
    git(folder, "tag", "first")
    shutil.copy(revised(PLATE, typed_over, tmp_path), print_)
    git(folder, "commit", "-q", "-a", "-m", "Move a hole")
    monkeypatch.chdir(folder)
    return folder


@pytest.mark.usefixtures("repository")
class TestRevisions:
    """`REV:path` in a real repository."""

    @pytest.mark.parametrize("revision", ["HEAD~1", "first", "main^"])
    def test_a_revision_against_the_file(self, revision: str) -> None:
        done = run(f"{revision}:winch prints/plate.dxf", "winch prints/plate.dxf", "--format", "json")
        assert done.exit_code == 1
        report = json.loads(done.output)
        assert report["old"]["path"] == f"{revision}:winch prints/plate.dxf", "no temporary name is told"
        assert report["summary"]["sorts"][str(Sort.TEXT_ALONE)] == 1

    def test_a_revision_and_the_same_file(self) -> None:
        assert run("HEAD:winch prints/plate.dxf", "winch prints/plate.dxf").exit_code == 0

    def test_the_path_from_here(self, repository: Path, monkeypatch: pytest.MonkeyPatch) -> None:
        monkeypatch.chdir(repository / "winch prints")
        assert run("HEAD~1:./plate.dxf", "plate.dxf").exit_code == 1

    def test_a_file_of_that_very_name_wins(self, repository: Path) -> None:
        """Its bytes are read, not those that git has."""
        (repository / "HEAD:winch prints").mkdir()
        shutil.copy(repository / "winch prints" / "plate.dxf", repository / "HEAD:winch prints" / "plate.dxf")
        git(repository, "rm", "-q", "--cached", "winch prints/plate.dxf")
        git(repository, "commit", "-q", "-m", "Take the plate out")
        assert run("HEAD:winch prints/plate.dxf", "winch prints/plate.dxf").exit_code == 0

    @pytest.mark.parametrize(
        "name",
        ["HEAD:nothing.dxf", "nowhere:winch prints/plate.dxf", "HEAD:", ":plate.dxf", "nothing.dxf", "HEAD:\x07"],
    )
    def test_what_is_not_there_is_one_error(self, name: str) -> None:
        done = run(name, "winch prints/plate.dxf")
        assert isinstance(done.exception, AuditError)
        assert name in str(done.exception)

    @pytest.mark.parametrize("name", ["--output=x:plate.dxf", "-p:plate.dxf", "--upload-pack=touch x:plate.dxf"])
    def test_a_revision_is_never_an_option(self, name: str, repository: Path) -> None:
        before = sorted(repository.iterdir())
        done = run("--", name, "winch prints/plate.dxf")
        assert isinstance(done.exception, UsageError)
        assert sorted(repository.iterdir()) == before


def test_without_git_the_error_says_so(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("PATH", str(tmp_path))
    done = run("HEAD:plate.dxf", PLATE)
    assert isinstance(done.exception, AuditError)
    assert "git" in str(done.exception)


def test_the_settings_hold_for_both(new: Path) -> None:
    """A snap distance beyond the move makes one place of both: only the text is another."""
    report = json.loads(run(PLATE, new, "--format", "json", "--snap", ".07", "--near", ".08", "--gap", ".08").output)
    assert str(Sort.FEATURE_MOVED) not in report["summary"]["sorts"]
    assert report["settings"]["snap"] == "0.07"


