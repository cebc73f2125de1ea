"""A marked copy: all of the original is in it, and the marks are where they should be.

The library's own tag readers and its audit are the judges here, not the scanner of the code under test.
"""

import io
from collections import Counter
from collections.abc import Callable
from dataclasses import replace
from hashlib import sha256
from itertools import pairwise
from pathlib import Path

import ezdxf
import pytest
from click.testing import CliRunner, Result
from ezdxf.entities.text import Text
from ezdxf.lldxf.encoding import decode_dxf_unicode
from ezdxf.lldxf.tagger import ascii_tags_loader, binary_tags_loader
from ezdxf.tools.text import plain_text
from hypothesis import given, settings
from hypothesis import strategies as st
from rules.rule_board import Board

from dimaudit.cli import cli
from dimaudit.errors import AuditError
from dimaudit.model.audit import DrawingAudit, Finding, Level
from dimaudit.model.marks import MARK_APP
from dimaudit.model.settings import Settings
from dimaudit.pipeline import audit_file
from dimaudit.report.interface import CAUTION
from dimaudit.write.marked import LAYER, Marked, marked_copy
from dimaudit.write.tags import tag_file

SAMPLES = sorted((Path(__file__).parent.parent.parent / "samples").glob("*.dxf"))
VERSIONS = ["R12", "R2000", "R2004", "R2007", "R2010", "R2013", "R2018"]
Tags = list[tuple[int, object]]


def audited(path: Path) -> DrawingAudit:
    audit, faults = audit_file(path, Settings())
    assert isinstance(audit, DrawingAudit)
    assert not faults
    return audit


def marked(path: Path) -> tuple[Path, Marked]:
    copy = marked_copy(path, audited(path), CAUTION)
    target = path.with_name(f"{path.stem}-marked.dxf")
    target.write_bytes(copy.content)
    return target, copy


def tags(path: Path) -> Tags:
    content = path.read_bytes()
    if content.startswith(b"AutoCAD Binary DXF"):
        return [(tag.code, tag.value) for tag in binary_tags_loader(content)]
    stream = io.StringIO(content.decode("latin-1"), newline=None)
    return [(tag.code, tag.value) for tag in ascii_tags_loader(stream, skip_comments=False)]


def things(found: Tags) -> list[Tags]:
    """From one tag 0 to the next."""
    parts: list[Tags] = [[]]
    for tag in found:
        if tag[0] == 0:
            parts.append([])
        parts[-1].append(tag)
    return parts


def is_ours(thing: Tags, layer: str) -> bool:
    if (1001, MARK_APP) in thing:
        assert (8, layer) in thing
        return True
    name = {"LAYER": layer, "APPID": MARK_APP}.get(str(thing[0][1])) if thing else None
    return name is not None and (2, name) in thing


def without_values(found: list[Tags]) -> list[Tags]:
    """The two values that a mark may change are set apart: $HANDSEED, and the entries of a table."""
    out = []
    for thing in found:
        own, seed = [], False
        for code, value in thing:
            own.append((code, None if seed or (code == 70 and thing[0] == (0, "TABLE")) else value))
            seed = (code, value) == (9, "$HANDSEED")
        out.append(own)
    return out


def strip_and_compare(original: Path, copy: Path, layer: str) -> None:
    """The copy without its marks is the original, thing by thing, in order."""
    kept = [thing for thing in things(tags(copy)) if not is_ours(thing, layer)]
    assert without_values(kept) == without_values(things(tags(original)))


def assert_only_added(original: bytes, copy: bytes) -> None:
    """Every line of the original is in the copy, in order, but for the values that may change (ASCII)."""
    ends = original.splitlines(keepends=True)
    there = iter(copy.splitlines(keepends=True))
    missing = [line for line in ends if line not in there]
    assert len(missing) == 0


def troubles(path: Path) -> Counter[int]:
    doc = ezdxf.readfile(path)
    auditor = doc.audit()
    return Counter(entry.code for entry in [*auditor.errors, *auditor.fixes])


