"""Runs the judging of one drawing: statements, scales, verdicts, rules. A rule that fails is its own outcome."""

from collections.abc import Sequence
from dataclasses import replace
from fractions import Fraction

from dimaudit.judge.called import with_dimensions, with_scale
from dimaudit.judge.check import Rule, Sheet
from dimaudit.judge.identity import identified
from dimaudit.judge.labels import scale_labels, scales_of_views
from dimaudit.judge.levels import is_off, on_level, rules_off
from dimaudit.judge.registry import RULES
from dimaudit.judge.rules.views_disagree import compared
from dimaudit.judge.scale import find_scales
from dimaudit.judge.scheming import parts, schemes
from dimaudit.judge.stating import state
from dimaudit.judge.texts import number_texts
from dimaudit.judge.title_block import read_title_block
from dimaudit.judge.verdict import judge
from dimaudit.model.attached import Attached
from dimaudit.model.audit import DrawingAudit, Finding, NotCompared, RuleFault, TextSource
from dimaudit.model.control_frame import NO_FRAMES, ControlFrames
from dimaudit.model.drawing import Drawing
from dimaudit.model.hole_table import NO_TABLES, HoleTables
from dimaudit.model.pointed import HoleNote, RadiusNote, claimed
from dimaudit.model.settings import Lengths, Settings
from dimaudit.model.view import Geometry


def judge_drawing(
    drawing: Drawing,
    geometries: Sequence[Geometry],
    attached: Sequence[Attached],
    lengths: Lengths,
    settings: Settings,
    frames: ControlFrames = NO_FRAMES,
    hole_tables: HoleTables = NO_TABLES,
    rules: Sequence[Rule] = RULES,
    *,
    notes: Sequence[HoleNote] = (),
    radii: Sequence[RadiusNote] = (),
) -> tuple[DrawingAudit, tuple[RuleFault, ...]]:
    """The audit of one drawing, and the rules that broke on it."""
    sheet, broken = sheet_of(
        drawing, geometries, attached, lengths, settings, frames, hole_tables, notes, radii
    )
    try:
        sheet = replace(sheet, in_line=tuple(compared(sheet)))
    except MemoryError:
        raise
    except Exception as error:
        broken.append(RuleFault(drawing.path, "views in line", f"{type(error).__name__}: {error}"))
    findings: list[Finding] = []
    for rule in rules:
        if is_off(rule, settings):
            continue
        try:
            findings += on_level(rule, rule.check(sheet), settings)
        except MemoryError:
            raise
        except Exception as error:
            broken.append(RuleFault(drawing.path, rule.name, f"{type(error).__name__}: {error}"))
    try:
        findings = list(identified(findings, sheet))
    except Exception as error:
        broken.append(RuleFault(drawing.path, "identity", f"{type(error).__name__}: {error}"))
    audit = DrawingAudit(
        path=drawing.path,
        sha256=drawing.sha256,
        version=drawing.version,
        unit=drawing.unit,
        unit_from=drawing.unit_from,
        lengths=lengths,
        rounding=settings.rounding,
        judgements=tuple(sheet.judgements),
        findings=tuple(findings),
        losses=drawing.losses + rules_off(rules, settings),
        views=tuple(view.name for g in geometries for view in g.views),
        undimensioned=sum(g.undimensioned for g in geometries),
        texts=number_texts(sheet),
        title_block=sheet.title_block,
        schemes=tuple(sheet.schemes),
        view_scales=scales_of_views(sheet.labels),
        views_not_compared=tuple(said for said in sheet.in_line if isinstance(said, NotCompared)),
    )
    return audit, tuple(broken)


def sheet_of(
    drawing: Drawing,
    geometries: Sequence[Geometry],
    attached: Sequence[Attached],
    lengths: Lengths,
    settings: Settings,
    frames: ControlFrames = NO_FRAMES,
    hole_tables: HoleTables = NO_TABLES,
    notes: Sequence[HoleNote] = (),
    radii: Sequence[RadiusNote] = (),
) -> tuple[Sheet, list[RuleFault]]:
    """Everything that the rules look at, and what broke on the way."""
    statements = [state(a, settings.rounding) for a in attached]
    scales = find_scales(attached, statements, drawing.unit)
    factors = [scales[id(a.view)].factor if id(a.view) in scales else Fraction(1) for a in attached]
    if scales:  # what a scaled view's texts should say is known only now
        statements = [
            state(a, settings.rounding, f) if f != 1 and s.source is not TextSource.TYPED else s
            for a, s, f in zip(attached, statements, factors, strict=True)
        ]
    elsewhere = {*frames.claimed, *hole_tables.claimed, *claimed(notes)}
    title_block = read_title_block(drawing.spaces, settings.general, elsewhere)
    labels = scale_labels(geometries, title_block.scales)
    scales_said = scales_of_views(labels)
    title_block = title_block.without({said.handle for said in scales_said})
    judgements = tuple(
        judge(a, s, drawing.unit, f, title_block.tolerances)
        for a, s, f in zip(attached, statements, factors, strict=True)
    )
    faults = [(g.space.name, fault) for g in geometries for fault in g.faults]
    hole_notes = with_dimensions(notes, judgements, scales, lengths)
    broken: list[RuleFault] = []
    try:
        found = schemes(parts(
            geometries, judgements, hole_notes, tuple(scales.values()), lengths, settings.taken_as_implied,
            drawing.unit, hole_tables, radii,
        ))  # fmt: skip
    except MemoryError:
        raise
    except Exception as error:
        found = ()
        broken.append(RuleFault(drawing.path, "scheme", f"{type(error).__name__}: {error}"))
    sheet = Sheet(
        drawing, settings, lengths, judgements, statements, tuple(scales.values()), faults, geometries,
        labels, frames=frames, hole_tables=hole_tables, title_block=title_block,
        hole_notes=hole_notes, radius_notes=with_scale(radii, judgements, scales), schemes=found,
    )  # fmt: skip
    return sheet, broken
