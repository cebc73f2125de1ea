"""What was graded before, kept beside the gradebook: so that only what is new or changed is graded again."""

import json
from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from fractions import Fraction
from hashlib import sha256
from pathlib import Path
from types import MappingProxyType
from typing import Any

from dimaudit.model.grading import Alignment, Criterion, CriterionMark, Deduction, ForAPerson, Graded, Rubric

VERSION = 2
"""Of the file's form; another one is not read."""
LARGEST = 256 * 2**20

Result = Graded | ForAPerson


@dataclass(frozen=True, slots=True)
class State:
    """Results of an earlier run by the digest of the submission, and the digests of what was written."""

    results: Mapping[str, Result] = field(default_factory=dict)
    written: Mapping[str, str] = field(default_factory=dict)
    """By the name of a file in the folder."""
    figures: Mapping[str, str] = field(default_factory=dict)
    """Pictures for the pages by the digest of the submission, packed."""
    said: str = ""
    """Why nothing, or not all, of an earlier run is used; empty where there is nothing to say."""


def basis(rubric: Rubric, version: str) -> dict[str, str]:
    """What a result depends on beside the submission."""
    own = replace(rubric, key_sha256="")
    return {"tool": version, "key_sha256": rubric.key_sha256, "rubric": sha256(repr(own).encode()).hexdigest()}


def load(path: Path, wanted: Mapping[str, str]) -> State:
    """An earlier run's results, as far as they still hold. A damaged file is as good as none, and that is said."""
    try:
        if path.stat().st_size > LARGEST:
            return State(said=f"{path.name} is too large to be ours: everything is graded again")
        kept = json.loads(path.read_text(encoding="utf-8"))
        if kept["version"] != VERSION:
            return State(said=f"{path.name} is of another version: everything is graded again")
        written = {str(k): str(v) for k, v in kept["written"].items()}
        changed = [word for word in wanted if kept["basis"].get(word) != wanted[word]]
        if changed:
            what = {"tool": "the tool", "key_sha256": "the key", "rubric": "the rubric"}
            names = " and ".join(what[word] for word in changed)
            return State(written=written, said=f"{names} changed: everything is graded again")
        results = [_read(entry) for entry in kept["results"]]
        figures = {str(k): str(v) for k, v in kept.get("figures", {}).items()}
        return State({r.sha256: r for r in results if r.sha256}, written, figures)
    except FileNotFoundError:
        return State()
    except (OSError, ValueError, KeyError, TypeError, AttributeError, ZeroDivisionError, RecursionError):
        return State(said=f"{path.name} could not be read: everything is graded again")


def text(
    results: list[Result], wanted: Mapping[str, str], written: Mapping[str, str],
    figures: Mapping[str, str] = MappingProxyType({}),
) -> str:  # fmt: skip
    """The file: the same results give the same bytes."""
    kept = {
        "version": VERSION, "basis": dict(wanted), "written": dict(sorted(written.items())),
        "results": [_entry(r) for r in results],
        "figures": {r.sha256: figures[r.sha256] for r in results if r.sha256 in figures},
    }  # fmt: skip
    return json.dumps(kept, indent=1, ensure_ascii=True) + "\n"


def _entry(result: Result) -> dict[str, Any]:
    if isinstance(result, ForAPerson):
        return {"name": result.name, "path": result.path, "sha256": result.sha256, "why": result.why,
                "to_do": result.to_do, "yours": result.yours}  # fmt: skip
    way = result.alignment
    return {
        "name": result.name, "path": result.path, "sha256": result.sha256, "geometry": result.geometry,
        "remarks": list(result.remarks),
        "alignment": [str(way.factor), way.mirrored, way.quarter_turns, *map(str, way.shift)],
        "marks": [
            {"criterion": str(m.criterion), "points": str(m.points), "asked": m.asked, "each": str(m.each),
             "got": str(m.got), "for_a_person": m.for_a_person, "deductions": [_deduction(d) for d in m.deductions]}
            for m in result.marks
        ],
    }  # fmt: skip


def _deduction(d: Deduction) -> dict[str, Any]:
    return {"criterion": str(d.criterion), "points": str(d.points), "what": d.what, "why": list(d.why),
            "handles": list(d.handles), "at": None if d.at is None else list(d.at),
            "key_handles": list(d.key_handles), "follows": d.follows}  # fmt: skip


def _read(entry: Mapping[str, Any]) -> Result:
    name, path, digest = str(entry["name"]), str(entry["path"]), str(entry["sha256"])
    if "marks" not in entry:
        return ForAPerson(name, path, digest, str(entry["why"]), str(entry["to_do"]), str(entry["yours"]))
    factor, mirrored, turns, x, y = entry["alignment"]
    if not all(0 <= Fraction(m["got"]) <= Fraction(m["points"]) for m in entry["marks"]):
        raise ValueError("more points than there are")  # changed by hand: graded again
    return Graded(
        name, path, digest,
        Alignment(Fraction(factor), bool(mirrored), int(turns), (Fraction(x), Fraction(y))),
        tuple(
            CriterionMark(
                Criterion(m["criterion"]), Fraction(m["points"]), int(m["asked"]), Fraction(m["each"]),
                tuple(_read_deduction(d) for d in m["deductions"]), Fraction(m["got"]), str(m["for_a_person"]),
            )
            for m in entry["marks"]
        ),
        str(entry["geometry"]), tuple(map(str, entry["remarks"])),
    )  # fmt: skip


def _read_deduction(d: Mapping[str, Any]) -> Deduction:
    at = d["at"]
    return Deduction(
        Criterion(d["criterion"]), Fraction(d["points"]), str(d["what"]), tuple(map(str, d["why"])),
        tuple(map(str, d["handles"])), None if at is None else (float(at[0]), float(at[1])),
        tuple(map(str, d["key_handles"])), str(d["follows"]),
    )  # fmt: skip