def said(audit: DrawingAudit) -> tuple[object, ...]:
    verdicts = [(j.attached.dimension.handle, j.verdict, j.text) for j in audit.judgements]
    return audit.findings, verdicts, audit.texts, audit.views, audit.undimensioned, audit.not_judged()


def hold_all(path: Path) -> tuple[Path, Marked]:
    """All that must hold of a copy; gives it back."""
    before = sha256(path.read_bytes()).hexdigest()
    target, copy = marked(path)
    assert sha256(path.read_bytes()).hexdigest() == before
    strip_and_compare(path, target, copy.layer)
    assert troubles(target) == troubles(path)
    assert said(audited(target)) == said(audited(path))
    doc = ezdxf.readfile(target)
    handles = [e.dxf.handle for e in doc.entitydb.values()]
    assert len(handles) == len(set(handles))
    own = [thing for thing in things(tags(target)) if is_ours(thing, copy.layer)]
    given_out = [str(value) for thing in own for code, value in thing if code == 5]
    assert len(given_out) == len(set(given_out))
    seed = doc.header.get("$HANDSEED")
    if seed is not None and given_out:
        written = dict(pair for pair in pairs(tags(target)) if pair[0] == "$HANDSEED")
        assert int(str(written["$HANDSEED"]), 16) > max(int(h, 16) for h in given_out)
    return target, copy


def pairs(found: Tags) -> list[tuple[str, object]]:
    return [(str(a[1]), b[1]) for a, b in pairwise(found) if a[0] == 9]


def faulty(version: str = "R2010") -> Board:
    """A plate that is stated wrong, with a gap in its outline and signs beyond ASCII."""
    board = Board(version)
    board.line((0, 0), (3, 0))
    board.line((3, 0), (3, 2))
    board.line((3, 2), (0, 2))
    board.line((0, 2), (0, 0.004))
    board.across((0, 0), (3, 0), text="3.100")
    board.upright((0, 0), (0, 2), text="2.000")
    board.diameter((1, 1), 0.25, text="%%c.252")
    board.circle((1, 1), 0.25)
    board.msp.add_text("SCHÄKEL 1:1 – MAßE", height=0.125, dxfattribs={"insert": (1, -2)})
    return board


@pytest.mark.parametrize("sample", SAMPLES, ids=lambda p: p.stem)
def test_the_samples(sample: Path, tmp_path: Path):
    path = tmp_path / sample.name
    path.write_bytes(sample.read_bytes())
    hold_all(path)


@pytest.mark.parametrize("fmt", ["asc", "bin"])
@pytest.mark.parametrize("version", VERSIONS)
def test_each_version(version: str, fmt: str, tmp_path: Path):
    """ASCII and binary."""
    path = tmp_path / "print.dxf"
    faulty(version).doc.saveas(path, fmt=fmt)
    target, copy = hold_all(path)
    assert copy.balloons > 0
    assert ezdxf.readfile(target).dxfversion == ezdxf.readfile(path).dxfversion
    entities = [e for e in ezdxf.readfile(target).modelspace() if e.dxf.layer == LAYER]
    assert {e.dxftype() for e in entities} == {"LINE", "CIRCLE", "TEXT"} or copy.balloons == 0
    record = ezdxf.readfile(target).modelspace().layout_key
    assert {e.dxf.owner for e in entities} == {record}


@pytest.mark.parametrize("end", [b"\r\n", b"\n", b"\r"])
def test_line_ends_stay(end: bytes, tmp_path: Path):
    path = tmp_path / "print.dxf"
    faulty().doc.saveas(path)
    path.write_bytes(end.join(path.read_bytes().splitlines()) + end)
    target, _ = hold_all(path)
    assert Counter(target.read_bytes().replace(end, b"")).keys().isdisjoint(b"\r\n")


