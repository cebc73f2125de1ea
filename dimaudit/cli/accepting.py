"""`accept`: the findings that are there now, written into a file so that only new ones are reported."""

from collections import Counter
from collections.abc import Sequence
from datetime import date, datetime
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from dimaudit.batch.one import Job, Wanted
from dimaudit.cli.check import drawings_in
from dimaudit.cli.engine import ENGINE, Engine, engine_options
from dimaudit.cli.group import CLEAN, OUR_FAULT, UNUSABLE, cli
from dimaudit.cli.options import configurations, setting_options
from dimaudit.cli.reports import writable
from dimaudit.cli.saying import progress_bar, tell
from dimaudit.config.settle import Configured
from dimaudit.errors import UsageError
from dimaudit.model.audit import Finding, RuleFault, UnreadDrawing
from dimaudit.write.whole import write_whole

if TYPE_CHECKING:
    from dimaudit.repository.accepted import Acceptance, Entry


@cli.command()
@click.argument("paths", nargs=-1, required=True, type=click.Path(path_type=Path))
@click.option("--reason", required=True, help="Why they are accepted.")
@click.option("--author", required=True, help="Who accepts them.")
@click.option("--until", type=click.DateTime(["%Y-%m-%d"]), help="The last day that they are accepted.")
@click.option("--file", "file", type=click.Path(path_type=Path, dir_okay=False), help="The file to write, or to add "
              "to.  [default: the one that the configuration names, else dimaudit-accepted.toml]")  # fmt: skip
@click.option("--rule", "rules", multiple=True, help="Accept findings of this rule only. May be repeated.")
@click.option("--identity", "identities", multiple=True, help="Accept findings with this identity only, as the JSON "
              "report gives it. May be repeated.")  # fmt: skip
@click.option("--tidy", is_flag=True, help="Take out entries that are expired, that match nothing in these drawings, "
              "or whose drawing is not there any more.")  # fmt: skip
@setting_options
@engine_options
def accept(
    paths: tuple[Path, ...], reason: str, author: str, until: datetime | None, file: Path | None,
    rules: tuple[str, ...], identities: tuple[str, ...], tidy: bool, **options: Any,
) -> None:  # fmt: skip
    """Accept the findings that drawings have now, with a reason: `check --accepted` reports only new ones.

    \b
    What stands in the file stays, with your remarks in it; findings that it accepts are not accepted twice.
    Exit status: 0 written, or nothing to accept; 2 wrong usage, or a file that could not be read; 3 a fault of
    the tool itself.
    Examples:
      dimaudit accept drawings/ --reason "as released before the audit" --author "the drawing office"
      dimaudit accept jig.dxf --rule near-miss --reason "next revision" --author Ines --until 2031-05-31
    """
    from rich.console import Console

    from dimaudit.judge.registry import RULES
    from dimaudit.repository.accepted import Acceptance, AcceptedFile, entries_of, text_of
    from dimaudit.repository.accepted_text import HEAD, changed_text
    from dimaudit.text.toml_file import nearest

    for name, value in (("reason", reason), ("author", author)):
        if not value.strip():
            raise UsageError(f"--{name} is empty: say {'why' if name == 'reason' else 'who'}")
    for rule in rules:
        if rule not in (known := [r.name for r in RULES]):
            raise UsageError(f"--rule {rule}: there is no such rule{nearest(rule, known)}")
    today = date.today()
    day = None if until is None else until.date()
    if day is not None and day < today:
        raise UsageError(f"--until {day} is over: name a day to come")
    engine = Engine(*map(options.pop, ENGINE))
    files = drawings_in(paths)
    configured = configurations(**options)
    drawings = [(drawing, configured.of(drawing)) for drawing in files]
    file = file or _configured([holds for _, holds in drawings])
    writable([file], files)
    text = text_of(file) if file.exists() else HEAD
    acceptance = Acceptance(AcceptedFile(file, entries_of(file, text)), today)
    new: list[Entry] = []
    unread: list[UnreadDrawing] = []
    unnamed: list[str] = []
    faults: list[RuleFault] = []
    met: set[str] = set()
    jobs = [Job(drawing, holds.settings) for drawing, holds in drawings]
    with progress_bar(Console(stderr=True), len(files)) as done, engine.outcomes(jobs, Wanted()) as outcomes:
        for outcome in outcomes:
            faults += outcome.faults
            if isinstance(outcome.found, UnreadDrawing):
                unread.append(outcome.found)
            else:
                left, _ = acceptance.apply(Path(outcome.path), outcome.found.findings)
                chosen = [f for f in left if f.identity and (not rules or f.rule in rules)
                          and (not identities or f.identity in identities)]  # fmt: skip
                met.update(f.identity for f in outcome.found.findings)
                if chosen and not _encodable(acceptance.file.name_of(Path(outcome.path))):
                    unnamed.append(outcome.path)
                else:
                    new += _entries(acceptance, Path(outcome.path), chosen, reason.strip(), author.strip(), day)
            done()
    missed = [identity for identity in identities if identity not in met]
    if missed:
        raise UsageError(f"--identity {missed[0]}: no finding has it: the JSON report gives the identities")
    without = acceptance.spent() if tidy else frozenset()
    # A check goes by the file that the configuration names: where nothing is accepted yet, it still has to be there.
    asked_for = not file.exists() and any(holds.accepted == file for _, holds in drawings)
    if new or without or asked_for:
        write_whole(file, changed_text(file, text, new, without))
    made = [(0, f"{file}: made, with no entry yet; the configuration names it")] if asked_for and not new else []
    tell(_said(file, new, len(without), unread, unnamed, faults) + made)
    raise SystemExit(OUR_FAULT if faults else UNUSABLE if unread or unnamed else CLEAN)


