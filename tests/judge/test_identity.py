"""A finding is known again after another program saved the drawing, and is another one when it is about something else.

The drawings are written again by ezdxf, a general-purpose library, in the format's versions; and by hand at the level
of the format's own group codes (DXF reference), with every handle replaced.
"""

from collections import Counter
from fractions import Fraction
from itertools import pairwise
from pathlib import Path
from time import process_time

import pytest
import strategies as own
from hypothesis import given
from hypothesis import strategies as st
from resaved import audit_of, known, moved, noisy, renumbered, reversed_order, saved

from dimaudit.judge import runner
from dimaudit.judge.identity import EDGE, STEPS, step

ROOT = Path(__file__).parents[2]
SAMPLES = [p for p in sorted((ROOT / "samples").rglob("*.dxf")) if p.stem != "sheave"]
"""But the one that is no drawing."""
ABOUT_THE_WHOLE = ("chain-does-not-close", "closed-chain", "repeated-dimension", "not-located", "not-sized")


def but_whole(found: Counter[tuple[str, str]]) -> Counter[tuple[str, str]]:
    """Without the rules that name one of several that would do as well: which one hangs on the order in the file."""
    return Counter({key: n for key, n in found.items() if key[0] not in ABOUT_THE_WHOLE})


# --- what it survives ---------------------------------------------------------------------------------------------


def test_the_samples_give_findings_to_be_known_again() -> None:
    assert sum(known(path).total() for path in SAMPLES) > 80


@pytest.mark.parametrize("path", SAMPLES, ids=lambda p: p.stem)
@pytest.mark.parametrize("version", ["R2000", "R2018"])
@pytest.mark.parametrize("binary", [False, True], ids=["text", "binary"])
def test_saved_again_with_other_handles(path: Path, version: str, binary: bool, tmp_path: Path) -> None:
    """Every finding of every sample is known again in another version of the format, with every handle replaced."""
    other = tmp_path / "other.dxf"
    other.write_text(renumbered(path.read_text(encoding="utf-8")), encoding="utf-8")
    again = saved(other, tmp_path / "again.dxf", version=version, binary=binary)
    before, after = audit_of(path), audit_of(again)
    assert known(again) == known(path)
    handles = {h for f in before.findings for h in f.handles}
    assert not handles & {h for f in after.findings for h in f.handles}


@pytest.mark.parametrize("path", SAMPLES, ids=lambda p: p.stem)
def test_saved_as_r12(path: Path, tmp_path: Path) -> None:
    """R12 has no associations and no unit, so the audit has other things to say; what it says again is known again."""
    again = audit_of(saved(path, tmp_path / "r12.dxf", version="R12"))
    before = audit_of(path)
    if again.unit is not before.unit:
        return  # all numbers are read in another way
    for rule in {"wrong-value", "typed-text", "rounded", "gap", "duplicate-line", "nearly-level"}:
        old = {(f.message, f.where): f.identity for f in before.findings if f.rule == rule}
        new = {(f.message, f.where): f.identity for f in again.findings if f.rule == rule}
        assert {key: old[key] for key in old.keys() & new.keys()} == {key: new[key] for key in old.keys() & new.keys()}
        assert old.keys() <= new.keys() or rule == "rounded"


@pytest.mark.parametrize("path", SAMPLES, ids=lambda p: p.stem)
@pytest.mark.parametrize("noise", [1e-9, 1e-8, 1e-7])
def test_another_programs_arithmetic(path: Path, noise: float, tmp_path: Path) -> None:
    """What is found with noise and without it is one finding; at a hundred-millionth nothing is lost either."""
    other = tmp_path / "noisy.dxf"
    other.write_text(noisy(path.read_text(encoding="utf-8"), noise), encoding="utf-8")
    before, after = audit_of(path), audit_of(other)
    old = {(f.rule, f.handles): f.identity for f in before.findings if f.rule not in ABOUT_THE_WHOLE}
    new = {(f.rule, f.handles): f.identity for f in after.findings}
    assert len(before.views) == len(after.views)
    if path.stem == "cleat-drill-jig":  # a tie by noise is none, so what was cut off there may as well be rounded
        old = {key: identity for key, identity in old.items() if key[0] != "cut-off"}
    common = old.keys() & new.keys() if noise > 1e-8 else old.keys()
    assert {key: new.get(key) for key in common} == {key: old[key] for key in common}


