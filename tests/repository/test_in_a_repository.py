"""A repository of drawings as its keepers use it: old faults accepted, new ones failing, only what changed, a hook."""

import json
import shutil
from pathlib import Path

import pytest

from dimaudit.cli import cli
from repository.test_pre_commit import FAULTY, commit, hook, pre_commit, run

CONFIGURATION = """\
units = "in"
rule-set = 1
accepted = "known.toml"
"""


@pytest.fixture
def shop(tmp_path, monkeypatch) -> Path:
    """A real repository with a drawing full of faults, all accepted and committed, and the hook installed."""
    root = tmp_path / "shop"
    (root / "prints").mkdir(parents=True)
    assert run(root, "git", "init", "-q", "-b", "main").returncode == 0
    shutil.copy(FAULTY, root / "prints" / "jig.dxf")
    (root / "dimaudit.toml").write_text(CONFIGURATION)
    local = {key: hook()[key] for key in ("id", "name", "entry", "files", "types", "require_serial")}
    config = {"repos": [{"repo": "local", "hooks": [{**local, "language": "system"}]}]}
    (root / ".pre-commit-config.yaml").write_text(json.dumps(config))
    assert dimaudit(root, "accept", "prints", "--reason", "as released", "--author", "drawing office")[0] == 0
    assert pre_commit(root, "install").returncode == 0
    done = commit(root)
    assert done.returncode == 0, done.stdout + done.stderr  # the hook passes what is accepted
    monkeypatch.chdir(root)
    return root


def dimaudit(root: Path, *arguments: str) -> tuple[int, str]:
    """Exit status and what was said, in a process of its own."""
    done = run(root, "dimaudit", *arguments)
    return done.returncode, done.stdout + done.stderr


def spoil(root: Path) -> None:
    """A typed 2.500 becomes a typed 2.600: another wrong number at the same place."""
    drawing = root / "prints" / "jig.dxf"
    before = drawing.read_bytes()
    after = before.replace(b"2.500", b"2.600")
    assert after != before
    drawing.write_bytes(after)


def test_an_old_accepted_fault_does_not_fail(shop):
    status, said = dimaudit(shop, "check", "prints")
    assert status == 0
    assert "32 accepted" in said
    assert "wrong-value" not in said
    assert dimaudit(shop, "check", "prints", "--no-accepted")[0] == 1


def test_a_new_fault_fails_and_only_that_is_told(shop):
    """In a drawing whose other faults are accepted; what is mended with it is said."""
    spoil(shop)
    status, said = dimaudit(shop, "check", "prints", "--fail-on", "error")
    assert status == 1
    assert 'linear dimension "2.600" is not what is drawn' in said
    assert '"2.135"' not in said
    assert "no finding matches: it is mended, or changed" in said


def test_the_hook_refuses_a_new_fault(shop):
    spoil(shop)
    done = commit(shop)
    assert done.returncode != 0
    assert 'linear dimension "2.600" is not what is drawn' in done.stdout + done.stderr


def test_an_expired_one_fails_again(shop):
    """From the day after the last on which it is accepted."""
    file = shop / "known.toml"
    text = file.read_text()
    file.write_text(text.replace('author = "drawing office"\n', 'author = "drawing office"\nuntil = 2020-01-31\n'))
    assert file.read_text() != text
    status, said = dimaudit(shop, "check", "prints")
    assert status == 1
    assert "wrong-value" in said
    assert "accepted until a day that is over" in said


def test_only_what_changed_is_audited(shop):
    """And where nothing did, that is said, and nothing fails."""
    status, said = dimaudit(shop, "check", "prints", "--changed-since", "HEAD", "--no-accepted")
    assert (status, "0 of 1 drawings changed" in said) == (0, True)
    shutil.copy(FAULTY, shop / "prints" / "other.dxf")
    status, said = dimaudit(shop, "check", "prints", "--changed-since", "HEAD", "--format", "jsonl")
    assert status == 1
    drawings = [json.loads(line) for line in said.splitlines() if line.startswith("{")]
    assert {one["path"] for one in drawings if one["kind"] == "drawing"} == {"prints/other.dxf"}
    assert run(shop, "git", "checkout", "-q", ".").returncode == 0
    (shop / "other.dxf").unlink(missing_ok=True)
    (shop / "dimaudit.toml").write_text(CONFIGURATION.replace("known.toml", "none.toml"))
    status, said = dimaudit(shop, "check", "prints", "--changed-since", "HEAD")
    assert status == 2  # it counts as changed, and what its configuration names is not there
    assert "none.toml" in said


def test_a_comparison_with_what_is_committed(shop):
    """The text changed while the geometry stood still."""
    spoil(shop)
    status, said = dimaudit(shop, "compare", "HEAD:prints/jig.dxf", "prints/jig.dxf")
    assert status == 1
    assert "2.500" in said
    assert "2.600" in said
    assert dimaudit(shop, "compare", "HEAD:prints/jig.dxf", "HEAD:./prints/jig.dxf")[0] == 0


def test_the_commands_are_those_of_the_pages():
    """What this file calls is there."""
    assert {"accept", "check", "compare", "settings"} <= set(cli.commands)
