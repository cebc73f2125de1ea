"""Prints the README's shown outputs anew: `python tests/readme_shown.py --write`, then read the difference.

A block that is cut short ('…') keeps its head, its last lines and, of each rule that it names, the findings that it
names by handle; everything else stays out. One without paragraphs keeps as many lines before and after the cut.
"""

import re
import sys

from readme_commands import README
from test_readme import SHOWN, output

GROUP = re.compile(r"  (?:\d+ (?:error|warning|note)s?,? ?)+ +(\S+)$")
FINDING = re.compile(r"    (?:(?:error|warning|note)  )?([0-9A-F]+(?:, [0-9A-F]+)*)  ")


def shortened(old: str, new: str) -> str:
    """The new output, cut as the old one was."""
    if "\n\n" not in new.rstrip():
        before, after = (len(part.splitlines()) for part in old.split("…\n"))
        lines = new.splitlines()
        return "\n".join([*lines[:before], "…", *lines[len(lines) - after :], ""])
    named = {m.group(1) for line in old.splitlines() for m in (GROUP.match(line), FINDING.match(line)) if m}
    head, *groups, tail = new.rstrip().split("\n\n")
    rows = [head]
    for group in groups:
        heading, *lines = group.splitlines()
        rule = GROUP.match(heading)
        if rule is None or rule.group(1) not in named:
            continue
        rows.append(f"\n{heading}" if len(rows) == 1 else heading)
        kept = False
        for line in lines:
            finding = FINDING.match(line)
            kept = kept if finding is None else finding.group(1) in named
            rows += [line] if kept else []
        rows.append("…")
    return "\n".join([*rows, tail, ""])


def main() -> None:
    """Writes the README anew."""
    text = README.read_text(encoding="utf-8")
    for line, shown in SHOWN:
        printed = "".join(f"{row.rstrip()}\n" for row in output(line).splitlines())
        new = shortened(shown, printed) if "…\n" in shown else printed
        text = text.replace(f"$ dimaudit {line}\n{shown}", f"$ dimaudit {line}\n{new}")
    if "--write" in sys.argv:
        README.write_text(text, encoding="utf-8")
    else:
        sys.stdout.write(text)


if __name__ == "__main__":
    main()
