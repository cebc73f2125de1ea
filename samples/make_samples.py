"""Makes the sample drawings, their README and expected.json, and the sample class.

    python samples/make_samples.py [OUTDIR]

The same bytes come out on every run.
"""

import json
import logging
import sys
from collections.abc import Callable
from pathlib import Path

import make_class
import prints_clean
import prints_jig
import prints_mount
import prints_notes
from drafting import Print, write

PRINTS: tuple[Callable[[], Print], ...] = (
    prints_clean.winch_base_plate,
    prints_clean.shaft_log_flange,
    prints_jig.cleat_drill_jig,
    prints_jig.cleat_drill_jig_near,
    prints_clean.rudder_bearing_block,
    prints_clean.evening_class_exercise,
    prints_clean.mast_step_sheet,
    prints_clean.rudder_stock,
    prints_notes.anchor_roller_cheek,
    prints_notes.engine_mount_plate,
    prints_notes.shaft_coupling,
    prints_mount.engine_bearer,
    prints_mount.engine_bearer_near,
    prints_mount.fuel_strap,
)

INTRO = """# Sample drawings

All of these are invented for this project: a small boatyard's machine shop and the evening class it
hosts. No part, number or name comes from a real drawing. `make_samples.py` draws them and writes this
page and `expected.json`; the same bytes come out on every run.

    python samples/make_samples.py [OUTDIR]

In the clean prints each dimension states the drawn size, exactly. The flange's holes off its axes are
the one exception: their centres have a root in them and are written to the nearest double. On the near twins
a call-out and a table may round, as near-faults. What the clean prints draw is all located and sized.

**Verify before cutting:** these are test drawings, not parts.

| file | format | unit | dimensions | associated | what it is |
|---|---|---|---|---|---|
"""


def expected(pr: Print) -> dict[str, object]:
    """What an audit of the print should find."""
    return {
        "units": pr.units,
        "clean": pr.clean,
        "faults": [
            {
                "rule": fault.rule,
                "handle": fault.handle,
                "others": list(fault.others),
                "stated": fault.stated,
                "exact": fault.exact,
                "what": fault.what,
            }
            for fault in pr.faults
        ],
        "near_faults": [{"rule": quiet.rule, "handle": quiet.handle, "why silent": quiet.why} for quiet in pr.silent],
        "summary": pr.summary,
    }


def table_row(pr: Print) -> str:
    """One row of the README's list."""
    dims = [dim for layout in pr.doc.layouts for dim in layout.query("DIMENSION")]
    tied = sum(1 for dim in dims if dim.has_extension_dict)
    version = {"AC1009": "R12", "AC1015": "R2000", "AC1024": "R2010", "AC1032": "R2018"}[pr.doc.dxfversion]
    return f"| {pr.name}.dxf | {version} | {pr.units} | {len(dims)} | {tied} | {pr.about} |"


def readme(prints: list[Print]) -> str:
    """The README as Markdown."""
    lines = [INTRO.rstrip("\n"), *(table_row(pr) for pr in prints)]
    for pr in prints:
        if pr.faults:
            lines += [
                "",
                f"## Seeded faults in {pr.name}.dxf",
                "",
                "*Stated* is what the print says, *exact* what is drawn (for linework: how far it is off).",
                "One dimension may break two rules: a typed number that is wrong is both.",
                "",
                "| handle | rule | stated | exact | what was done |",
                "|---|---|---|---|---|",
            ]
            for f in pr.faults:
                handles = ", ".join((f.handle, *f.others))
                lines.append(f"| {handles} | {f.rule} | {f.stated or ''} | {f.exact or ''} | {f.what} |")
        if pr.silent:
            lines += [
                "",
                f"## Near-faults in {pr.name}.dxf",
                "",
                "Each looks a little like a fault and is none; the rule must stay silent.",
                "",
                "| handle | rule | why silent |",
                "|---|---|---|",
                *(f"| {q.handle} | {q.rule} | {q.why} |" for q in pr.silent),
            ]
    return "\n".join(lines) + "\n" + make_class.readme()


def main(to: Path) -> None:
    """Write everything into a folder."""
    # R12 has no place for the unit, and the library says so on every run: the print is here for that
    logging.getLogger("ezdxf").setLevel(logging.ERROR)
    to.mkdir(parents=True, exist_ok=True)
    prints = [make() for make in PRINTS]
    for pr in prints:
        write(pr, str(to / f"{pr.name}.dxf"))
    listing = {f"{pr.name}.dxf": expected(pr) for pr in prints}
    text = json.dumps(listing, indent=2, ensure_ascii=False) + "\n"
    (to / "expected.json").write_text(text, encoding="utf-8")
    (to / "README.md").write_text(readme(prints), encoding="utf-8")
    list(make_class.make(to / "class"))


if __name__ == "__main__":
    main(Path(sys.argv[1]) if len(sys.argv) > 1 else Path(__file__).parent)
