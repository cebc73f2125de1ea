"""The commands `stack-up` and `advise` as their users call them."""

from pathlib import Path

from click.testing import CliRunner
from read.sketch import Sketch

from dimaudit.cli import cli


def strip(folder: Path) -> tuple[str, str, str]:
    """Three steps of 1/3 under an overall of 1, all ±.005, and a hole; the file, the left edge, the hole."""
    sketch = Sketch()
    a, b = 1 / 3, 2 / 3
    left = sketch.chain((0, 0), (0, 3), (a, 3), (a, 2), (b, 2), (b, 1), (1, 1), (1, 0), (0, 0))[0]
    hole = sketch.circle((b, "0.5"), "0.125")
    for x, y, u, v in ((0, 3, a, 3), (a, 2, b, 2), (b, 1, 1, 1)):
        sketch.across((x, y), (u, v), y=4, text=".333 %%p.005")
    sketch.across((0, 0), (1, 0), text="1.000 %%p.005")
    return str(sketch.save(folder)), left.dxf.handle, hole.dxf.handle


def said(*words: str) -> tuple[int, str]:
    result = CliRunner().invoke(cli, list(words))
    return result.exit_code, result.output if result.exception is None else f"{result.output}{result.exception}"


def test_a_stack_up_between_two_handles(tmp_path: Path) -> None:
    """The shorter of two chains to the hole in line with the second step: two dimensions either way."""
    path, left, hole = strip(tmp_path)
    status, text = said("stack-up", path, left, hole)
    assert status == 0
    assert "worst case 0.656 to 0.676 (±0.01)" in text
    assert "root-sum-square 0.666 ±0.007071" in text
    assert "(√0.00005)" in text
    assert "50 % of the worst case" in text


def test_the_worst_pairs_and_what_is_not_named_well(tmp_path: Path) -> None:
    """Without features the worst pairs; one feature, or a handle of nothing, is refused with what to do."""
    path, left, _ = strip(tmp_path)
    status, text = said("stack-up", path)
    assert status == 0
    assert "pairs of levels judged" in text
    status, text = said("stack-up", path, left)
    assert status != 0
    assert "name two features" in text
    status, text = said("stack-up", path, left, "FFFF")
    assert status != 0
    assert "give a handle, or X,Y" in text


def test_advice_on_three_equal_thirds(tmp_path: Path) -> None:
    """No number of decimals closes it, and it is said so plainly; the fractions of a shop do not either."""
    path, _, _ = strip(tmp_path)
    status, text = said("advise", path)
    assert status == 0
    assert "no number of decimals, the same for all, closes the chains" in text
    assert "or as fractions" not in text