@pytest.mark.parametrize(("version", "encoding"), [("R2000", "cp1252"), ("R2004", "cp1251"), ("R2000", "cp932")])
def test_bytes_of_a_codepage_stay(version: str, encoding: str, tmp_path: Path):
    """The added text is ASCII, so no encoding can be hurt."""
    board = faulty(version)
    board.doc.encoding = encoding
    board.msp.add_text({"cp1251": "ПЛИТА", "cp932": "図面"}.get(encoding, "MAßE"), height=0.1)
    path = tmp_path / "print.dxf"
    board.doc.saveas(path)
    target, _ = hold_all(path)
    added = set(target.read_bytes().splitlines()) - set(path.read_bytes().splitlines())
    assert all(line.isascii() for line in added)


def test_every_line_of_the_original_is_there_in_order(tmp_path: Path):
    """Byte for byte but for the next free handle and two counts."""
    path = tmp_path / "print.dxf"
    faulty("R2000").doc.saveas(path)
    target, _ = marked(path)
    content, copy = path.read_bytes(), target.read_bytes()
    seed = ezdxf.readfile(path).header["$HANDSEED"].encode()
    new_seed = next(value for name, value in pairs(tags(target)) if name == "$HANDSEED")
    content = content.replace(b"  5\n" + seed + b"\n", b"  5\n" + str(new_seed).encode() + b"\n", 1)
    for table in (b"LAYER", b"APPID"):
        head = content.index(b"TABLE\n  2\n" + table)
        at = content.index(b" 70\n", head) + 4
        end = content.index(b"\n", at)
        content = content[:at] + str(int(content[at:end]) + 1).encode() + content[end:]
    assert_only_added(content, copy)


def test_a_file_without_tables_or_handles(tmp_path: Path):
    """The least that is a drawing: entities alone."""
    path = tmp_path / "print.dxf"
    lines = ["0", "SECTION", "2", "ENTITIES"]
    for a, b in (((0, 0), (3, 0)), ((3, 0), (3, 2)), ((3, 2), (0, 2)), ((0, 2), (0, 0.004))):
        lines += ["0", "LINE", "8", "0", "10", f"{a[0]}", "20", f"{a[1]}", "11", f"{b[0]}", "21", f"{b[1]}"]
    lines += ["0", "DIMENSION", "8", "0", "2", "", "1", "3.1", "70", "0", "10", "0", "20", "-1", "11", "1.5", "21",
              "-1", "13", "0", "23", "0", "14", "3", "24", "0", "0", "ENDSEC", "0", "EOF"]  # fmt: skip
    path.write_text("\n".join(lines) + "\n")
    target, copy = marked(path)
    assert copy.balloons > 0
    assert not any(code == 5 for thing in things(tags(target)) if is_ours(thing, LAYER) for code, _ in thing)
    doc = ezdxf.readfile(target)
    assert LAYER in doc.layers
    assert MARK_APP in doc.appids
    kept = [thing for thing in things(tags(target)) if not is_ours(thing, LAYER)]
    there = iter(kept)
    assert all(thing in there for thing in things(tags(path)))


def test_the_layer_gets_a_name_of_its_own(tmp_path: Path):
    """One that the table or an entity has already, in whatever case, is taken."""
    board = faulty()
    board.doc.layers.add(LAYER)
    board.line((5, 5), (6, 5), layer=f"{LAYER}-2".lower())
    path = tmp_path / "print.dxf"
    board.doc.saveas(path)
    _, copy = hold_all(path)
    assert copy.layer == f"{LAYER}-3"


def test_a_copy_can_be_marked_again(tmp_path: Path):
    """The older marks are part of what is kept, and are no part of the print."""
    path = tmp_path / "print.dxf"
    faulty().doc.saveas(path)
    first, _ = marked(path)
    second, copy = marked(first)
    assert copy.layer == f"{LAYER}-2"
    assert said(audited(second)) == said(audited(path))
    doc = ezdxf.readfile(second)
    assert Counter(e.dxf.layer for e in doc.modelspace())[LAYER] > 0
    assert [a.dxf.name for a in doc.appids].count(MARK_APP) == 1


