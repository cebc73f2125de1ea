"""Whether what a submission's dimensions and notes say is right, well stated and associated."""

from collections import Counter, defaultdict
from collections.abc import Iterator
from dataclasses import dataclass, replace
from fractions import Fraction

from dimaudit.exact.real import real_text
from dimaudit.grade.as_fine import as_fine, places_read
from dimaudit.grade.dimensioned import Dimensioned, Said, typed_over
from dimaudit.grade.laid_out import LaidOut
from dimaudit.grade.shown_scale import UNITS, of_all, scale_words, times, wrongly
from dimaudit.grade.words import counted, length_text, points_text
from dimaudit.judge.causes import likeliest_cause
from dimaudit.model.attached import Hold
from dimaudit.model.audit import JUDGED, Finding, Judgement, Level, TextSource, Verdict
from dimaudit.model.drawing import ANGLES
from dimaudit.model.grading import Criterion, Deduction
from dimaudit.model.stated import Stated, Suppressed

WRONG = (Verdict.WRONG, Verdict.CUT_OFF)
NOTE_RULES = ("hole-note-mismatch", "radius-note-mismatch")
"""The rules of the audit that compare notes with what is drawn: what they warn of is wrong, too."""
AGAIN = ("repeated-dimension", "closed-chain")
"""Rules that name what is given twice; it costs nothing, but is to be learned (ASME Y14.5: each size once)."""
COUNT_RULE = "count-mismatch"
ELSEWHERE = ("wrong-value", "cut-off", "unreadable-text", "view-scale", "views-disagree", "chain-does-not-close")
"""Rules whose errors are charged by the verdict on the number, as the scale of all, or where the layout is wrong."""


def part_text(share: Fraction, each: Fraction) -> str:
    """'0.2 of 2 is taken: 0.4'."""
    return f"{points_text(share)} of {points_text(each)} is taken: {points_text(share * each)}"


