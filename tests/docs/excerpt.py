"""The excerpt of a real JSON report in docs/json.md.

    python tests/docs/excerpt.py [--write]

Prints it; with --write puts it into the page.
"""

import json
import re
import sys
from contextlib import chdir
from pathlib import Path

from reporting import report_of

from dimaudit import __version__

ROOT = Path(__file__).parents[2]
PAGE = ROOT / "docs" / "json.md"
SAMPLE, HANDLE = Path("samples/cleat-drill-jig.dxf"), "28D"
BLOCK = re.compile(r"(^```json\n)(.*?)(^```$)", re.MULTILINE | re.DOTALL)


def excerpt() -> str:
    """The report of the sample with one of its dimensions, that dimension's findings, and its scheme cut short."""
    with chdir(ROOT):
        body = json.loads(report_of([SAMPLE], "json", version=__version__))
    (drawing,) = body["drawings"]
    drawing["dimensions"] = [d for d in drawing["dimensions"] if d["handle"] == HANDLE]
    for scheme in drawing["schemes"]:
        for part in ("free", "unsure", "loops", "left_out"):
            scheme[part] = scheme[part][:1]
        for free in scheme["free"]:
            free["places"] = free["places"][:1]
    drawing["findings"] = [f for f in drawing["findings"] if f["handles"] == [HANDLE]]
    return json.dumps(body, indent=1, ensure_ascii=False) + "\n"


if __name__ == "__main__":
    if "--write" in sys.argv[1:]:
        page = PAGE.read_text(encoding="utf-8")
        PAGE.write_text(BLOCK.sub(lambda m: m[1] + excerpt() + m[3], page, count=1), encoding="utf-8")
    else:
        sys.stdout.write(excerpt())