def test_each_layout_has_its_own_marks(tmp_path: Path):
    """A wrong dimension on a sheet that is not in front is marked in that sheet; the model's faults in the model."""
    board = faulty()
    doc = board.doc
    for name in ("FRONT", "BEHIND"):
        sheet = doc.layouts.new(name)
        for a, b in (((0, 0), (4, 0)), ((4, 0), (4, 1)), ((4, 1), (0, 1)), ((0, 1), (0, 0))):
            sheet.add_line(a, b)
        sheet.add_linear_dim((0, -1), (0, 0), (4, 0), text="4.5", dimstyle="SHOP").render()
    doc.layouts.delete("Layout1")
    path = tmp_path / "print.dxf"
    doc.saveas(path)
    target, copy = hold_all(path)
    copied = ezdxf.readfile(target)
    for layout in copied.layouts:
        own = [e for e in layout if e.dxf.layer == copy.layer]
        assert own, layout.name
        assert {e.dxf.owner for e in own} == {layout.layout_key}
        assert {e.dxf.get("paperspace", 0) for e in own} == {0 if layout.is_modelspace else 1}
        words = [plain_text(e.dxf.text) for e in own if isinstance(e, Text)]
        assert any("MARKED COPY" in w for w in words)
        assert any("no release approval" in w for w in words)


def test_what_is_found_in_a_block_is_marked_where_the_block_is_shown(tmp_path: Path):
    board = Board()
    block = board.doc.blocks.new("DETAIL")
    for a, b in (((0, 0), (3, 0)), ((3, 0), (3, 2)), ((3, 2), (0, 2)), ((0, 2), (0, 0))):
        block.add_line(a, b)
    block.add_linear_dim((0, -1), (0, 0), (3, 0), text="3.1", dimstyle="SHOP").render()
    board.msp.add_blockref("DETAIL", (100, 50), dxfattribs={"rotation": 90})
    path = tmp_path / "print.dxf"
    board.doc.saveas(path)
    audit = audited(path)
    assert any(f.layout.startswith("block ") for f in audit.findings)
    target, copy = hold_all(path)
    assert copy.balloons > 0
    own = [e for e in ezdxf.readfile(target).modelspace() if e.dxf.layer == copy.layer]
    labels = [e for e in own if isinstance(e, Text) and e.dxf.text == "E1"]
    assert min(abs(e.dxf.align_point.x - 101) + abs(e.dxf.align_point.y - 51.5) for e in labels) < 4
    assert not any(e.dxf.layer == copy.layer for e in ezdxf.readfile(target).blocks["DETAIL"])


def boxes_of_balloons(entities: list[object]) -> list[tuple[float, float]]:
    return [
        (e.dxf.align_point.x, e.dxf.align_point.y)
        for e in entities
        if isinstance(e, Text) and e.dxf.text[:1] in "EWN" and e.dxf.text[1:].isdigit()
    ]


@pytest.mark.parametrize("name", ["cleat-drill-jig", "engine-bearer"])
def test_balloons_stand_apart_and_off_the_texts(name: str, tmp_path: Path):
    """Where there is room: no two balloons within two radii, none on a dimension's text, the table beside it all."""
    path = tmp_path / "print.dxf"
    path.write_bytes((SAMPLES[0].parent / f"{name}.dxf").read_bytes())
    target, copy = marked(path)
    doc = ezdxf.readfile(target)
    own = [e for e in doc.modelspace() if e.dxf.layer == copy.layer]
    right = max(e.dxf.end.x for e in ezdxf.readfile(path).modelspace().query("LINE"))
    every = boxes_of_balloons(own)
    audit = audited(path)
    assert len([x for x, _ in every if x > right]) == len(audit.findings)  # the table has all of them
    spots = [(x, y) for x, y in every if x <= right]
    assert len(spots) == copy.balloons
    letter = next(e.dxf.height for e in own if isinstance(e, Text) and e.dxf.text == "E1") / 0.8
    for k, a in enumerate(spots):
        for b in spots[k + 1 :]:
            assert max(abs(a[0] - b[0]), abs(a[1] - b[1])) > 2 * letter
    for judgement in audit.judgements:
        at = judgement.attached.dimension.shown_at
        if at is not None:
            assert all(max(abs(float(at[0]) - x), abs(float(at[1]) - y)) > letter for x, y in spots)


