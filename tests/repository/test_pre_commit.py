"""The hook that the project offers to pre-commit (https://pre-commit.com, "Creating new hooks"), run by pre-commit."""

import json
import os
import shutil
import subprocess
import sys
from pathlib import Path
from tempfile import TemporaryDirectory

import pytest

ROOT = Path(__file__).parent.parent.parent
KEPT = TemporaryDirectory()
"""For what pre-commit keeps from run to run."""
CLEAN, FAULTY = (ROOT / "samples" / name for name in ("winch-base-plate.dxf", "cleat-drill-jig.dxf"))


def run(folder: Path, *command: str) -> subprocess.CompletedProcess[str]:
    environment = {
        **os.environ, "PATH": f"{Path(sys.executable).parent}{os.pathsep}{os.environ['PATH']}",
        "PRE_COMMIT_HOME": KEPT.name, "GIT_CONFIG_GLOBAL": os.devnull,
        "GIT_AUTHOR_NAME": "Shop", "GIT_AUTHOR_EMAIL": "shop@example.org",
        "GIT_COMMITTER_NAME": "Shop", "GIT_COMMITTER_EMAIL": "shop@example.org",
    }  # fmt: skip
    return subprocess.run(command, cwd=folder, env=environment, capture_output=True, text=True, check=False)


def pre_commit(folder: Path, *arguments: str) -> subprocess.CompletedProcess[str]:
    return run(folder, sys.executable, "-m", "pre_commit", *arguments)


def hook() -> dict[str, object]:
    """The hook as the project defines it; read by pre-commit's own loader."""
    code = "import json, sys; from pre_commit import clientlib; print(json.dumps(clientlib.load_manifest(sys.argv[1])))"
    done = run(ROOT, sys.executable, "-c", code, str(ROOT / ".pre-commit-hooks.yaml"))
    assert done.returncode == 0, done.stderr
    (only,) = json.loads(done.stdout)
    return only


@pytest.fixture
def shop(tmp_path) -> Path:
    """A repository with the hook in its configuration; the tool is the one that is installed, not a new one."""
    assert run(tmp_path, "git", "init", "-q", "-b", "main").returncode == 0
    local = {key: hook()[key] for key in ("id", "name", "entry", "files", "types", "require_serial")}
    config = {"repos": [{"repo": "local", "hooks": [{**local, "language": "system"}]}]}
    (tmp_path / ".pre-commit-config.yaml").write_text(json.dumps(config))  # JSON is YAML
    assert pre_commit(tmp_path, "install").returncode == 0
    return tmp_path


def commit(folder: Path) -> subprocess.CompletedProcess[str]:
    run(folder, "git", "add", "-A")
    return run(folder, "git", "commit", "-m", "hand in")


def test_the_hook_is_sound():
    """Pre-commit takes the definition, and the command is one that the project installs."""
    assert pre_commit(ROOT, "validate-manifest", ".pre-commit-hooks.yaml").returncode == 0
    assert str(hook()["entry"]).split() == ["dimaudit", "check"]
    assert hook()["language"] == "python"


def test_a_clean_drawing_is_committed(shop):
    shutil.copy(CLEAN, shop / "plate.DXF")
    done = commit(shop)
    assert done.returncode == 0, done.stdout + done.stderr
    assert "Passed" in done.stdout + done.stderr


def test_a_faulty_drawing_is_not_committed(shop):
    """The commit is refused, and the finding is shown with its handle."""
    shutil.copy(FAULTY, shop / "jig.dxf")
    done = commit(shop)
    assert done.returncode != 0
    assert "B7  linear dimension" in done.stdout + done.stderr
    assert run(shop, "git", "log").returncode != 0  # there is no commit


def test_what_is_no_drawing_is_not_looked_at(shop):
    (shop / "notes.txt").write_text("ask for a longer shaft")
    done = commit(shop)
    assert done.returncode == 0
    assert "Skipped" in done.stdout + done.stderr
