"""Whole outputs against committed ones.

After a wanted change: `python tests/test_golden.py --write`, and read the difference before it is committed.
"""

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
    "sheet-explain.txt": ["explain", "samples/mast-step-sheet.dxf", "{first}"],
    "flange-angle-explain.txt": ["explain", "samples/shaft-log-flange.dxf", "{first}"],
}


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
    return done.stdout.decode("utf-8")


@pytest.mark.parametrize("name", CASES)
def test_output_is_as_committed(name):
    """The whole output, word for word, is the committed one."""
    assert output(CASES[name]) == (GOLDEN / name).read_text(encoding="utf-8")


if __name__ == "__main__":
    assert sys.argv[1:] == ["--write"], __doc__
    for name, args in CASES.items():
        (GOLDEN / name).write_text(output(args), encoding="utf-8")
