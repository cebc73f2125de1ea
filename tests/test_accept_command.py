"""`accept` and `check --accepted` as their users call them."""

import json
import os
import shutil
import subprocess
import sys
from collections.abc import Callable
from datetime import date, timedelta
from pathlib import Path

import ezdxf
import pytest
from click.testing import CliRunner, Result
from resaved import moved, renumbered, saved

from dimaudit.cli import cli
from dimaudit.cli.main import main
from dimaudit.errors import UsageError

SAMPLES = Path(__file__).parent.parent / "samples"
JIG, STRAP, BEARER = "cleat-drill-jig.dxf", "fuel-strap.dxf", "engine-bearer.dxf"
FILE = "dimaudit-accepted.toml"
WHY = ("--reason", "as released", "--author", "the drawing office")


@pytest.fixture
def shop(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A folder with prints, and the place where the commands are given."""
    (tmp_path / "prints").mkdir()
    for name in (JIG, STRAP, BEARER):
        shutil.copy(SAMPLES / name, tmp_path / "prints")
    monkeypatch.chdir(tmp_path)
    return tmp_path


def run(*arguments: object) -> Result:
    return CliRunner().invoke(cli, [str(a) for a in arguments])


def accept(*arguments: object) -> Result:
    return run("accept", *arguments, *WHY)


def report(*arguments: object) -> dict:
    return json.loads(run("check", *arguments, "--format", "json").stdout)


def change(path: Path, edit: Callable[[ezdxf.document.Drawing], None]) -> None:
    document = ezdxf.readfile(path)
    edit(document)
    document.saveas(path)


def new_fault(document: ezdxf.document.Drawing) -> None:
    """Types another number over one dimension of the strap; the drawn text is left as it was."""
    dimension = next(e for e in document.modelspace() if e.dxftype() == "DIMENSION" and e.dimtype == 0)
    dimension.dxf.text = "99.000"


def test_an_old_repository_fails_on_new_findings_only(shop: Path) -> None:
    """All is accepted, nothing is reported; a new fault is; one that is mended is to be taken out."""
    before = report("prints")["summary"]
    assert (before["error"], before["accepted"]) == (16, 0)
    done = accept("prints")
    assert done.exit_code == 0
    assert f"{FILE}: accepted 52 findings of 3 drawings" in done.stdout
    assert run("check", "prints", "--accepted", FILE, "--fail-on", "note").exit_code == 0
    after = report("prints", "--accepted", FILE)
    assert (after["summary"]["error"], after["summary"]["accepted"], after["remarks"]) == (0, 52, [])
    change(shop / "prints" / STRAP, new_fault)
    failed = run("check", "prints", "--accepted", FILE)
    assert failed.exit_code == 1
    assert "1 error  stale-text" in failed.stdout
    assert [d["path"] for d in report("prints", "--accepted", FILE)["drawings"] if d["findings"]] == [f"prints/{STRAP}"]


@pytest.mark.usefixtures("shop")
def test_every_report_says_what_was_accepted() -> None:
    accept("prints")
    (drawing,) = report(f"prints/{STRAP}", "--accepted", FILE)["drawings"]
    assert drawing["findings"] == []
    assert {a["reason"] for a in drawing["accepted"]} == {"as released"}
    assert {a["author"] for a in drawing["accepted"]} == {"the drawing office"}
    call = ("check", f"prints/{STRAP}", "--accepted", FILE)
    assert "judged: no findings, 3 accepted" in run(*call).stdout
    assert "3 findings accepted: not listed." in run(*call, "--format", "markdown").stdout
    page = run(*call, "--format", "html").stdout
    assert "3 findings accepted: not shown" in page
    assert "no findings" in page


def test_a_drawing_saved_by_another_program_stays_accepted(shop: Path) -> None:
    """With other handles, in another version and elsewhere on the sheet."""
    accept("prints")
    for name in (JIG, STRAP):
        print_ = shop / "prints" / name
        print_.write_text(renumbered(print_.read_text(encoding="utf-8")), encoding="utf-8")
        saved(print_, print_, moved, version="R2018", binary=True)
    done = report("prints", "--accepted", FILE)
    assert [d["findings"] for d in done["drawings"]] == [[], [], []]
    assert done["remarks"] == []


@pytest.mark.usefixtures("shop")
def test_no_accepted_reports_all() -> None:
    accept("prints")
    assert report("prints", "--accepted", FILE, "--no-accepted")["summary"]["error"] == 16


@pytest.mark.usefixtures("shop")
def test_an_expired_entry_fails_again() -> None:
    """It holds through its last day, and is named when that is over."""
    today = date.today()
    assert accept("prints", "--until", today).exit_code == 0
    assert run("check", "prints", "--accepted", FILE).exit_code == 0
    text = Path(FILE).read_text(encoding="utf-8")
    yesterday = today - timedelta(days=1)
    Path(FILE).write_text(text.replace(f"until = {today}", f"until = {yesterday}"), encoding="utf-8")
    done = run("check", "prints", "--accepted", FILE)
    assert done.exit_code == 1
    assert f"(until {yesterday}, the drawing office)" in " ".join(done.stdout.split())


@pytest.mark.usefixtures("shop")
def test_the_same_bytes_whatever_the_order() -> None:
    accept("prints", "--file", "all.toml")
    for name in (JIG, BEARER, STRAP):
        accept(f"prints/{name}", "--file", "each.toml")
    accept(*sorted(Path("prints").iterdir(), reverse=True), "--file", "turned.toml")
    texts = {Path(name).read_bytes() for name in ("all.toml", "each.toml", "turned.toml")}
    assert len(texts) == 1


@pytest.mark.usefixtures("shop")
def test_what_is_accepted_is_not_accepted_twice() -> None:
    accept("prints")
    text = Path(FILE).read_text(encoding="utf-8").replace("[[accepted]]", "# see Ines\n[[accepted]]", 1)
    Path(FILE).write_text(text, encoding="utf-8")
    done = accept("prints")
    assert done.exit_code == 0
    assert "nothing to accept" in done.stdout
    assert Path(FILE).read_text(encoding="utf-8") == text


@pytest.mark.usefixtures("shop")
def test_one_rule_or_one_identity_is_accepted() -> None:
    drawing = report(f"prints/{JIG}")["drawings"][0]
    wrong = [f for f in drawing["findings"] if f["rule"] == "wrong-value"]
    accept("prints", "--identity", wrong[0]["identity"], "--rule", "wrong-value")
    assert report(f"prints/{JIG}", "--accepted", FILE)["summary"]["accepted"] == 1
    accept("prints", "--rule", "wrong-value")
    left = report(f"prints/{JIG}", "--accepted", FILE)["drawings"][0]["findings"]
    assert {f["rule"] for f in left} == {f["rule"] for f in drawing["findings"]} - {"wrong-value"}


@pytest.mark.usefixtures("shop")
def test_tidy_takes_out_what_accepts_nothing() -> None:
    """Of a drawing that is audited, and of one that is gone; the others stay."""
    accept("prints")
    entries = Path(FILE).read_text(encoding="utf-8").count("[[accepted]]")
    Path(f"prints/{STRAP}").unlink()
    shutil.copy(SAMPLES / "winch-base-plate.dxf", f"prints/{BEARER}")  # mended, as it were
    mended, gone = report("prints", "--accepted", FILE)["remarks"]
    assert f"{BEARER}: accepted, and no finding matches: it is mended" in mended
    assert f"{STRAP} is not there any more, and has 3 accepted findings" in gone
    accept(f"prints/{JIG}")
    assert Path(FILE).read_text(encoding="utf-8").count("[[accepted]]") == entries
    done = accept("prints", "--tidy")
    assert "taken out: 20 entries that accept nothing any more" in done.stdout
    assert Path(FILE).read_text(encoding="utf-8").count("[[accepted]]") == entries - 20
    assert report("prints", "--accepted", FILE)["remarks"] == []


@pytest.mark.usefixtures("shop")
def test_a_drawing_that_cannot_be_read_does_not_stop_the_others() -> None:
    Path("prints/torn.dxf").write_text("0\nSECTION\n2\nENT", encoding="utf-8")
    done = accept("prints")
    assert done.exit_code == 2
    assert "could not be read: prints/torn.dxf" in done.stdout
    assert "accepted 52 findings" in done.stdout


@pytest.mark.parametrize(("arguments", "said"), [
    (("prints", "--reason", " ", "--author", "Ines"), "--reason is empty"),
    (("prints", "--reason", "known", "--author", ""), "--author is empty"),
    (("prints", *WHY, "--until", "2001-01-01"), "--until 2001-01-01 is over"),
    (("prints", *WHY, "--rule", "rouned"), "did you mean 'rounded'?"),
    (("prints", *WHY, "--identity", "0123456789abcdef"), "no finding has it"),
    (("prints", *WHY, "--file", f"prints/{JIG}"), "a drawing is never written over"),
], ids=range(6))  # fmt: skip
def test_wrong_usage_is_2_and_nothing_is_written(
    arguments: tuple[str, ...], said: str, shop: Path, monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:  # fmt: skip
    drawing = (shop / "prints" / JIG).read_bytes()
    monkeypatch.setattr("sys.argv", ["dimaudit", "accept", *arguments])
    with pytest.raises(SystemExit) as ended:
        main()
    assert ended.value.code == 2
    assert said in capsys.readouterr().err
    assert not Path(FILE).exists()
    assert (shop / "prints" / JIG).read_bytes() == drawing


@pytest.mark.usefixtures("shop")
def test_a_slip_in_the_file_ends_the_run_before_it_begins() -> None:
    Path(FILE).write_text("[[accepted]]\nresaon = 'known'\n", encoding="utf-8")
    for done in (run("check", "prints", "--accepted", FILE), accept("prints")):
        assert isinstance(done.exception, UsageError)
        assert "entry 1: 'resaon' is nothing that an entry has; did you mean 'reason'?" in str(done.exception)


def test_a_file_that_the_configuration_names_is_made_where_nothing_is_to_accept(shop: Path) -> None:
    """Else a repository without findings could never be checked by the steps of docs/ci.md."""
    for name in (JIG, STRAP, BEARER):
        (shop / "prints" / name).unlink()
    shutil.copy(SAMPLES / "winch-base-plate.dxf", shop / "prints")
    accept("prints")
    assert not Path(FILE).exists()  # nobody asked for it
    Path("dimaudit.toml").write_text(f'accepted = "{FILE}"\n', encoding="utf-8")
    with pytest.raises(UsageError, match="`dimaudit accept` makes it"):
        CliRunner().invoke(cli, ["check", "prints"], catch_exceptions=False)
    done = accept("prints")
    assert (done.exit_code, "made, with no entry yet" in done.stdout) == (0, True)
    assert run("check", "prints").exit_code == 0
    shutil.copy(SAMPLES / STRAP, shop / "prints")
    assert "accepted 3 findings" in accept("prints").stdout


@pytest.mark.skipif(os.name != "posix" or sys.platform == "darwin", reason="names are bytes on Linux only")
def test_a_name_that_no_text_file_can_hold_does_not_stop_the_others(shop: Path) -> None:
    """The first by the alphabet, with drawings after it."""
    shutil.copy(SAMPLES / BEARER, os.fsencode(shop / "prints") + b"/br\xff.dxf")
    command = [sys.executable, "-m", "dimaudit", "accept", "prints", *WHY]
    done = subprocess.run(command, capture_output=True, text=True, encoding="utf-8", check=False)
    assert done.returncode == 2
    assert "br\\udcff.dxf: its name can't be written into a text file: rename it" in " ".join(done.stdout.split())
    text = Path(FILE).read_text(encoding="utf-8")
    assert all(f'drawing = "prints/{name}"' in text for name in (JIG, STRAP, BEARER))
