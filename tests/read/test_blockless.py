"""Dimensions that no drawn block goes with, as many writers leave them, are read and judged like the rest.

Each file is written tag by tag, so that nothing but what it says stands in it: once sound, for the strict reader, and
once with a spoilt number elsewhere, for the one that repairs.
"""

from fractions import Fraction as F
from pathlib import Path

import pytest

from dimaudit.model.audit import DrawingAudit, TextSource, Verdict
from dimaudit.model.drawing import Kind
from read.sketch import audited

HEADER = """0
SECTION
2
HEADER
9
$ACADVER
1
AC1009
9
$LUNITS
70
2
9
$LUPREC
70
3
0
ENDSEC
"""
PLATE = "".join(
    f"0\nLINE\n8\n0\n10\n{a}\n20\n{b}\n11\n{c}\n21\n{d}\n"
    for a, b, c, d in ((0, 0, 6, 0), (6, 0, 6, 4), (6, 4, 0, 4), (0, 4, 0, 0))
)
HOLE = "0\nCIRCLE\n8\n0\n10\n2\n20\n2\n40\n.375\n"
SPOILT = "0\nLINE\n8\n0\n10\nxx10.0\n20\n9\n11\n11\n21\n9\n"
"""A coordinate that is spoilt: the strict reader gives up on it."""
KINDS = {
    Kind.LINEAR: ("70\n0\n10\n6\n20\n5\n13\n0\n23\n4\n14\n6\n24\n4\n", F(6)),
    Kind.ALIGNED: ("70\n1\n10\n4\n20\n-1\n13\n0\n23\n0\n14\n6\n24\n0\n", F(6)),
    Kind.ANGULAR: ("70\n2\n10\n6\n20\n4\n13\n0\n23\n0\n14\n6\n24\n0\n15\n6\n25\n0\n16\n5.5\n26\n.5\n", F(90)),
    Kind.DIAMETER: ("70\n3\n10\n1.625\n20\n2\n15\n2.375\n25\n2\n", F(3, 4)),
    Kind.RADIUS: ("70\n4\n10\n2\n20\n2\n15\n2.375\n25\n2\n", F(3, 8)),
    Kind.ORDINATE: ("70\n70\n10\n0\n20\n0\n13\n2\n23\n2\n14\n2\n24\n5\n", F(2)),
}


def file(tmp_path: Path, dimension: str, spoilt: bool, inside: bool = False) -> Path:
    """A plate with one dimension; `inside` puts all of it into a block."""
    path = tmp_path / "plate.dxf"
    body = PLATE + HOLE + f"0\nDIMENSION\n8\n0\n{dimension}"
    blocks = ""
    if inside:
        blocks = f"0\nSECTION\n2\nBLOCKS\n0\nBLOCK\n8\n0\n2\nPLATE\n70\n0\n10\n0\n20\n0\n{body}0\nENDBLK\n0\nENDSEC\n"
        body = "0\nINSERT\n8\n0\n2\nPLATE\n10\n0\n20\n0\n"
    spoiler = SPOILT if spoilt else ""
    path.write_text(f"{HEADER}{blocks}0\nSECTION\n2\nENTITIES\n{body}{spoiler}0\nENDSEC\n0\nEOF\n")
    return path


def repaired(audit: DrawingAudit) -> bool:
    return any(loss.what == "the file's structure" for loss in audit.losses)


@pytest.mark.parametrize("named", ["no block", "a block that is not there"])
@pytest.mark.parametrize("spoilt", [False, True], ids=["strict", "repaired"])
@pytest.mark.parametrize("kind", KINDS, ids=str)
def test_each_kind_is_measured_without_its_block(kind: Kind, spoilt: bool, named: str, tmp_path: Path) -> None:
    """The number comes from the points, the text from the style, whichever reader reads the file."""
    points, value = KINDS[kind]
    name = "2\n*D7\n" if named != "no block" else ""
    audit = audited(file(tmp_path, name + points, spoilt))
    (judgement,) = audit.judgements
    assert repaired(audit) == spoilt
    assert not any("geometry block" in loss.why for loss in audit.losses)
    assert judgement.attached.dimension.kind is kind
    assert judgement.source is TextSource.STYLE
    assert judgement.measured == value
    assert judgement.verdict is Verdict.EXACT


@pytest.mark.parametrize("spoilt", [False, True], ids=["strict", "repaired"])
def test_a_typed_text_without_a_block_is_judged(spoilt: bool, tmp_path: Path) -> None:
    """What is typed over counts, block or not: a wrong one is found."""
    audit = audited(file(tmp_path, "1\n6.125\n" + KINDS[Kind.LINEAR][0], spoilt))
    (judgement,) = audit.judgements
    assert (judgement.text, judgement.verdict, judgement.residual) == ("6.125", Verdict.WRONG, (F(-1, 8), F(-1, 8)))


@pytest.mark.parametrize("spoilt", [False, True], ids=["strict", "repaired"])
def test_a_dimension_inside_a_block_is_put_back_there(spoilt: bool, tmp_path: Path) -> None:
    """A dimension of a block's own linework stays in the block."""
    audit = audited(file(tmp_path, KINDS[Kind.LINEAR][0], spoilt, inside=True))
    (judgement,) = audit.judgements
    assert judgement.attached.dimension.layout == "block PLATE"
    assert judgement.measured == 6


@pytest.mark.parametrize("spoilt", [False, True], ids=["strict", "repaired"])
def test_an_empty_block_is_no_text(spoilt: bool, tmp_path: Path) -> None:
    """A block that is there and holds no text says nothing: the style does."""
    path = file(tmp_path, "2\n*D1\n" + KINDS[Kind.LINEAR][0], spoilt)
    empty = "0\nSECTION\n2\nBLOCKS\n0\nBLOCK\n8\n0\n2\n*D1\n70\n1\n10\n0\n20\n0\n0\nENDBLK\n0\nENDSEC\n"
    path.write_text(path.read_text().replace("0\nSECTION\n2\nENTITIES\n", empty + "0\nSECTION\n2\nENTITIES\n", 1))
    (judgement,) = audited(path).judgements
    assert (judgement.source, judgement.verdict) == (TextSource.STYLE, Verdict.EXACT)
    assert judgement.text == "6.000"


def test_what_is_malformed_beyond_its_block_is_counted(tmp_path: Path) -> None:
    """A dimension without its points is there, and says why it is not judged."""
    audit = audited(file(tmp_path, "70\n0\n10\n6\n20\n5\n", spoilt=True))
    (judgement,) = audit.judgements
    assert judgement.verdict is Verdict.NOT_JUDGED
    assert "13, 14" in judgement.reason
