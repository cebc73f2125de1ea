"""Levels of a view: distinct coordinates, clustered within the snap distance and recovered together."""

from collections import Counter
from collections.abc import Iterable, Sequence
from fractions import Fraction

from dimaudit.exact.recover import Grid, Recovered, recover
from dimaudit.model.geometry import Levels


def build_levels(raws: Iterable[Fraction], snap: Fraction, noise: Fraction, grids: Sequence[Grid]) -> Levels:
    """The levels that `raws` stand on.

    Each cluster is represented by the coordinate that most points share. Positions are recovered from
    the drawing's origin; where some of them find nothing simple there, offsets from the view's lowest
    level are tried, and kept if they clean up more levels: a part drawn at an odd place is still a part
    of simple sizes. All levels of the axis use the same origin, so that differences stay consistent.
    """
    counts: Counter[float] = Counter()
    exactly: dict[float, Fraction] = {}
    for raw in raws:
        key = float(raw)
        counts[key] += 1
        exactly[key] = raw
    keys = sorted(counts)
    reach = float(snap)
    clusters: list[list[float]] = []
    for key in keys:
        if clusters and key - clusters[-1][0] <= reach:
            clusters[-1].append(key)
        else:
            clusters.append([key])
    heads = [
        exactly[cluster[0] if len(cluster) == 1 else max(cluster, key=lambda k: (counts[k], -exactly[k].denominator))]
        for cluster in clusters
    ]
    found = [recover(head, noise, grids) for head in heads]
    if any(map(_odd, found)):
        base = heads[0]
        offsets = [recover(head - base, noise, grids) for head in heads]
        if sum(map(_odd, offsets)) < sum(map(_odd, found)):
            # From the lowest level as it was meant, where that is known: views in line then have the same levels.
            found = [Recovered(h, found[0].value + r.value, r.grid) for h, r in zip(heads, offsets, strict=True)]
    values = {
        key: level if len(cluster) == 1 else Recovered(exactly[key], level.value, level.grid or "joined")
        for cluster, level in zip(clusters, found, strict=True)
        for key in cluster
    }
    return Levels(tuple(keys), values, reach)


def _odd(level: Recovered) -> bool:
    """Whether the level is no number that a hand would type, and no simple one was near."""
    return not level.grid and 10**6 % level.raw.denominator != 0
