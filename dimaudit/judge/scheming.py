"""The scheme of a drawing's views, from the judged dimensions."""

import re
from collections.abc import Iterable, Iterator, Sequence

from dimaudit.judge.edge_notes import edges_of_notes
from dimaudit.judge.noted import depths_of_notes, sizes_of_notes, sizes_of_words, tables_say
from dimaudit.judge.scale import ViewScale, factors_of
from dimaudit.model.audit import Judgement
from dimaudit.model.drawing import Kind
from dimaudit.model.hole_table import NO_TABLES, HoleTables
from dimaudit.model.pointed import HoleNote, RadiusNote
from dimaudit.model.projection import projections
from dimaudit.model.scheme import Implied, Scheme
from dimaudit.model.settings import Lengths
from dimaudit.model.stated import Stated, Suppressed
from dimaudit.model.units import Unit
from dimaudit.model.view import Geometry
from dimaudit.scheme.analyse import Built, Given, Placed, Sized, build, detail_of, groups, scheme_of


def schemes(built: Iterable[Built]) -> tuple[Scheme, ...]:
    """One scheme for each part."""
    return tuple(map(scheme_of, built))


def parts(
    geometries: Sequence[Geometry],
    judgements: Sequence[Judgement],
    notes: Sequence[HoleNote],
    scales: Sequence[ViewScale],
    lengths: Lengths,
    taken: Sequence[Implied] = tuple(Implied),
    unit: Unit | None = None,
    tables: HoleTables = NO_TABLES,
    radii: Sequence[RadiusNote] = (),
) -> Iterator[Built]:
    """The system of each part: views in line and their details. Views that nothing is stated on have none."""
    for geometry in geometries:
        own = {id(v) for v in geometry.views}
        given = [
            Given(j.attached, _count(j), _typical(j))
            for j in judgements
            if j.attached.view is not None and id(j.attached.view) in own and _holds(j)
        ]
        if not given:
            continue
        links = projections(geometry.views, float(lengths.snap))
        factors = factors_of(geometry.views, judgements, scales)
        enlarged = {key: f.factor for key, f in factors.items()}
        details = detail_of(geometry.views, enlarged)
        sized = [*sizes_of_notes(notes, geometry.views, enlarged, unit), *sizes_of_words(geometry)]
        placed = list(depths_of_notes(notes, links, enlarged, unit))
        for said in (*tables_say(tables, geometry), *edges_of_notes(radii, geometry, enlarged, unit)):
            sized += [said] if isinstance(said, Sized) else []
            placed += [said] if isinstance(said, Placed) else []
        for views, among in groups(geometry.views, links, details):
            ids = {id(v) for v in views}
            here = [g for g in given if id(g.attached.view) in ids]
            if here:
                yield build(
                    views, here, among, details, [s for s in sized if id(s.view) in ids], taken,
                    [p for p in placed if id(p.view) in ids],
                )  # fmt: skip


ROUND = (Kind.RADIUS, Kind.JOGGED_RADIUS)
_FULL_RADIUS = re.compile(r"\(?(?:\d{1,3} ?[Xx] ?)?(?:FULL )?R\)?")
"""An 'R' without a number: the width that is stated beside it gives the radius (ASME Y14.5, slots; from memory)."""


def _holds(judgement: Judgement) -> bool:
    """Whether a dimension holds anything: a reference does not (ASME Y14.5), nor one whose text is suppressed."""
    reading = judgement.reading
    if judgement.attached.dimension.kind in ROUND and _FULL_RADIUS.fullmatch(judgement.text.strip()):
        return False
    return not isinstance(reading, Suppressed) and not (isinstance(reading, Stated) and reading.reference)


def _count(judgement: Judgement) -> int:
    reading = judgement.reading
    return reading.count or 1 if isinstance(reading, Stated) else 1


def _typical(judgement: Judgement) -> bool:
    reading = judgement.reading
    return isinstance(reading, Stated) and any(word.upper().startswith("TYP") for word in reading.words)
