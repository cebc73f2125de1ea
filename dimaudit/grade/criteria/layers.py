"""Linework, points and dimensions are on the layers, and of the kinds of entity, that the rubric asks."""

from collections import defaultdict
from collections.abc import Iterator
from fractions import Fraction

from dimaudit.grade.criteria.adding import each_of, marked
from dimaudit.grade.laid_out import LaidOut
from dimaudit.grade.layout import Kind
from dimaudit.grade.words import counted, key_handles, named
from dimaudit.model.drawing import LineRole
from dimaudit.model.grading import Asked, Criterion, CriterionMark, Deduction, LayerAsked

Drawn = tuple[str, str, tuple[str, ...], str]
"""Layer, kind of entity, handles, name."""
THINGS = {
    "outline": "visible edge", "hidden": "hidden edge", "centre": "centreline", "dimensions": "dimension",
    "points": "point",
}  # fmt: skip
ROLES = {"outline": LineRole.OUTLINE, "hidden": LineRole.HIDDEN, "centre": LineRole.CENTRE}
EXPLODED = "lines and a text"
"""What an exploded dimension is."""


def mark(laid_out: LaidOut, asked: Asked) -> CriterionMark:
    """Each piece of the key for a purpose that the rubric names is one thing asked; so is each dimension of the key."""
    count = sum(len(_asked(laid_out, purpose.purpose)) for purpose in laid_out.rubric.layers)
    each = each_of(asked, count) if count else Fraction(0)
    return marked(asked, count, (d for p in laid_out.rubric.layers for d in _found(laid_out, p, each)))


def _asked(laid_out: LaidOut, purpose: str) -> list[int]:
    """The key's pieces of a purpose; the key's dimensions by their number."""
    pieces = laid_out.key.pieces
    if purpose == "dimensions":
        return list(range(len(laid_out.key.examined.audit.judgements)))
    if purpose == "points":
        return [k for k, p in enumerate(pieces) if p.kind is Kind.POINT or _needs_a_point(laid_out, k)]
    return [k for k, p in enumerate(pieces) if p.kind is not Kind.POINT and p.role is ROLES[purpose]]


def _needs_a_point(laid_out: LaidOut, k: int) -> bool:
    piece = laid_out.key.pieces[k]
    asked = any(a.criterion is Criterion.CENTRE_POINTS for a in laid_out.rubric.criteria)
    return asked and piece.kind is Kind.CIRCLE and piece.role is not LineRole.CENTRE and not any(
        p.kind is Kind.POINT and p.spots == piece.spots for p in laid_out.key.pieces
    )  # fmt: skip


def _found(laid_out: LaidOut, asked: LayerAsked, each: Fraction) -> Iterator[Deduction]:
    """What is off in one way is said once, and costs as often as it is."""
    if asked.purpose == "dimensions":
        drawn: list[Drawn] = [
            (j.attached.dimension.layer, EXPLODED if j.attached.dimension.exploded else "DIMENSION",
             (j.attached.dimension.handle,), "")
            for j in laid_out.submission.audit.judgements
        ]  # fmt: skip
    elif asked.purpose == "points":
        drawn = [o for s, p in enumerate(laid_out.own) if p.kind is Kind.POINT for o in _drawn(laid_out, s, asked, "")]
    else:
        drawn = [
            o for k in _asked(laid_out, asked.purpose) if k in laid_out.pairing.of_key
            for o in _drawn(laid_out, laid_out.pairing.of_key[k], asked, named(laid_out.key, k))
        ]  # fmt: skip
        yield from _other_linetype(laid_out, asked, each)
    layers = {name.casefold() for name in asked.layers}
    entities = {name.upper() for name in asked.entities}
    wrong: dict[tuple[str, str], list[tuple[tuple[str, ...], str]]] = defaultdict(list)
    for layer, entity, handles, name in drawn:
        if layers and layer.casefold() not in layers:
            wrong["layer", layer].append((handles, name))
        if entities and entity.upper() not in entities:
            wrong["entity", entity].append((handles, name))
    for (what, found), own in sorted(wrong.items()):
        holes = all(" hole at " in name for _, name in own)
        thing = "hole" if holes else THINGS[asked.purpose]
        wanted = " or ".join(asked.layers if what == "layer" else asked.entities)
        said = f"on layer {found}" if what == "layer" else f"drawn as {found}"
        names = list(dict.fromkeys(name for _, name in own if name))
        why = [f"asked: {wanted}", *([f"among them {', '.join(names[:3])}"] if names else [])]
        yield Deduction(
            Criterion.LAYERS, each * len(own), f"{counted(len(own), thing)} {said} instead of {wanted}", tuple(why),
            tuple(dict.fromkeys(h for handles, _ in own for h in handles)),
        )  # fmt: skip


def _drawn(laid_out: LaidOut, s: int, asked: LayerAsked, name: str) -> list[Drawn]:
    """One piece, by the entity of it that is least as asked."""
    handles = laid_out.own[s].handles
    origins = [laid_out.origins[h] for h in handles if h in laid_out.origins]
    if not origins:
        return []
    layers, entities = {n.casefold() for n in asked.layers}, {n.upper() for n in asked.entities}

    layer = min(origins, key=lambda o: (not layers or o.layer.casefold() in layers, o.layer)).layer
    entity = min(origins, key=lambda o: (not entities or o.entity in entities, o.entity)).entity
    return [(layer, entity, handles, name)]


def _on_layer(laid_out: LaidOut, s: int, asked: LayerAsked) -> bool:
    """Whether a piece is on a layer that is asked: one on another mostly has its linetype from there, one cause."""
    layers = {name.casefold() for name in asked.layers}
    return not layers or any(layer.casefold() in layers for layer, *_ in _drawn(laid_out, s, asked, ""))


def _other_linetype(laid_out: LaidOut, asked: LayerAsked, each: Fraction) -> Iterator[Deduction]:
    wrong: dict[LineRole, list[int]] = defaultdict(list)
    for k in _asked(laid_out, asked.purpose):
        s = laid_out.pairing.of_key.get(k)
        if s is not None and laid_out.own[s].role is not laid_out.key.pieces[k].role and _on_layer(laid_out, s, asked):
            wrong[laid_out.own[s].role].append(k)
    for role, own in sorted(wrong.items()):
        thing = {LineRole.OUTLINE: "a visible edge", LineRole.HIDDEN: "a hidden edge", LineRole.CENTRE: "a centreline"}
        handles = [h for k in own for h in laid_out.own[laid_out.pairing.of_key[k]].handles]
        yield Deduction(
            Criterion.LAYERS, each * len(own),
            f"{counted(len(own), THINGS[asked.purpose])} in the linetype of {thing[role]}",
            (f"among them {', '.join(named(laid_out.key, k) for k in own[:3])}",), tuple(dict.fromkeys(handles)),
            key_handles=key_handles(laid_out.key, own),
        )  # fmt: skip