def _configured(all_of: Sequence[Configured]) -> Path:
    """The one file that the drawings' configuration names. Raises UsageError where it names several."""
    from dimaudit.repository.accepted import FILE

    named = sorted({holds.accepted or Path(FILE) for holds in all_of})
    if len(named) > 1:
        names = ", ".join(map(str, named))
        raise UsageError(f"these drawings have several files of accepted findings ({names}): name one by --file")
    return named[0]


def _entries(
    acceptance: "Acceptance", drawing: Path, findings: list[Finding], reason: str, author: str, until: date | None
) -> list["Entry"]:
    """An entry for each identity."""
    from dimaudit.report.visible import visible
    from dimaudit.repository.accepted import Entry

    name = acceptance.file.name_of(drawing)
    count = Counter((f.rule, f.identity) for f in findings)
    found: dict[tuple[str, str], Entry] = {}
    for f in findings:
        place = "; ".join(part for part in (f.message, ", ".join(p for p in (f.where, f.view) if p)) if part)
        found.setdefault((f.rule, f.identity), Entry(
            name, f.rule, f.identity, reason, author, count[f.rule, f.identity], until, visible(place),
        ))  # fmt: skip
    return list(found.values())


def _encodable(text: str) -> bool:
    try:
        text.encode("utf-8")
    except UnicodeEncodeError:
        return False
    return True


def _said(
    file: Path, new: list["Entry"], out: int, unread: list[UnreadDrawing], unnamed: list[str], faults: list[RuleFault]
) -> list[tuple[int, str]]:
    """What came of it, in words."""
    count = sum(entry.count for entry in new)
    many = f"{count} finding{'s' if count != 1 else ''} of {len(drawings := {e.drawing for e in new})} " \
           f"drawing{'s' if len(drawings) != 1 else ''}"  # fmt: skip
    lines = [(0, f"{file}: accepted {many}" if count else "nothing to accept: no finding that is not accepted yet")]
    by_rule = Counter[str]()
    for entry in new:
        by_rule[entry.rule] += entry.count
    lines += [(1, f"{n} × {rule}") for rule, n in sorted(by_rule.items())]
    if out:
        lines.append((0, f"taken out: {out} entr{'y' if out == 1 else 'ies'} that accept nothing any more"))
    lines += [(0, f"could not be read: {one.why}") for one in unread]
    lines += [(0, f"not accepted: {path}: its name can't be written into a text file: rename it") for path in unnamed]
    lines += [(0, f"a fault of dimaudit itself: {f.rule} on {f.path}: {f.error}") for f in faults]
    return lines
