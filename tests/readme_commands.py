"""Prints a command of the README: `python tests/readme_commands.py sample|test`."""

import re
import sys
from pathlib import Path

README = Path(__file__).parent.parent / "README.md"
WORDS = {"sample": "dimaudit check", "test": "pytest"}


def command(which: str) -> str:
    """The one-line set-up command that ends in what `which` names."""
    blocks = re.findall(r"^```sh\n(.*?)^```$", README.read_text(encoding="utf-8"), re.MULTILINE | re.DOTALL)
    found = [block.strip() for block in blocks if "venv" in block and WORDS[which] in block]
    assert len(found) == 1, f"the README should hold one set-up command for {which}, not {len(found)}"
    return found[0]


if __name__ == "__main__":
    print(command(sys.argv[1]))
