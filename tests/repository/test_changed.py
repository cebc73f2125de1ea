"""Which drawings changed, asked of real git repositories that the tests make."""

import subprocess
from pathlib import Path

import pytest

from dimaudit.errors import UsageError
from dimaudit.repository.changed import changed_since

STEERING = {"dimaudit.toml": lambda _: True, "pyproject.toml": lambda content: b"[tool.dimaudit" in content}


def git(folder: Path, *arguments: str) -> None:
    who = ("-c", "user.name=Shop", "-c", "user.email=shop@example.org", "-c", "commit.gpgsign=false")
    subprocess.run(["git", "-C", str(folder), *who, *arguments], check=True, capture_output=True)


@pytest.fixture
def shop(tmp_path) -> Path:
    """A repository with three drawings, committed and tagged 'begun'."""
    root = tmp_path / "shop"
    for name in ("winch/plate.dxf", "winch/cover.dxf", "rudder/block.dxf", "pyproject.toml"):
        (root / name).parent.mkdir(parents=True, exist_ok=True)
        (root / name).write_text(name)
    git(root, "init", "-q", "-b", "main")
    git(root, "add", "-A")
    git(root, "commit", "-qm", "begin")
    git(root, "tag", "begun")
    return root


def names(root: Path, revision: str = "begun") -> list[str]:
    files = sorted(root.rglob("*.dxf"))
    return [f.relative_to(root).as_posix() for f in changed_since(files, revision, STEERING)]


def test_nothing_changed(shop):
    assert names(shop) == []


def test_what_is_committed_what_is_not_and_what_is_new(shop):
    """A changed, a staged and an unknown file count; one that was touched without a change does not."""
    (shop / "winch/plate.dxf").write_text("other")
    git(shop, "commit", "-qam", "change")
    (shop / "rudder/block.dxf").write_text("other")
    (shop / "winch/cover.dxf").write_text("winch/cover.dxf")
    (shop / "new ø\n.dxf").write_text("new")
    assert names(shop) == ["new ø\n.dxf", "rudder/block.dxf", "winch/plate.dxf"]
    assert names(shop, "HEAD") == ["new ø\n.dxf", "rudder/block.dxf"]


def test_what_changed_on_the_other_side_does_not_count(shop):
    """Against a branch that went on: only what this side did since they parted."""
    git(shop, "checkout", "-qb", "side")
    (shop / "winch/plate.dxf").write_text("ours")
    git(shop, "commit", "-qam", "ours")
    git(shop, "checkout", "-q", "main")
    (shop / "rudder/block.dxf").write_text("theirs")
    git(shop, "commit", "-qam", "theirs")
    git(shop, "checkout", "-q", "side")
    assert names(shop, "main") == ["winch/plate.dxf"]


def test_a_renamed_drawing_is_a_changed_one(shop):
    git(shop, "mv", "winch/plate.dxf", "winch/base.dxf")
    assert names(shop) == ["winch/base.dxf"]


def test_a_changed_configuration_touches_what_is_below_it(shop):
    """And one that was taken away does, too."""
    (shop / "winch/dimaudit.toml").write_text("rounding = 'half-even'")
    assert names(shop) == ["winch/cover.dxf", "winch/plate.dxf"]
    git(shop, "add", "-A")
    git(shop, "commit", "-qm", "configure")
    git(shop, "rm", "-q", "winch/dimaudit.toml")
    assert names(shop, "HEAD") == ["winch/cover.dxf", "winch/plate.dxf"]


def test_a_project_file_counts_only_where_it_steers_audits(shop):
    (shop / "pyproject.toml").write_text("[project]\nname = 'shop'\n")
    assert names(shop) == []
    (shop / "pyproject.toml").write_text("[tool.dimaudit]\nrounding = 'half-even'\n")
    assert names(shop) == ["rudder/block.dxf", "winch/cover.dxf", "winch/plate.dxf"]


def test_names_are_kept_as_they_were_given(shop, monkeypatch):
    """Seen from a folder within, and through a link to a folder."""
    (shop / "winch/plate.dxf").write_text("other")
    monkeypatch.chdir(shop / "winch")
    assert changed_since([Path("plate.dxf"), Path("../rudder/block.dxf")], "begun", STEERING) == [Path("plate.dxf")]
    (shop / "link").symlink_to("winch")
    assert changed_since([shop / "link/plate.dxf"], "begun", STEERING) == [shop / "link/plate.dxf"]


def test_a_missing_file_is_kept_so_that_it_is_told(shop):
    assert changed_since([shop / "winch/gone.dxf"], "begun", STEERING) == [shop / "winch/gone.dxf"]


@pytest.mark.parametrize("revision", ["nowhere", "--output=x", "-h", "", "begun:winch/plate.dxf"])
def test_an_unknown_revision_is_one_error(shop, revision):
    """An option in its place is no option."""
    with pytest.raises(UsageError, match="knows no revision"):
        names(shop, revision)
    assert not (shop / "x").exists()


def test_outside_a_repository_is_one_error(tmp_path):
    with pytest.raises(UsageError, match="in no git repository"):
        changed_since([tmp_path / "plate.dxf"], "HEAD", STEERING)


def test_a_shallow_clone_says_that_it_is_too_shallow(shop, tmp_path):
    """Without the commit at which the histories part, nothing is guessed."""
    git(shop, "checkout", "-qb", "side")
    (shop / "winch/plate.dxf").write_text("ours")
    git(shop, "commit", "-qam", "ours")
    git(shop, "checkout", "-q", "main")
    (shop / "rudder/block.dxf").write_text("theirs")
    git(shop, "commit", "-qam", "theirs")
    clone = tmp_path / "clone"
    git(tmp_path, "clone", "-q", "--depth", "1", "--no-single-branch", "-b", "side", shop.as_uri(), str(clone))
    with pytest.raises(UsageError, match="shallow clone"):
        changed_since([clone / "winch/plate.dxf"], "origin/main", STEERING)
