"""The README against the program: its commands, its printed output, its statement of the job."""

import os
import re
import subprocess
import sys
from pathlib import Path

import pytest
from readme_commands import README, command

from dimaudit.judge import RULES

ROOT = README.parent
TEXT = README.read_text(encoding="utf-8")
SHOWN = re.findall(r"^```console\n\$ dimaudit (.*?)\n(.*?)^```$", TEXT, re.MULTILINE | re.DOTALL)


def output(line: str) -> str:
    """What the program prints for the arguments of one README line."""
    done = subprocess.run(
        [sys.executable, "-m", "dimaudit", *line.split()],
        capture_output=True, text=True, encoding="utf-8", cwd=ROOT, check=False,
        env={**os.environ, "NO_COLOR": "1"},
    )  # fmt: skip
    assert done.stderr == ""
    return done.stdout


@pytest.mark.parametrize(("line", "shown"), SHOWN, ids=[line for line, _ in SHOWN])
def test_shown_output_is_real(line, shown):
    """What the README shows is what the program prints; '…' on a line of its own stands for lines left out."""
    printed = [row.rstrip() for row in output(line).splitlines()]
    rows = [row.rstrip() for row in shown.splitlines()]
    at = 0
    skipping = False
    for row in rows:
        if row.strip() == "…":
            skipping = True
            continue
        found = printed.index(row, at) if skipping else at
        assert printed[found] == row
        at, skipping = found + 1, False
    assert skipping or at == len(printed)


def test_something_is_shown():
    """The README shows a check of a clean print, of a faulty one, and what each further command says of a sample."""
    assert [line.split()[0] for line, _ in SHOWN] == ["check", "check", "explain", "as-read", "stack-up", "advise"]


def test_the_job_comes_first():
    """The README opens with one paragraph that states the job and for whom."""
    first = TEXT.split("\n\n")[1]
    assert all(word in first for word in ("dimensions", "exact", "instructor", "drafter", "CI check"))


def test_both_setup_commands_are_one_line():
    """Each set-up command is one line that can be pasted."""
    assert "\n" not in command("sample")
    assert "\n" not in command("test")


def test_commands_named_in_the_readme_exist():
    """Every command and option that the README names is in the program's help."""
    from click.testing import CliRunner

    from dimaudit.cli import cli

    runner = CliRunner()
    for line in re.findall(r"^dimaudit (\S+.*)$", TEXT, re.MULTILINE):
        name, *rest = line.split("#")[0].split()
        text = runner.invoke(cli, [name, "--help"]).output
        for option in (word for word in rest if word.startswith("--")):
            assert option in text, line


def test_rules_command_lists_the_registry():
    """`dimaudit rules` prints each rule of the registry once."""
    names = [row.split()[0] for row in output("rules").splitlines()]
    assert names == [rule.name for rule in RULES]


def test_readme_is_found():
    """The tests look at the README of this checkout."""
    assert (Path(README).parent / "pyproject.toml").exists()
