"""The options that steer an audit, and the settings that they make."""

from collections.abc import Sequence
from fractions import Fraction
from pathlib import Path
from typing import Any

import click

from dimaudit.errors import UsageError
from dimaudit.exact.number import Rounding
from dimaudit.model.general import GeneralTolerance, GeneralTolerances, Iso2768
from dimaudit.model.scheme import Implied
from dimaudit.model.settings import EATEN_SHARE, Settings, ViewBox
from dimaudit.model.units import IN_MM, Unit


class Number(click.ParamType[Fraction]):
    """A non-negative decimal or a fraction, read exactly."""

    name = "number"

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> Fraction:
        if isinstance(value, Fraction):
            return value
        try:
            number = Fraction(str(value))
        except (ValueError, ZeroDivisionError):
            self.fail(f"{value!r} is neither a decimal nor a fraction such as 1/64", param, ctx)
        if number < 0:
            self.fail(f"{value!r} is negative", param, ctx)
        return number


class FindingNumber(click.ParamType[int]):
    """The number of a finding, with or without the letter of its level: 3 or E3."""

    name = "number"

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> int:
        digits = str(value).strip().lstrip("EWNewn")
        if not (digits.isascii() and digits.isdigit() and len(digits) < 10 and int(digits)):
            self.fail(f"{value!r} is not the number of a finding: write it as 3 or E3", param, ctx)
        return int(digits)


class Box(click.ParamType[ViewBox]):
    """A view's rectangle: X0,Y0,X1,Y1 with the view's scale behind an equals sign, if it is known."""

    name = "x0,y0,x1,y1[=scale]"

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> ViewBox:
        if isinstance(value, ViewBox):
            return value
        corners, _, scale = str(value).partition("=")
        try:
            x0, y0, x1, y1 = (Fraction(part.strip()) for part in corners.split(","))
            ratio = None
            if scale:
                drawn, _, true = scale.partition(":")
                ratio = Fraction(drawn) / Fraction(true or "1")
        except (ValueError, ZeroDivisionError):
            self.fail(f"{value!r} is not X0,Y0,X1,Y1 with an optional =DRAWN:TRUE, as in 0,0,200,100=2:1", param, ctx)
        if ratio is not None and ratio <= 0:
            self.fail(f"the scale in {value!r} must be above zero", param, ctx)
        return ViewBox((min(x0, x1), min(y0, y1)), (max(x0, x1), max(y0, y1)), ratio)


class General(click.ParamType[GeneralTolerance | Iso2768 | None]):
    """One general tolerance: .XX=.01, fractions=1/64, angles=0.5, lengths=0.2, iso2768-m; or none."""

    name = "for=tolerance"

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> Any:
        if not isinstance(value, str) or value.strip().lower() == "none":
            return None if isinstance(value, str) else value
        from dimaudit.judge.title_block import tolerance_by_word

        try:
            return tolerance_by_word(value)
        except ValueError as error:
            self.fail(f"{value!r}: {error}", param, ctx)


NUMBER, BOX, GENERAL = Number(), Box(), General()


IMPLIED = {kind.word: kind for kind in Implied}
"""The words of `--not-implied`."""


def setting_options(command: Any) -> Any:
    """The options that steer an audit, shared by the commands."""
    options = (
        click.option("--units", type=click.Choice([str(u) for u in IN_MM]), help="The drawing's unit, by your word."),
        click.option("--rounding", type=click.Choice([str(r) for r in Rounding]), default=str(Rounding.HALF_UP),
                     show_default=True, help="How a value exactly between two neighbours is written."),
        click.option("--snap", type=NUMBER, help="Points nearer than this are one.  [default: .00001 in, .0001 mm]"),
        click.option("--near", type=NUMBER, help="A definition point this near a feature, and not on it, has missed "
                     "it.  [default: 1/32 in, .8 mm]"),
        click.option("--gap", type=NUMBER, help="Open ends nearer than this should meet.  [default: 1/64 in, .4 mm]"),
        click.option("--noise", type=NUMBER, help="How far a coordinate may be from a simple number to be taken for "
                     "it.  [default: sized from the file, at most .000001]"),
        click.option("--eaten-share", type=NUMBER, help="The share of a tolerance that rounding may eat before it is a "
                     "warning.  [default: 1/10]"),
        click.option("--general-tolerance", "general", type=GENERAL, multiple=True, help="A tolerance for dimensions "
                     "without their own, in place of those of the title block: .XX=.01, fractions=1/64, angles=0.5, "
                     "lengths=0.2, iso2768-m, or none. May be repeated."),
        click.option("--view", "views", type=BOX, multiple=True, help="A rectangle that holds one view, with its scale "
                     "if known: 0,0,200,100=2:1. May be repeated."),
        click.option("--without-layer", "layers", multiple=True, help="A layer to leave out. May be repeated."),
        click.option("--not-implied", "not_implied", type=click.Choice(list(IMPLIED)), multiple=True, help="What the "
                     "dimension scheme must not take as implied by the linework. May be repeated."),
    )  # fmt: skip
    for option in reversed(options):
        command = option(command)
    return command


FORMAT = click.option("--format", "format_", type=click.Choice(["terminal", "json"]), default="terminal",
                      show_default=True, help="How to say it.")  # fmt: skip
OUTPUT = click.option("--output", type=click.Path(path_type=Path, dir_okay=False), help="Write the report to a file.")


def settings_from(
    units: str | None, rounding: str, snap: Fraction | None, near: Fraction | None, gap: Fraction | None,
    noise: Fraction | None, eaten_share: Fraction | None, general: Sequence[GeneralTolerance | Iso2768 | None],
    views: Sequence[ViewBox], layers: Sequence[str], not_implied: Sequence[str] = (),
) -> Settings:  # fmt: skip
    for name, value in (("--near", near), ("--gap", gap)):
        if snap is not None and value is not None and value <= snap:
            raise UsageError(f"{name} must be larger than --snap: what is nearer than that is joined, not missed")
    if eaten_share is not None and not 0 < eaten_share <= 1:
        raise UsageError("--eaten-share must be above 0 and at most 1, as in 1/10")
    return Settings(
        rounding=Rounding(rounding), unit=None if units is None else Unit(units), snap=snap, near=near, gap=gap,
        noise=noise, eaten_share=EATEN_SHARE if eaten_share is None else eaten_share,
        general=general_from(general), views=tuple(views), left_out_layers=tuple(layers),
        taken_as_implied=tuple(kind for word, kind in IMPLIED.items() if word not in not_implied),
    )  # fmt: skip


def general_from(stated: Sequence[GeneralTolerance | Iso2768 | None]) -> GeneralTolerances | None:
    """General tolerances by the user's word; None where nothing was said."""
    if not stated:
        return None
    entries = tuple(e for e in stated if isinstance(e, GeneralTolerance))
    classes = tuple(e for e in stated if isinstance(e, Iso2768))
    names = [e.name for e in entries] + ["iso2768"] * len(classes)
    if None in stated and len(stated) > 1:
        raise UsageError("--general-tolerance none leaves no room for another: drop one of them")
    if len(set(names)) < len(names):
        twice = next(name for name in names if names.count(name) > 1)
        raise UsageError(f"--general-tolerance is given twice for {twice}: drop one of them")
    return GeneralTolerances(entries, classes[0] if classes else None)