@pytest.mark.parametrize("path", SAMPLES, ids=lambda p: p.stem)
def test_another_order_in_the_file(path: Path, tmp_path: Path) -> None:
    again = saved(path, tmp_path / "again.dxf", reversed_order)
    assert but_whole(known(again)) == but_whole(known(path))


@pytest.mark.parametrize("path", [p for p in SAMPLES if p.stem != "mast-step-sheet"], ids=lambda p: p.stem)
def test_the_part_is_moved(path: Path, tmp_path: Path) -> None:
    """But in the sample whose sheet shows it through viewports, which do not follow."""
    assert known(saved(path, tmp_path / "again.dxf", moved)) == known(path)


# --- steps --------------------------------------------------------------------------------------------------------

inches = st.one_of(own.dyadics, own.four_decimals.filter(lambda v: abs(v) <= 60))
sums = st.tuples(inches, inches).map(lambda pair: (pair[0] + pair[1]) / 2)
millimetres = st.one_of(own.three_decimals, own.multiples(Fraction("0.0005"), 600_000))


@given(st.one_of(inches, sums), own.noises("1e-8"))
def test_noise_never_moves_an_inch_size_to_another_step(value: Fraction, noise: float) -> None:
    """Sizes of a shop, and places half-way between two of them, with noise of a hundred-millionth."""
    assert step(float(value) * (1 + noise)) == step(float(value))


@given(inches, own.noises("1e-7"))
def test_nor_does_noise_of_a_ten_millionth(value: Fraction, noise: float) -> None:
    assert step(float(value) * (1 + noise)) == step(float(value))


@given(millimetres, own.noises("1e-7"))
def test_nor_a_millimetre_size(value: Fraction, noise: float) -> None:
    """Up to half a metre."""
    assert step(float(value) * (1 + noise)) == step(float(value))


@given(inches, st.integers(1, 10_000))
def test_a_move_by_a_thousandth_is_seen(value: Fraction, thousandths: int) -> None:
    """Values a thousandth or more apart are in different steps."""
    assert step(float(value + Fraction(thousandths, 1000))) > step(float(value))


def test_the_ends_of_steps_stand_clear_of_every_size() -> None:
    """By counting: of all multiples of 1/20000, of 1/256 and of half a thousandth up to 1, none is near an end."""
    values = {Fraction(k, n) for n in (20_000, 256, 2000) for k in range(n)}
    off = min(abs(((v * STEPS - Fraction(EDGE)) + Fraction(1, 2)) % 1 - Fraction(1, 2)) for v in values)
    assert off >= Fraction(1, 64)


# --- speed --------------------------------------------------------------------------------------------------------


def test_it_takes_no_share_of_the_audit_that_counts(monkeypatch: pytest.MonkeyPatch) -> None:
    """Less than a thirtieth of the time of the audit with the most findings, in the best of several runs."""
    path = ROOT / "samples" / "cleat-drill-jig.dxf"
    identified = runner.identified
    spent: list[float] = []

    def timed(*arguments: object) -> object:
        begin = process_time()
        made = identified(*arguments)  # type: ignore[arg-type]
        spent.append(process_time() - begin)
        return made

    monkeypatch.setattr(runner, "identified", timed)
    whole: list[float] = []
    for _ in range(5):
        begin = process_time()
        audit_of(path)
        whole.append(process_time() - begin)
    assert min(spent) < min(whole) / 30
    assert list(pairwise(spent))  # it ran
