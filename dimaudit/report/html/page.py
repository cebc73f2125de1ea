"""The page: the template filled with what the run holds. All text is escaped as it goes in."""

import base64
import hashlib
import json
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from importlib.resources import files
from pathlib import PurePath
from typing import Any

from jinja2 import Environment, FunctionLoader, StrictUndefined
from markupsafe import Markup

from dimaudit.model.audit import DrawingAudit, Judgement, Level, UnreadDrawing
from dimaudit.model.marks import Numbered, numbered
from dimaudit.model.seen import Seen
from dimaudit.report.arithmetic import arithmetic
from dimaudit.report.as_read import as_read_lines
from dimaudit.report.html.facts import Fact, about, counted, facts
from dimaudit.report.html.figure import Figure, Looks, figure, near
from dimaudit.report.html.overlay import largest_move, overlay
from dimaudit.report.html.rule_pages import rule_page
from dimaudit.report.interface import CAUTION, Run, numbers_in
from dimaudit.report.svg import LETTER
from dimaudit.report.visible import visible

LONGEST = 2000
"""Characters of one text that are shown; what is cut says so."""
AT_ONCE = 30
"""Findings of one rule that are listed at once; the others are a press away, and all are printed."""


@dataclass(frozen=True)
class Group:
    """The findings of one rule."""

    rule: str
    level: Level
    """The highest."""
    findings: tuple[Numbered, ...]


@dataclass(frozen=True)
class Audited:
    """One drawing on the page."""

    number: int
    audit: DrawingAudit
    seen: Seen
    looks: Looks
    accepted: int = 0

    @property
    def path(self) -> str:
        return self.audit.path

    @property
    def name(self) -> str:
        """The file's name without its folders."""
        return PurePath(self.audit.path).name or self.audit.path

    @property
    def dimensions(self) -> int:
        return len(self.audit.judgements)

    @property
    def judged(self) -> int:
        return self.audit.judged()

    @cached_property
    def levels(self) -> Counter[Level]:
        return Counter(f.level for f in self.audit.findings)

    @cached_property
    def findings(self) -> tuple[Numbered, ...]:
        """By their numbers."""
        return tuple(numbered(self.audit.findings))

    @cached_property
    def groups(self) -> tuple[Group, ...]:
        """By rule, the rules with the highest level first."""
        order = list(Level)
        found: dict[str, list[Numbered]] = {}
        for one in self.findings:
            found.setdefault(one.finding.rule, []).append(one)
        groups = [
            Group(rule, min((n.finding.level for n in some), key=order.index), tuple(some))
            for rule, some in found.items()
        ]
        return tuple(sorted(groups, key=lambda group: order.index(group.level)))

    @cached_property
    def figures(self) -> tuple[Figure, ...]:
        return tuple(figure(picture, self.audit.findings, self.looks) for picture in self.seen.pictures)

    @cached_property
    def facts(self) -> tuple[Fact, ...]:
        return facts(self.audit)

    @property
    def about(self) -> str:
        return about(self.audit)

    @cached_property
    def as_read(self) -> tuple[tuple[int, str], ...]:
        """What the as-read part says in words."""
        texts = {j.attached.dimension.handle: j.text for j in self.audit.judgements}
        return tuple(as_read_lines([part for _, part in self.seen.parts], self.audit.unit, texts))

    @cached_property
    def _by_layout(self) -> dict[str, int]:
        return {f.layout: k for k, f in enumerate(self.figures)}

    @cached_property
    def laid(self) -> list[dict[str, Any]]:
        """As-read parts that can be laid over a figure."""
        return [
            {"figure": k, "most": near(largest_move(part)), "shapes": overlay(part, self.figures[k])}
            for layout, part in self.seen.parts if (k := self._by_layout.get(layout)) is not None
        ]  # fmt: skip

    @property
    def not_laid(self) -> list[str]:
        """Spaces whose as-read part no figure shows."""
        return sorted({layout for layout, _ in self.seen.parts} - set(self._by_layout))

    @cached_property
    def data(self) -> Markup:
        """What the script needs, as JSON that cannot leave its element."""
        return _json({
            "figures": [{"layout": visible(f.layout), "size": [near(v) for v in f.size]} for f in self.figures],
            "findings": [
                {"mark": n.label, "level": n.finding.level, "rule": n.finding.rule,
                 "handles": [visible(h) for h in n.finding.handles],
                 "at": self._marked.get(n.number)}
                for n in self.findings
            ],
            "dimensions": [self._dimension(j) for j in self.audit.judgements],
            "parts": self.laid,
        })  # fmt: skip

    @cached_property
    def _marked(self) -> dict[int, tuple[int, float, float]]:
        """By the number of a finding: the figure that it is marked on, its own layout's before others, and where."""
        found: dict[int, tuple[int, float, float]] = {}
        for k, shown in enumerate(self.figures):
            for mark in shown.marks:
                own = self.findings[mark.number - 1].finding.layout == shown.layout
                if own or mark.number not in found:
                    found[mark.number] = (k, *shown.place(*mark.at))
        return found

    def spot(self, layout: str, at: tuple[float, float] | None) -> tuple[int, float, float] | None:
        """A place as the number of its figure and a point in that; None where no figure shows it."""
        if at is None or layout not in self._by_layout:
            return None
        k = self._by_layout[layout]
        return k, *self.figures[k].place(*at)

    def _dimension(self, j: Judgement) -> dict[str, Any]:
        """One dimension: its handle, what it measures, and its arithmetic."""
        d = j.attached.dimension
        shapes = [s for e in j.attached.ends if e.feature is not None for s in e.feature.shapes]
        features = dict.fromkeys(visible((*s.origin.inserts, s.origin.handle)[0]) for s in shapes)
        return {
            "handle": visible(d.handle),
            "text": visible(j.text),
            "verdict": j.verdict,
            "at": self.spot(d.layout, _middle(j)),
            "features": [h for h in features if h != d.handle],
            "steps": [[visible(step.title), *(visible(line, LONGEST) for line in step.lines)]
                      for step in arithmetic(j, self.audit)],
        }  # fmt: skip


