"""Identities in every situation of every rule: kept where the drawing is the same, another where it is not."""

from collections import Counter
from fractions import Fraction
from pathlib import Path

import pytest
import rule_all  # noqa: F401 - importing it registers the situations
import strategies as own
from ezdxf.document import Drawing
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from resaved import known, renumbered, reversed_order, saved
from rule_board import Board
from rule_cases import ABOUT_THE_WHOLE, CASES, Case

from dimaudit.model.audit import Finding
from dimaudit.model.settings import Settings

F = Fraction
FIRING = [case for case in CASES if case.fires]


def but_whole(found: Counter[tuple[str, str]]) -> Counter[tuple[str, str]]:
    """Without the rules that name one of several that would do as well: which one hangs on the order in the file."""
    return Counter({key: n for key, n in found.items() if key[0] not in ABOUT_THE_WHOLE})


def board() -> Board:
    """A plate with two holes; one of its dimensions is typed over with a wrong number."""
    made = Board()
    made.plate(6, 4, (1, 1))
    made.circle((3, 2), 0.5)
    made.circle((5, 3), 0.5)
    made.across((3, 2), (5, 3), text="2.100", line_at=6)
    return made


def the_wrong(made: Board, folder: Path, rule: str = "wrong-value") -> Finding:
    (found,) = [f for f in made.audit(folder, Settings()).findings if f.rule == rule]
    return found


@pytest.mark.parametrize("case", FIRING, ids=str)
def test_every_rule_in_every_situation(case: Case, tmp_path: Path) -> None:
    """Each finding has an identity, and keeps it with other handles and in another order."""
    drawing = case.build()
    path, other = tmp_path / "part.dxf", tmp_path / "other.dxf"
    drawing.board.doc.saveas(path)
    found = known(path, drawing.settings)
    assert all(len(identity) == 16 and int(identity, 16) >= 0 for _, identity in found)
    other.write_text(renumbered(path.read_text(encoding="utf-8")), encoding="utf-8")
    assert known(other, drawing.settings) == found
    if drawing.board.doc.dxfversion > "AC1009":
        saved(path, other, reversed_order)
        assert but_whole(known(other, drawing.settings)) == but_whole(found)


def test_unrelated_things_elsewhere(tmp_path: Path) -> None:
    """Lines and dimensions that come and go in the same view and in another one."""
    wrong = the_wrong(board(), tmp_path)
    more = board()
    more.circle((6, 1.5), 0.25)
    more.across((1, 1), (7, 1), line_at=0)
    more.plate(2, 2, (12, 1))
    more.upright((14, 1), (14, 3), text="2.500")
    (same,) = [f for f in more.audit(tmp_path, Settings()).findings if f.subject == wrong.subject
               and f.rule == wrong.rule]  # fmt: skip
    assert same.identity == wrong.identity


def test_plates_drawn_alike_share_an_identity(tmp_path: Path) -> None:
    made = board()
    for x in (21, 41):
        made.plate(6, 4, (x, 1))
        made.circle((x + 2, 2), 0.5)
        made.circle((x + 4, 3), 0.5)
        made.across((x + 2, 2), (x + 4, 3), text="2.100", line_at=6)
    found = [f for f in made.audit(tmp_path, Settings()).findings if f.rule == "wrong-value"]
    assert len(found) == 3
    assert len({f.identity for f in found}) == 1


# --- what makes another one ---------------------------------------------------------------------------------------


def changed(**change: object) -> Board:
    made = Board()
    hole, text = change.get("hole", (5, 3)), change.get("text", "2.100")
    end = change.get("end", hole)
    made.plate(6, 4, (1, 1))
    made.circle((3, 2), 0.5)
    made.circle(hole, 0.5)  # type: ignore[arg-type]
    made.circle((5, 4), 0.5)
    made.across((3, 2), end, text=str(text), line_at=6)  # type: ignore[arg-type]
    return made


@pytest.mark.parametrize("change", [
    {"text": "2.101"}, {"hole": (5.002, 3)}, {"hole": (5, 3.25)}, {"end": (5, 4)}, {"end": (7, 5)},
], ids=str)  # fmt: skip
def test_another_text_feature_or_place_is_another_finding(change: dict[str, object], tmp_path: Path) -> None:
    assert the_wrong(changed(**change), tmp_path).identity != the_wrong(changed(), tmp_path).identity


def test_another_rule_is_another_finding(tmp_path: Path) -> None:
    made = board()
    assert the_wrong(made, tmp_path).handles == the_wrong(made, tmp_path, "typed-text").handles
    assert the_wrong(made, tmp_path).identity != the_wrong(made, tmp_path, "typed-text").identity


def test_neither_layers_nor_the_files_name_count(tmp_path: Path) -> None:
    def repainted(document: Drawing) -> None:
        for entity in document.modelspace():
            entity.dxf.layer = "WINCH"
            entity.dxf.color = 3

    board().doc.saveas(tmp_path / "part.dxf")
    again = saved(tmp_path / "part.dxf", tmp_path / "renamed.dxf", repainted)
    assert known(again) == known(tmp_path / "part.dxf")


# --- by chance ----------------------------------------------------------------------------------------------------

sizes = st.one_of(own.dyadics, own.four_decimals.filter(lambda v: v <= 20)).filter(lambda v: v > F(1, 4))
moves = st.tuples(st.floats(-50, 50), st.floats(-50, 50))


@settings(max_examples=40, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(st.tuples(sizes, sizes), st.tuples(sizes, sizes), moves, st.floats(-1e-8, 1e-8))
def test_any_plate_anywhere_with_noise(
    tmp_path: Path, corner: tuple[Fraction, Fraction], hole: tuple[Fraction, Fraction], by: tuple[float, float],
    noise: float,
) -> None:  # fmt: skip
    """A plate with sizes of a shop whose hole is typed wrong; then moved to any place, each coordinate a little off."""
    wide, high = (float(a + b) for a, b in zip(corner, hole, strict=True))

    def drawn(dx: float = 0.0, dy: float = 0.0, off: float = 0.0) -> set[tuple[str, str]]:
        def at(x: float, y: float) -> tuple[float, float]:
            return (x + dx) * (1 + off), (y + dy) * (1 - off)

        made = Board()
        made.path(at(0, 0), at(wide, 0), at(wide, high), at(0, high))
        made.circle(at(float(hole[0]), float(hole[1])), 0.25)
        made.across(at(0, 0), at(float(hole[0]), float(hole[1])), text="99.5", line_at=at(0, high + 1)[1])
        found = made.audit(tmp_path, Settings()).findings
        return {(f.rule, f.identity) for f in found if f.rule in ("wrong-value", "typed-text")}

    before = drawn()
    assert len(before) == 2
    assert drawn(*by, noise) == before