@dataclass(frozen=True, slots=True)
class Quality:
    """Judges what is said, one dimension or note after the other."""

    laid_out: LaidOut
    found: Dimensioned
    each: Fraction
    """What a dimension is worth."""

    def deductions(self, spared: frozenset[str], absent: int = 0) -> Iterator[Deduction]:
        """`spared`: handles of those that are charged already, or that follow from what is missing.

        `absent`: how many of the key's are charged as not there; so many that are none of the key's may stand in
        their place, and cost nothing for what they say.
        """
        associated = self.laid_out.rubric.shares[3]
        key = self.laid_out.key.examined.audit
        loose: list[Said] = []
        coarse: list[Said] = []
        own = [said for said in self.found.own if said.handle not in spared]
        off_scale = self._off_scale(own)
        for factor, those in off_scale.items():
            yield from self._scaled(factor, those)
        by_units = of_all(self.laid_out) is not None and self._asks(Criterion.UNITS)
        scaled = set() if by_units else {said.handle for those in off_scale.values() for said in those}
        for said in own:
            like = self.found.like(said)
            model = None if like is None else like.key
            wrong = None if said.handle in scaled else self._right(said, model)
            faults = [wrong] if wrong is not None else []
            if not self._follows(said):
                faults += self._stated(said, model, coarse)
            asked = (bool(said.stated) and not said.reference) or (like is not None and like.for_information)
            tied = said.associated or (like is not None and (like.torn or not like.key.associated))
            hangs = said.judgement is not None and asked and not tied
            if model is None and absent and (hangs or any(d.points for d in faults)):
                absent -= 1
                faults = [replace(d, points=Fraction(0), follows="a dimension that is not there") for d in faults]
            elif hangs:
                loose.append(said)
            yield from faults
        if coarse:
            yield Deduction(
                Criterion.DIMENSIONS, Fraction(0), f"{counted(len(coarse), 'number')} more coarsely than the key's",
                (self._listed(coarse), "they are in another unit or at another scale, and that costs nothing here"),
                tuple(said.handle for said in coarse), coarse[0].at,
            )  # fmt: skip
        yield from self._twice()
        if loose and any(j.attached.hold is Hold.ASSOCIATED for j in key.judgements):
            yield self._associated(loose, associated)

    def for_a_person(self) -> str:
        """Why the whole is for a person: a dimension like the key's that could not be judged. Empty where none is."""
        names = [
            said.name(self.laid_out.submission.audit.unit) for said in self.found.own
            if said.judgement is not None and said.stated and said.judgement.verdict is Verdict.NOT_JUDGED
            and (like := self.found.like(said)) is not None
            and (like.key.judgement is None or like.key.judgement.verdict in JUDGED)
        ]  # fmt: skip
        return f"could not be compared with the layout: {', '.join(names)}" if names else ""

    def _twice(self) -> Iterator[Deduction]:
        """A remark where the audit says that a distance is given twice, and the key does not give it twice itself."""
        names = {said.handle: said for said in self.found.own}
        theirs, own = (
            [f for f in audit.findings if f.rule in AGAIN and f.handles]
            for audit in (self.laid_out.key.examined.audit, self.laid_out.submission.audit)
        )
        more = Counter(f.rule for f in own) - Counter(f.rule for f in theirs)  # of a loop either end may be named
        as_key = {f.handles[0] for f in theirs}
        for finding in own:
            said = names.get(finding.handles[0])
            if said is None or not more[finding.rule]:
                continue
            like = self.found.like(said)
            if like is None or like.key.handle not in as_key:
                yield Deduction(
                    Criterion.DIMENSIONS, Fraction(0), finding.message,
                    ("a size is given once: leave one out, or put it in parentheses as a reference",),
                    (said.handle,), said.at,
                )  # fmt: skip

    # --- right --------------------------------------------------------------------------------------

    def _off_scale(self, own: list[Said]) -> dict[Fraction, list[Said]]:
        """The dimensions whose numbers are so many times what is drawn, where they should not be."""
        found: dict[Fraction, list[Said]] = defaultdict(list)
        for said in own:
            if said.judgement is not None and said.stated:
                factor = self._times(said, said.judgement)
                if wrongly(factor, self.laid_out):
                    found[factor].append(said)
        return found

    def _times(self, said: Said, judgement: Judgement) -> Fraction:
        like = self.found.like(said)
        return times(judgement, None if like is None else like.key.judgement, self.laid_out)

    def _scaled(self, factor: Fraction, those: list[Said]) -> Iterator[Deduction]:
        """One cause, named once; where all show it, `units` charges it."""
        rubric, right = self.laid_out.rubric, self.laid_out.rubric.shares[1]
        every = of_all(self.laid_out) is not None
        if every and self._asks(Criterion.UNITS):
            return
        passes = every and rubric.other_units and factor in UNITS
        words = scale_words(factor)
        what = f"its dimensions {words}" if every else f"{counted(len(those), 'dimension')} {_one(words, len(those))}"
        costs = "the rubric lets it pass" if passes else (
            f"{len(those)} x {part_text(right, self.each)}" if len(those) > 1 else part_text(right, self.each)
        )
        yield Deduction(
            Criterion.DIMENSIONS, Fraction(0) if passes else len(those) * right * self.each, what,
            (self._listed(those), "set the factor for lengths (DIMLFAC) to the key's", costs),
            tuple(said.handle for said in those), those[0].at,
        )  # fmt: skip

    def _right(self, said: Said, model: Said | None) -> Deduction | None:
        """What is wrong about it is said once, and costs its share once."""
        unit = self.laid_out.submission.audit.unit
        right, stated = self.laid_out.rubric.shares[1], self.laid_out.rubric.shares[2]
        name, share, follows, why = said.name(unit), right, "", [""]
        judgement = said.judgement
        if judgement is not None and judgement.verdict in WRONG and judgement.measured is not None:
            what, why = f"{name} is wrong", self._numbers(judgement)
            if _halved(judgement):
                share, what = Fraction(0), f"{name} is rounded down from an exact half"
                why = [*why[:2], "the program that wrote it did that, not the learner"]
            if typed_over(judgement) and self._asks(Criterion.TYPED):
                follows = "the number typed over, under 'typed-over'"
        elif judgement is not None and judgement.verdict is Verdict.UNREADABLE:
            what, why = f"{name} cannot be read", [judgement.reason]
        elif judgement is not None and not said.stated and not said.threaded:
            if model is None and not isinstance(judgement.reading, Suppressed):
                share = Fraction(0)  # words alone, and no number is asked there
            share = share and right + stated
            what, why = f"{name} states no number", ["so it is neither right nor well stated"] if share else []
        elif judgement is not None and judgement.verdict is Verdict.NOT_JUDGED:
            share, what, why = Fraction(0), f"{name} could not be compared with the layout", [judgement.reason]
            why.append("a person may look at it")
        else:
            faults = self._faults(said, model)
            if not faults:
                return None
            what, why = f"{name} is wrong", [line for f in faults for line in (f.message, *f.why)]
            if model is not None and all(_as_key(f, said, model) for f in faults):
                follows = "it says what the key's does, and the layout is drawn otherwise"
        same = model is not None and self._same(said, model)
        if same:
            why.append("the key has the same: it costs nothing")
            follows = ""
        cost = Fraction(0) if same or follows else share * self.each
        if cost:
            why.append(part_text(share, self.each))
        return Deduction(
            Criterion.DIMENSIONS, cost, what, tuple(filter(None, why)), (said.handle,), said.at, _of(model), follows
        )

    def _numbers(self, judgement: Judgement) -> list[str]:
        unit, measured, reading = self.laid_out.submission.audit.unit, judgement.measured, judgement.reading
        assert measured is not None
        degrees = judgement.attached.dimension.kind in ANGLES
        shown = real_text(measured, 6) + "°" if degrees else length_text(measured, unit)
        why = [f"it says {judgement.text.strip()}", f"the layout measures {shown}"]
        if judgement.verdict is Verdict.CUT_OFF:
            why.append("the digits are cut off, not rounded")
        elif isinstance(reading, Stated) and judgement.stated is not None and judgement.step is not None:
            cause = likeliest_cause(judgement.attached, reading, judgement.stated, judgement.step, measured, unit)
            why += [f"likely cause: {cause.words}"] if cause else []
        return why

    def _faults(self, said: Said, model: Said | None) -> list[Finding]:
        """What the audit says against a dimension or a note, its number left aside."""
        return [
            f for f in self.laid_out.submission.audit.findings
            if f.handles[:1] == (said.handle,) and f.rule not in ELSEWHERE and _counts(f, said, model)
        ]  # fmt: skip

    def _same(self, said: Said, model: Said) -> bool:
        """Whether the key's own is wrong in the same way."""
        like, own = model.judgement, said.judgement
        if own is not None and like is not None and own.verdict not in (Verdict.EXACT, Verdict.ROUNDED):
            return (like.verdict, like.text) == (own.verdict, own.text)
        rules = {f.rule for f in self.laid_out.key.examined.audit.findings if f.handles[:1] == (model.handle,)}
        return said.text == model.text and rules >= {f.rule for f in self._faults(said, model)}

    # --- well stated --------------------------------------------------------------------------------

    def _follows(self, said: Said) -> bool:
        """Whether how it is stated follows from a number that was typed over or is wrong, and was charged so."""
        judgement = said.judgement
        if judgement is None:
            return bool(self._faults(said, None))
        return judgement.verdict in WRONG or (typed_over(judgement) and self._asks(Criterion.TYPED))

    def _stated(self, said: Said, model: Said | None, coarse: list[Said]) -> Iterator[Deduction]:
        """As the key states the same; where the key has no such dimension, as coarse as any of its kind in the key."""
        if said.reference or not said.stated:
            return
        models = [model] if model is not None else [
            met.key for met in self.found.met if (met.key.kind in ANGLES) == (said.kind in ANGLES)
        ]  # fmt: skip
        models = [m for m in models if m.stated]
        shows = Fraction(1) if said.judgement is None else self._times(said, said.judgement)
        ratio = Fraction(1) if said.kind in ANGLES else shows / self.laid_out.fit.alignment.factor
        if not models or any(as_fine(said, m, ratio) for m in models):
            return
        if ratio != 1 and (self.laid_out.rubric.other_units or self._asks(Criterion.UNITS)):
            coarse.append(said)
            return
        share, places, wanted = self.laid_out.rubric.shares[2], places_read(said), places_read(models[0])
        if (places is None) != (wanted is None):
            what = f"is not stated as {'a fraction' if wanted is None else 'a decimal'}"
            why = f'the key says "{models[0].text}"'
        else:
            what = "is stated too coarsely"
            why = f'{counted(places or 0, "place")}; the key says "{models[0].text}"'
        yield Deduction(
            Criterion.DIMENSIONS, share * self.each, f"{said.name(self.laid_out.submission.audit.unit)} {what}",
            (why, part_text(share, self.each)), (said.handle,), said.at, _of(None if len(models) > 1 else models[0]),
        )  # fmt: skip

    # --- associated ---------------------------------------------------------------------------------

    def _associated(self, loose: list[Said], share: Fraction) -> Deduction:
        handles, listed = tuple(s.handle for s in loose), self._listed(loose)
        what = f"{counted(len(loose), 'dimension')} not associated with the layout"
        if not self.laid_out.submission.drawing.can_associate:
            why = ("the file's version cannot hold associations: it costs nothing", listed)
            return Deduction(Criterion.DIMENSIONS, Fraction(0), what, why, handles, loose[0].at)
        cost = share * self.each
        shown = (listed, "the key's are associated: they follow when the layout is changed",
                 f"of each {points_text(share)} of {points_text(self.each)}: {len(loose)} x {points_text(cost)} = "
                 f"{points_text(len(loose) * cost)}")  # fmt: skip
        return Deduction(Criterion.DIMENSIONS, cost * len(loose), what, shown, handles, loose[0].at)

    def _listed(self, those: list[Said]) -> str:
        names = [s.name(self.laid_out.submission.audit.unit) for s in those]
        return ", ".join(names[:3]) + (f" and {len(names) - 3} more" if len(names) > 3 else "")

    def _asks(self, criterion: Criterion) -> bool:
        return any(a.criterion is criterion for a in self.laid_out.rubric.criteria)


