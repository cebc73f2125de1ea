"""The options that steer an audit, and what they make together with the configuration files."""

from collections.abc import Callable, Sequence
from fractions import Fraction
from pathlib import Path
from typing import Any, TypeVar

import click

from dimaudit.config import values
from dimaudit.config.keys import KEYS, default_words
from dimaudit.config.settle import Configurations, Configured
from dimaudit.model.general import GeneralTolerance, Iso2768
from dimaudit.model.settings import ViewBox

T = TypeVar("T")


class Read(click.ParamType[T]):
    """A value read as configuration files read it."""

    def __init__(self, name: str, read: Callable[[object], T]) -> None:
        self.name = name
        self._read = read

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> T:
        try:
            return self._read(value)
        except ValueError as error:
            self.fail(str(error), param, ctx)


class FindingNumber(click.ParamType[int]):
    """The number of a finding, with or without the letter of its level: 3 or E3."""

    name = "number"

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> int:
        digits = str(value).strip().lstrip("EWNewn")
        if not (digits.isascii() and digits.isdigit() and len(digits) < 10 and int(digits)):
            self.fail(f"{value!r} is not the number of a finding: write it as 3 or E3", param, ctx)
        return int(digits)


NUMBER: Read[Fraction] = Read("number", values.number)
SHARE: Read[Fraction] = Read("number", values.share)
BOX: Read[ViewBox] = Read("x0,y0,x1,y1[=scale]", values.view_box)
GENERAL: Read[GeneralTolerance | Iso2768 | None] = Read("for=tolerance", values.general_tolerance)


def default(key: str) -> str:
    """The end of an option's help: what holds where neither it nor a configuration file says another thing."""
    return f"  [default: {default_words(key)}]"


def with_options(command: Any, options: Sequence[Any]) -> Any:
    """A command with options that several commands share; its help lists them in this order."""
    for option in reversed(options):
        command = option(command)
    return command


def setting_options(command: Any) -> Any:
    """The options that steer an audit, shared by the commands. Each has the name of its key."""
    options = (
        click.option("--units", type=click.Choice(list(values.UNITS)), help="The drawing's unit, by your word."
                     + default("units")),
        click.option("--rounding", type=click.Choice(list(values.ROUNDINGS)),
                     help="How a value exactly between two neighbours is written." + default("rounding")),
        click.option("--snap", type=NUMBER, help="Points nearer than this are one." + default("snap")),
        click.option("--near", type=NUMBER, help="A definition point this near a feature, and not on it, has missed "
                     "it." + default("near")),
        click.option("--gap", type=NUMBER, help="Open ends nearer than this should meet." + default("gap")),
        click.option("--noise", type=NUMBER, help="How far a coordinate may be from a simple number to be taken for "
                     "it." + default("noise")),
        click.option("--eaten-share", type=SHARE, help="The share of a tolerance that rounding may eat before it is a "
                     "warning." + default("eaten-share")),
        click.option("--general-tolerance", type=GENERAL, multiple=True, help="A tolerance for dimensions "
                     "without their own, in place of those of the title block: .XX=.01, fractions=1/64, angles=0.5, "
                     "lengths=0.2, iso2768-m, or none. May be repeated."),
        click.option("--view", type=BOX, multiple=True, help="A rectangle that holds one view, with its scale "
                     "if known: 0,0,200,100=2:1. May be repeated."),
        click.option("--without-layer", multiple=True, help="A layer to leave out. May be repeated."),
        click.option("--without-layout", multiple=True, help="A layout to leave out; model space is always read. May "
                     "be repeated."),
        click.option("--not-implied", type=click.Choice(list(values.IMPLIED)), multiple=True, help="What the "
                     "dimension scheme must not take as implied by the linework. May be repeated."),
        click.option("--without-configuration", is_flag=True, help="Leave configuration files out: dimaudit.toml, and "
                     "[tool.dimaudit] in pyproject.toml."),
    )  # fmt: skip
    return with_options(command, options)


def failing_options(command: Any) -> Any:
    """The options that say what fails a run."""
    options = (
        click.option("--fail-on", type=click.Choice(list(values.FAILING)),
                     help="The lowest level of finding that makes the exit status 1." + default("fail-on")),
        click.option("--fail-on-not-judged/--pass-not-judged", default=None, help="Exit with status 1 where a "
                     "dimension, or a whole drawing, could not be judged; or don't.  [default: don't]"),
    )  # fmt: skip
    return with_options(command, options)


FORMAT = click.option("--format", "format_", type=click.Choice(["terminal", "json"]), default="terminal",
                      show_default=True, help="How to say it.")  # fmt: skip
OUTPUT = click.option("--output", type=click.Path(path_type=Path, dir_okay=False), help="Write the report to a file.")


def configurations(without_configuration: bool, **options: Any) -> Configurations:
    """What the options make of the configuration files that are found for each drawing. Raises UsageError."""
    named = {name.replace("_", "-"): value for name, value in options.items()}
    given = {key: value for key, value in named.items() if value is not None and value != ()}
    assert given.keys() <= KEYS.keys()
    return Configurations(given, use_files=not without_configuration)


def configured_for(drawing: Path, **options: Any) -> Configured:
    """What holds for one drawing. Raises UsageError, with the file and the key."""
    return configurations(**options).of(drawing)
