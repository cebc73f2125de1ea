"""Whole outputs against committed ones.

After a wanted change: `python tests/test_golden.py --write`, and read the difference before it is committed.
"""

import re
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).parent.parent
GOLDEN = Path(__file__).parent / "golden"
CASES = {
    "jig-check.txt": ["check", "samples/cleat-drill-jig.dxf"],
    "jig-check.json": ["check", "samples/cleat-drill-jig.dxf", "--format", "json"],
    "jig-check.md": ["check", "samples/cleat-drill-jig.dxf", "--format", "markdown"],
    "jig-check.jsonl": ["check", "samples/cleat-drill-jig.dxf", "--format", "jsonl"],
    "jig-check.csv": ["check", "samples/cleat-drill-jig.dxf", "--format", "csv"],
    "jig-check.sarif": ["check", "samples/cleat-drill-jig.dxf", "--format", "sarif"],
    "jig-check.xml": ["check", "samples/cleat-drill-jig.dxf", "--format", "junit"],
    "jig-check.log": ["check", "samples/cleat-drill-jig.dxf", "--format", "workflow"],
    "sheet-explain.txt": ["explain", "samples/mast-step-sheet.dxf", "{first}"],
    "flange-angle-explain.txt": ["explain", "samples/shaft-log-flange.dxf", "{first}"],
}

HELP = re.compile(r'"help": \{"text": "(?:[^"\\]|\\.)*", "markdown": "(?:[^"\\]|\\.)*"\}')
"""The pages of the rules in a SARIF log: they are held elsewhere, and would make this text one of many pages."""


def output(args: list[str]) -> str:
    """What the program prints; '{first}' stands for the handle of the drawing's first dimension."""
    if "{first}" in args:
        from dimaudit.model.settings import Settings
        from dimaudit.pipeline import audit_file

        audit, _ = audit_file(ROOT / args[1], Settings())
        handle = audit.judgements[0].attached.dimension.handle
        args = [arg.replace("{first}", handle) for arg in args]
    done = subprocess.run(
        [sys.executable, "-m", "dimaudit", *args], capture_output=True, cwd=ROOT, check=False
    )
    assert done.stderr == b""
    return HELP.sub('"help": "the page of the rule"', done.stdout.decode("utf-8"))


@pytest.mark.parametrize("name", CASES)
def test_output_is_as_committed(name):
    """The whole output, word for word, is the committed one."""
    assert output(CASES[name]) == (GOLDEN / name).read_bytes().decode("utf-8")


if __name__ == "__main__":
    assert sys.argv[1:] == ["--write"], __doc__
    for name, args in CASES.items():
        (GOLDEN / name).write_bytes(output(args).encode("utf-8"))