def _halved(judgement: Judgement) -> bool:
    """Whether a program wrote 53.97 for an exact 53.975: in doubles that is often a little less."""
    if judgement.verdict is not Verdict.CUT_OFF or judgement.source is TextSource.TYPED or not judgement.step:
        return False
    return judgement.residual is not None and all(abs(end) == judgement.step / 2 for end in judgement.residual)


def _of(model: Said | None) -> tuple[str, ...]:
    return () if model is None else (model.handle,)


def _one(words: str, number: int) -> str:
    """'show' of several, 'shows' of one."""
    return words.replace("show ", "shows ", 1) if number == 1 else words


def _counts(finding: Finding, said: Said, model: Said | None) -> bool:
    """Whether a finding makes a dimension wrong. How many holes a note should count, the key says, too."""
    if finding.level is Level.ERROR:
        return True
    if finding.rule == COUNT_RULE and model is not None:
        return said.count != model.count
    return finding.rule in NOTE_RULES and finding.level is Level.WARNING


def _as_key(finding: Finding, said: Said, model: Said) -> bool:
    """Whether a text is wrong only since the layout is drawn otherwise than the key, for it says what the key's does.

    That was charged where the layout was compared.
    """
    if finding.rule == COUNT_RULE:
        return said.count is not None and said.count == model.count
    return finding.rule in NOTE_RULES and [s.value for s in said.stated] == [s.value for s in model.stated]