def _middle(j: Judgement) -> tuple[float, float] | None:
    spot = j.attached.dimension.shown_at
    return None if spot is None else (float(spot[0]), float(spot[1]))


def page(run: Run) -> str:
    """The whole page."""
    looks = Looks()
    seen = run.seen or tuple(Seen() for _ in run.report.drawings)
    without = run.accepted or (0,) * len(run.report.drawings)
    drawings: list[Audited | UnreadDrawing] = [
        d if isinstance(d, UnreadDrawing) else Audited(n, d, look, looks, accepted)
        for n, (d, look, accepted) in enumerate(zip(run.report.drawings, seen, without, strict=True), 1)
    ]
    audited = [d for d in drawings if isinstance(d, Audited)]
    for one in audited:
        _ = one.figures  # the looks of their strokes go into the style sheet, which stands above them
    rules = frozenset(f.rule for d in audited for f in d.audit.findings)
    style = Markup(f"\n{own('page.css')}\n{looks.css()}\n")
    script = Markup(f"\n{own('page.js')}\n")
    return environment().get_template("page.html").render(
        style=style, script=script, style_hash=source_hash(style), script_hash=source_hash(script),
        title=_title(drawings), drawings=drawings, audited=audited, levels=list(Level), letters=LETTER,
        totals=sum((d.levels for d in audited), Counter()), caution=CAUTION, version=run.version,
        faults=run.report.faults, remarks=run.remarks,
        pages=[p for r in sorted(rules) if (p := rule_page(r, rules)) is not None],
        counted=counted, numbers_in=numbers_in, at_once=AT_ONCE,
    )  # fmt: skip


def _title(drawings: Sequence[Audited | UnreadDrawing]) -> str:
    if len(drawings) == 1:
        return PurePath(drawings[0].path).name or drawings[0].path
    return counted(len(drawings), "drawing")


def environment() -> Environment:
    """Templates of the package; each text that they are given is made harmless, then escaped."""
    environment = Environment(
        loader=FunctionLoader(own), autoescape=True, undefined=StrictUndefined, trim_blocks=True, lstrip_blocks=True,
        finalize=lambda v: visible(v, LONGEST) if isinstance(v, str) and not isinstance(v, Markup) else v,
    )  # fmt: skip
    environment.tests["read"] = lambda drawing: isinstance(drawing, Audited)
    return environment


def own(name: str) -> str:
    return files("dimaudit.report.html").joinpath(name).read_text(encoding="utf-8")


def source_hash(text: str) -> str:
    """What the page's policy knows an element by (Content Security Policy, hash source)."""
    return "sha256-" + base64.b64encode(hashlib.sha256(text.encode("utf-8")).digest()).decode("ascii")


def _json(value: object) -> Markup:
    """JSON in which no character can end the element it stands in (HTML standard, script data state)."""
    text = json.dumps(value, ensure_ascii=False, separators=(",", ":"))
    return Markup(text.replace("&", "\\u0026").replace("<", "\\u003c").replace(">", "\\u003e"))
