"""Readings in few words, as docs/dimension-text.md and the table of published notation write them."""

from dataclasses import fields

from dimaudit.model.stated import CallOut, Chamfer, HoleStep, Reading, Stated, Thread, Tolerance

_HEADLINE = ("value", "step", "places", "denominator", "sign", "unit")


def described(reading: Reading | CallOut | None) -> str:
    """A reading with what is not at its default; only its kind where it states nothing."""
    if isinstance(reading, CallOut):
        return _call_out(reading) or "empty"
    if not isinstance(reading, Stated):
        return type(reading).__name__ if reading is not None else "None"
    parts = [f"{name}={_told(name, value)}" for name, value in _said(reading)]
    return " ".join(parts)


def _said(stated: Stated) -> list[tuple[str, object]]:
    """The fields that are not at their default."""
    pairs = [(field.name, getattr(stated, field.name)) for field in fields(stated)]
    return [(name, told) for name, told in pairs if told is not None and told is not False and told not in ((), "")]


def _told(name: str, value: object) -> str:
    match value:
        case Tolerance(upper, lower):
            return f"{upper}..{lower}"
        case Stated():
            return size(value)
        case Chamfer(angle, leg):
            said = [f"{angle and size(angle)}"] * bool(angle) + [f"leg {leg and size(leg)}"] * bool(leg)
            return f"({' '.join(said)})"
        case CallOut():
            return f"({_call_out(value)})"
        case tuple() if name == "words":
            return ",".join(value)
        case tuple():
            return "..".join(map(str, value))
    return str(value)


def size(stated: Stated) -> str:
    """A size within a reading: symbol, value, how finely it is written, and what stands with it."""
    fine = f"/{stated.denominator}ths" if stated.denominator and stated.value.denominator != stated.denominator else ""
    fine = f"[{stated.places}]" if stated.places is not None else fine
    parts = [f"{stated.sign or ''}{stated.value}{fine}{stated.unit or ''}"]
    parts += [f"{name}={_told(name, value)}" for name, value in _said(stated) if name not in _HEADLINE]
    return " ".join(parts)


def _call_out(note: CallOut) -> str:
    parts = [f"{note.count}X"] if note.count is not None else []
    parts += [_step(step) for step in note.steps]
    if note.thread is not None:
        parts.append(f"thread {_thread(note.thread)}")
    if note.thread_depth is not None:
        parts.append(f"thread depth {size(note.thread_depth)}")
    if note.screw is not None:
        parts.append(" ".join(f"screw {_thread(note.screw)} {note.head}".split()))
    if note.bolt_circle is not None:
        parts.append(f"bolt circle {size(note.bolt_circle)}")
    if note.spacing is not None:
        parts.append(f"spacing {size(note.spacing)}")
    if note.equally_spaced:
        parts.append("equally spaced")
    if note.words:
        parts.append(f"words {','.join(note.words)}")
    return "; ".join(parts)


def _step(step: HoleStep) -> str:
    parts = [str(step.kind)]
    parts += [size(step.diameter)] if step.diameter is not None else []
    parts += [f"angle {size(step.angle)}"] if step.angle is not None else []
    parts += [f"deep {size(step.depth)}"] if step.depth is not None else []
    return " ".join([*parts, "thru"] if step.through else parts)


def _thread(thread: Thread) -> str:
    pitch = f" pitch {thread.pitch}" if thread.pitch is not None else ""
    fit = f" class {thread.fit_class}" if thread.fit_class else ""
    return f"'{thread.text}' {thread.diameter}{thread.unit}{pitch}{fit}{' pipe' if thread.pipe else ''}"
