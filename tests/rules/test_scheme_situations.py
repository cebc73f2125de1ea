"""What the prints of `rule_scheme.py` leave open, what switching an implied kind off does, and what the report says."""

from pathlib import Path

import pytest
import rule_all  # noqa: F401 - importing it registers the situations
import rule_centre
import rule_details
import rule_scheme
from click.testing import CliRunner
from rule_board import Board
from rule_cases import CASES, Case

from dimaudit.cli import cli
from dimaudit.config.values import IMPLIED
from dimaudit.model.scheme import Implied
from dimaudit.model.settings import Settings

HARDLY = "a_view_that_is_hardly_dimensioned_is_not_judged"
ROOMS = [m.__name__ for m in (rule_scheme, rule_centre, rule_details)]
WHOLE = [
    c for c in CASES if c.build.__module__ in ROOMS and not c.fires and c.build.__name__ != HARDLY
]  # fmt: skip
BY_NAME = {case.build.__name__: case for case in WHOLE}


@pytest.mark.parametrize("case", WHOLE, ids=str)
def test_a_silent_print_is_judged_and_whole(case: Case, tmp_path: Path) -> None:
    """It is silent because nothing is missing, not because nothing was judged."""
    drawing = case.build()
    audit = drawing.board.audit(tmp_path, drawing.settings)
    assert audit.schemes
    for scheme in audit.schemes:
        assert (scheme.missing, scheme.why_not, scheme.unsure, scheme.left_out) == (0, "", (), ())


NEEDED = {
    Implied.LEVEL: "a_chamfer_by_its_leg",
    Implied.IN_LINE: "a_pattern_by_steps",
    Implied.MEETS: "four_fillets_by_one_radius",
    Implied.TANGENT: "four_fillets_by_one_radius",
    Implied.EQUAL: "holes_on_a_pitch_circle",
    Implied.SYMMETRIC: "holes_alike_on_both_sides_of_a_centreline",
    Implied.PROJECTED: "two_views_share_what_they_show",
}


@pytest.mark.parametrize("kind", Implied, ids=lambda kind: kind.name)
def test_each_implied_kind_can_be_switched_off(kind: Implied, tmp_path: Path) -> None:
    """A print that needs it has something missing without it, and what was taken is listed with it only."""
    board = BY_NAME[NEEDED[kind]].build().board
    # A fillet's centre stands in line with its ends, too: what its being tangent gives is seen without that only.
    base = [k for k in Implied if kind is not Implied.TANGENT or k is not Implied.IN_LINE]
    whole = board.audit(tmp_path, Settings(taken_as_implied=tuple(base))).schemes
    assert kind in {k for scheme in whole for k in scheme.taken}
    assert [scheme.missing for scheme in whole] == [0] * len(whole)
    settings = Settings(taken_as_implied=tuple(k for k in base if k is not kind))
    without = board.audit(tmp_path, settings).schemes
    assert sum(scheme.missing for scheme in without) > 0 or any(scheme.unsure for scheme in without)
    assert kind not in {k for scheme in without for k in scheme.taken}


def said(board: Board, folder: Path, *options: str) -> str:
    path = folder / "print.dxf"
    board.doc.saveas(path)
    result = CliRunner().invoke(cli, ["check", str(path), *options])
    return " ".join(result.output.split())


def test_the_report_says_what_was_taken_as_implied(tmp_path: Path) -> None:
    """Each kind that was used, in words; not one that was switched off."""
    board = rule_scheme.symmetric_flange()
    assert "taken as implied: lines drawn level" in said(board, tmp_path)
    assert Implied.SYMMETRIC.value in said(board, tmp_path)
    without = said(board, tmp_path, "--not-implied", "symmetric")
    assert Implied.SYMMETRIC.value not in without
    assert "not-located" in without


def test_the_report_says_what_was_not_judged(tmp_path: Path) -> None:
    """A view that is hardly dimensioned is one line, with its figures."""
    board = next(c for c in CASES if c.build.__name__ == HARDLY).build().board
    assert "not judged: what is located in view 1: hardly dimensioned (sizes stated: 1" in said(board, tmp_path)


def test_the_words_of_the_option_are_those_of_the_page() -> None:
    """docs/scheme.md lists each kind with the word that switches it off and what it is."""
    page = (Path(__file__).parents[2] / "docs" / "scheme.md").read_text(encoding="utf-8")
    rows = [line for line in page.splitlines() if line.startswith("| `")]
    assert [row.split("`")[1] for row in rows] == list(IMPLIED)
    for row, kind in zip(rows, Implied, strict=True):
        assert kind.value in row.replace("`nX`", "'nX'")


def test_what_the_views_disagree_on_is_said_once(tmp_path: Path) -> None:
    """The top view has the step at 2.01: its own place for it is held by nothing, and that is no second finding."""
    drawing = rule_details.stepped_bar(2.01)
    rules = [f.rule for f in drawing.board.audit(tmp_path, Settings()).findings if f.rule != "not-associated"]
    assert rules == ["views-disagree"]