HOSTILE = [
    "%%c%%d%%p", "%%%%c", "\\P{\\H9;x}", "a\n  0\nLINE\n  8\n0\n", "a\r\n0\r\nEOF\r\n", "^J^M^I^ ", "\\U+0041",
    "\\M+18140", "\x00\x1b[31m", "\u2028x\x85y", "\U0001f6a2", "\ud800", "%%u%%o", "x" * 3000, "图纸", "\u202egnp",
]  # fmt: skip


def with_hostile(audit: DrawingAudit, text: str) -> DrawingAudit:
    worst = Finding("rule", Level.ERROR, (text, "1F"), text, (text,), text, (1.0, 1.0), "Model", text, text, text)
    return replace(audit, findings=(*audit.findings, worst))


@pytest.fixture(scope="module")
def printed(tmp_path_factory: pytest.TempPathFactory) -> Callable[[str], tuple[Path, DrawingAudit]]:
    kept = {}

    def of(version: str) -> tuple[Path, DrawingAudit]:
        if version not in kept:
            path = tmp_path_factory.mktemp(version) / "print.dxf"
            faulty(version).doc.saveas(path)
            kept[version] = (path, audited(path))
        return kept[version]

    return of


def check_hostile(path: Path, audit: DrawingAudit, text: str) -> list[str]:
    """Marks a drawing whose finding says `text`; gives what a reader of the copy sees."""
    copy = marked_copy(path, with_hostile(audit, text), CAUTION)
    target = path.with_name("hostile.dxf")
    target.write_bytes(copy.content)
    strip_and_compare(path, target, copy.layer)
    doc = ezdxf.readfile(target)
    own = [e for e in doc.modelspace() if e.dxf.layer == copy.layer]
    assert {e.dxftype() for e in own} <= {"LINE", "CIRCLE", "TEXT"}
    return [e.dxf.text for e in own if isinstance(e, Text)]


@pytest.mark.parametrize("version", ["R12", "R2018"])
@pytest.mark.parametrize("text", HOSTILE, ids=ascii)
def test_hostile_text_makes_no_tag_and_no_code(text: str, version: str, printed):
    """No new tag, and no control code but the three signs that the audit itself writes."""
    words = check_hostile(*printed(version), text)
    for word in words:
        assert word.isprintable()
        plain = word.replace("%%c", "").replace("%%d", "").replace("%%p", "")
        assert "%%" not in plain
        assert not any(a == "^" and b != " " for a, b in zip(plain, plain[1:] + " ", strict=True))


@pytest.mark.parametrize("version", ["R12", "R2004", "R2007", "R2018"])
def test_hostile_text_is_still_seen(version: str, printed):
    texts = check_hostile(*printed(version), "%%c {\\H9;x} 图")
    words = " ".join(plain_text(decode_dxf_unicode(text)) for text in texts)
    assert "% %c {\\H9;x} 图" in words


@settings(max_examples=60, deadline=None)
@given(st.text(max_size=60))
def test_no_text_makes_a_tag(printed, text: str):
    check_hostile(*printed("R12"), text)


@pytest.mark.parametrize("handle", ["FFFFFFFFFFFFFFFF", "FFFFFFFFFFFFFFF0", "7FFFFFFF"])
def test_handles_at_the_end_of_the_numbers(handle: str, tmp_path: Path):
    """A file that has given out the highest handle leaves room below."""
    board = faulty()
    path = tmp_path / "print.dxf"
    board.doc.saveas(path)
    circle = next(iter(board.msp.query("CIRCLE"))).dxf.handle
    path.write_bytes(path.read_bytes().replace(f"\n  5\n{circle}\n".encode(), f"\n  5\n{handle}\n".encode()))
    target, copy = marked(path)
    own = [thing for thing in things(tags(target)) if is_ours(thing, copy.layer)]
    given_out = {int(str(v), 16) for thing in own for code, v in thing if code == 5}
    others = {int(str(v), 16) for thing in things(tags(path)) for code, v in thing if code == 5 and v}
    assert len(given_out) == len(own)
    assert given_out.isdisjoint(others - {int(str(dict(pairs(tags(path)))["$HANDSEED"]), 16)})
    assert max(given_out) <= 0xFFFFFFFFFFFFFFFF


