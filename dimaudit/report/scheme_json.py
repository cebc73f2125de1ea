"""The dimension scheme of a part as JSON."""

from typing import Any

from dimaudit.model.scheme import Free, Loop, Scheme
from dimaudit.model.units import Unit
from dimaudit.report.json_shared import places, words
from dimaudit.text.place_words import ALONG


def scheme_json(scheme: Scheme, unit: Unit | None) -> dict[str, Any]:
    """One part: what its dimensions fix, leave free and fix twice."""
    return {
        "views": [view.name for view in scheme.views],
        "why_not": scheme.why_not or None,
        "unknowns": scheme.unknowns,
        "rank": scheme.rank,
        "rigid_motions": scheme.rigid,
        "missing": scheme.missing,
        "free": [_free(free, unit) for free in scheme.free],
        "unsure": places(scheme.unsure, unit),
        "loops": [_loop(loop) for loop in scheme.loops],
        "implied": words(scheme.taken),
        "left_out": [{"handle": handle, "why": why} for handle, why in scheme.left_out],
    }


def _free(free: Free, unit: Unit | None) -> dict[str, Any]:
    return {
        "axis": ALONG[free.axis],
        "follows": free.follows,
        "followed_by": free.others,
        "places": places(free.places, unit),
    }


def _loop(loop: Loop) -> dict[str, Any]:
    return {
        "dimension": loop.dimension,
        "steps": [{"dimension": handle, "sign": sign if loop.straight else None} for handle, sign in loop.steps],
        "straight": loop.straight,
        "implied": words(loop.implied),
    }
