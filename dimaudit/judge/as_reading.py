"""The as-read parts of a drawing, from its judged dimensions."""

from fractions import Fraction

from dimaudit.judge.check import Sheet
from dimaudit.judge.scale import factors_of
from dimaudit.judge.scheming import parts
from dimaudit.model.as_read import AsRead
from dimaudit.model.audit import Judgement, Verdict
from dimaudit.scheme.as_read import Said, as_read


def as_read_parts(sheet: Sheet, neglected: frozenset[str] = frozenset()) -> tuple[AsRead, ...]:
    """One for each part that is fully enough dimensioned to be read; empty where there is none.

    The dimensions in `neglected` (handles in capitals) give way to the others.
    """
    said = {
        j.attached.dimension.handle: _said(j, j.attached.dimension.handle.upper() in neglected)
        for j in sheet.judgements
    }
    views = [v for g in sheet.geometries for v in g.views]
    scales = {key: 1 / f.factor for key, f in factors_of(views, sheet.judgements, sheet.scales).items()}
    built = parts(
        sheet.geometries, sheet.judgements, sheet.hole_notes, sheet.scales, sheet.lengths,
        sheet.settings.taken_as_implied, sheet.drawing.unit, sheet.hole_tables, sheet.radius_notes,
    )  # fmt: skip
    return tuple(as_read(part, said, scales) for part in built)


def _said(judgement: Judgement, neglected: bool) -> Said:
    """What a dimension says to a person who works to it; of limits, whether what is drawn lies within them."""
    drawn = judgement.attached.drawn
    value = None if drawn is None else drawn.value
    limits = None
    if judgement.in_force is not None and judgement.in_force.band is not None and judgement.stated is not None:
        low, high = judgement.in_force.band
        limits = (low - judgement.stated, high - judgement.stated)
    stated, kept = judgement.stated, ""
    if neglected:
        stated, kept = None, "not trusted, by your word: its drawn value stands where nothing else gives it"
    elif judgement.verdict is Verdict.WITHIN_LIMITS:
        stated, kept = None, "it gives limits, and what is drawn lies within them: kept as drawn"
    elif stated is None:
        kept = f"{judgement.verdict}: it states no number; kept as drawn"
    elif stated < 0 or (stated == 0 and judgement.measured != Fraction(0)):
        stated, kept = None, "a number that is not above zero places nothing: kept as drawn"
    return Said(stated, judgement.measured, value, limits, kept, neglected)