@pytest.mark.parametrize("fmt", ["asc", "bin"])
def test_tags_that_can_not_be_followed_are_refused_in_one_sentence(fmt: str, tmp_path: Path):
    """Where bytes are no tags, nothing could be proved of a copy."""
    path = tmp_path / "print.dxf"
    faulty().doc.saveas(path, fmt=fmt)
    content = path.read_bytes()
    tag_file(content)
    broken = content.replace(b"\n  0\nENDSEC", b"\n???\nENDSEC", 1) if fmt == "asc" else content[:-2]
    with pytest.raises(AuditError, match="save"):
        tag_file(broken)


def test_a_file_that_was_changed_meanwhile_is_refused(tmp_path: Path):
    path = tmp_path / "print.dxf"
    faulty().doc.saveas(path)
    audit = audited(path)
    path.write_bytes(path.read_bytes() + b"\n")
    with pytest.raises(AuditError, match="changed"):
        marked_copy(path, audit, CAUTION)


# ------------------------------------------------------------------------------------------------- the command


def run(*args: object) -> Result:
    return CliRunner().invoke(cli, ["mark", *map(str, args)])


def test_the_command(tmp_path: Path):
    path, out = tmp_path / "print.dxf", tmp_path / "marked.dxf"
    faulty().doc.saveas(path)
    before = path.read_bytes()
    done = run(path, "--out", out)
    assert done.exit_code == 0
    said = " ".join(done.output.split())
    assert f"marked on layer {LAYER}" in said
    assert CAUTION in said
    assert path.read_bytes() == before
    assert sorted(p.name for p in tmp_path.iterdir()) == ["marked.dxf", "print.dxf"]
    first = out.read_bytes()
    assert run(path, "--out", out).exit_code == 0  # an earlier copy is written over
    assert out.read_bytes() == first  # and the same drawing gives the same bytes


def test_no_drawing_is_ever_written_over(tmp_path: Path):
    """Neither the input, by whatever name, nor another print."""
    path, other, link, hard = (tmp_path / name for name in ("print.dxf", "other.dxf", "link.dxf", "hard.dxf"))
    faulty().doc.saveas(path)
    faulty("R2000").doc.saveas(other)
    link.symlink_to(path)
    hard.hardlink_to(path)
    before = {p: p.read_bytes() for p in (path, other)}
    for out in (path, link, hard, other):
        done = run(path, "--out", out)
        assert done.exit_code != 0
        assert "name another file" in str(done.exception)
    assert {p: p.read_bytes() for p in before} == before


def test_a_copy_is_named_as_what_it_is(tmp_path: Path):
    """By another ending no program would open it."""
    path = tmp_path / "print.dxf"
    faulty().doc.saveas(path)
    for name in ("marked.txt", "marked.pdf", "marked"):
        assert "ends in .dxf" in str(run(path, "--out", tmp_path / name).exception)
    assert run(path, "--out", tmp_path / "MARKED.DXF").exit_code == 0
    assert sorted(p.name for p in tmp_path.iterdir()) == ["MARKED.DXF", "print.dxf"]


def test_settings_steer_the_marks(tmp_path: Path):
    path, out = tmp_path / "print.dxf", tmp_path / "marked.dxf"
    faulty().doc.saveas(path)
    full = run(path, "--out", out).output
    assert run(path, "--out", out, "--gap", "1/1000").output != full


def test_an_unreadable_drawing_leaves_no_file(tmp_path: Path):
    path, out = tmp_path / "print.dxf", tmp_path / "marked.dxf"
    path.write_bytes(b"%PDF-1.4")
    assert run(path, "--out", out).exit_code != 0
    assert not out.exists()
