"""Files of every format and version, and files that are no drawings."""

import gzip
import hashlib
import io
import zipfile
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest

from dimaudit.errors import UnreadableFile
from dimaudit.model.audit import DrawingAudit, UnreadDrawing
from dimaudit.model.drawing import Dimension, Drawing, Kind
from dimaudit.model.settings import Settings
from dimaudit.model.units import Unit
from dimaudit.pipeline import audit_file
from dimaudit.read import read_drawing
from read.sketch import NEEDED, Sketch, audited

F = Fraction
VERSIONS = ["R12", "R2000", "R2004", "R2007", "R2010", "R2013", "R2018"]


def bracket(version: str = "R2010", unit: Unit | None = Unit.INCH) -> Sketch:
    """A plate with a hole and a dimension of every kind that every version knows."""
    sketch = Sketch(unit, version)
    sketch.rect(0, 0, "39/16", 2)
    sketch.circle(("0.6171875", 1), "0.3125")
    sketch.line((0, 2), (1, 3))
    sketch.line((1, 3), (1, 2))
    sketch.across((0, 0), ("39/16", 0), -1)
    sketch.upright((0, 0), (0, 2), -1, text="<> TYP")
    sketch.dim(Kind.ALIGNED, {13: (0, 2), 14: (1, 3), 10: (-1, 3)}, text="1.5")
    sketch.dim(Kind.RADIUS, {10: ("0.6171875", 1), 15: ("0.9296875", 1)})
    sketch.dim(Kind.DIAMETER, {10: ("0.3046875", 1), 15: ("0.9296875", 1)}, text="%%c.625")
    sketch.dim(Kind.ANGULAR, {13: (0, 2), 14: (1, 3), 15: (1, 2), 10: (1, 3), 16: ("0.8", "2.3")})
    sketch.dim(Kind.ANGULAR_3P, {15: (1, 3), 13: (0, 2), 14: (1, 2), 10: ("0.8", "2.3")})
    sketch.dim(Kind.ORDINATE, {10: (0, 0), 13: ("39/16", 2), 14: ("39/16", 4)}, along_x=True)
    return sketch


def essence(drawing: Drawing) -> list[tuple[Any, ...]]:
    """What the dimensions say, without what differs between versions by design."""

    def of(d: Dimension) -> tuple[Any, ...]:
        needed = sorted((g, d.points[g]) for g in NEEDED[d.kind])
        return d.kind, needed, d.angle, d.along_x, d.override

    return [of(d) for d in drawing.spaces[0].dimensions]


def linework(drawing: Drawing) -> list[str]:
    """The shapes, without their handles."""
    return [repr(s).split("origin=")[0] + repr(s).partition("inserts=()), ")[2] for s in drawing.spaces[0].shapes]


@pytest.mark.parametrize("version", VERSIONS)
def test_every_version_gives_the_same_dimensions(tmp_path: Path, version: str) -> None:
    """From R12 to R2018 the same drawing is read as the same linework and the same dimensions."""
    reference = bracket("R2010").read(tmp_path)
    drawing = bracket(version).read(tmp_path)
    assert drawing.version == version
    assert drawing.losses == ()
    assert essence(drawing) == essence(reference)
    assert linework(drawing) == linework(reference)
    assert len(drawing.spaces[0].dimensions) == 8


@pytest.mark.parametrize("version", VERSIONS)
def test_a_binary_file_is_read_as_its_text_twin(tmp_path: Path, version: str) -> None:
    """Binary and ASCII DXF of one drawing give the same coordinates, dimensions and verdicts."""
    sketch = bracket(version)
    settings = Settings(unit=Unit.INCH)
    text = audited(sketch.save(tmp_path, "text.dxf"), settings)
    binary = audited(sketch.save(tmp_path, "binary.dxf", fmt="bin"), settings)
    assert (tmp_path / "binary.dxf").read_bytes().startswith(b"AutoCAD Binary DXF")
    assert [(j.measured, j.stated, j.verdict, j.text) for j in text.judgements] == [
        (j.measured, j.stated, j.verdict, j.text) for j in binary.judgements
    ]
    assert linework(read_drawing(tmp_path / "text.dxf", settings)) == linework(
        read_drawing(tmp_path / "binary.dxf", settings)
    )


def test_the_drawing_carries_its_path_and_its_hash(tmp_path: Path) -> None:
    """A drawing knows the file that it came from and the SHA-256 of its bytes."""
    path = bracket().save(tmp_path)
    drawing = read_drawing(path, Settings())
    assert drawing.path == str(path)
    assert drawing.sha256 == hashlib.sha256(path.read_bytes()).hexdigest()


CAN_ASSOCIATE = [("R12", False), ("R2000", True), ("R2018", True)]


@pytest.mark.parametrize(("version", "can"), CAN_ASSOCIATE)
def test_only_newer_formats_can_associate(tmp_path: Path, version: str, can: bool) -> None:
    """Association objects exist from the R2000 format on."""
    assert bracket(version).read(tmp_path).can_associate is can


# --- no drawings -------------------------------------------------------------------------------------------------


def zipped() -> bytes:
    store = io.BytesIO()
    with zipfile.ZipFile(store, "w") as archive:
        archive.writestr("a.dxf", "0\nEOF\n")
    return store.getvalue()


LFS = b"version https://git-lfs.github.com/spec/v1\noid sha256:" + b"0" * 64 + b"\nsize 1234\n"
REFUSED: list[tuple[str, bytes, str, str]] = [
    # name, content, what it is, what to do
    ("an empty file", b"", "empty", "export"),
    ("a large-file pointer", LFS, "large-file-storage pointer", "git lfs pull"),
    ("a DWG under a DXF name", b"AC1032\0\0\0\0\0\x01" + bytes(200), "DWG", "save it as DXF"),
    ("a PDF", b"%PDF-1.7\n%\xe2\xe3\n1 0 obj\n", "PDF", "export"),
    ("a ZIP archive", zipped(), "ZIP", "unpack"),
    ("a gzip archive", gzip.compress(b"0\nEOF\n"), "gzip", "unpack"),
    ("a picture", b"\x89PNG\r\n\x1a\n" + bytes(50), "picture", "export"),
    ("an SVG picture", b"<svg xmlns='http://www.w3.org/2000/svg'/>", "SVG", "export"),
    ("an SVG picture after a mark and blanks", b"\xef\xbb\xbf\r\n <svg/>", "SVG", "export"),
    ("a STEP model", b"ISO-10303-21;\nHEADER;\n", "STEP", "export"),
    ("an STL mesh", b"solid part\nfacet normal 0 0 1\n", "STL", "export"),
    ("words", b"Dear all,\nthe drawing is attached.\n", "not readable", "save it again"),
    ("noise", bytes(range(256)) * 20, "not readable", "save it again"),
    ("one byte", b"0", "not readable", "save it again"),
    ("numbers without a section", b"0\nLINE\n8\n0\n10\n1.0\n", "not readable", "save it again"),
]


@pytest.mark.parametrize(("content", "what", "way_out"), [r[1:] for r in REFUSED], ids=[r[0] for r in REFUSED])
def test_what_is_no_drawing_is_refused_with_a_way_out(
    tmp_path: Path, content: bytes, what: str, way_out: str
) -> None:
    """A file that is no drawing is one error that names the file, what it is, and what to do."""
    path = tmp_path / "part 7.dxf"
    path.write_bytes(content)
    with pytest.raises(UnreadableFile) as caught:
        read_drawing(path, Settings())
    message = str(caught.value)
    assert message.startswith(f"{path}: ")
    assert what in message
    assert way_out in message
    assert len(message.splitlines()) == 1
    result, faults = audit_file(path, Settings())
    assert result == UnreadDrawing(str(path), message)
    assert faults == ()


def test_a_file_that_is_not_there_is_refused(tmp_path: Path) -> None:
    """A missing file is the same kind of error, and names the file."""
    path = tmp_path / "nowhere.dxf"
    with pytest.raises(UnreadableFile, match=r"nowhere\.dxf: .*check the name"):
        read_drawing(path, Settings())


def test_a_folder_is_refused(tmp_path: Path) -> None:
    """A folder given for a file is the same kind of error."""
    with pytest.raises(UnreadableFile, match="check the name"):
        read_drawing(tmp_path, Settings())


@pytest.mark.parametrize("fmt", ["asc", "bin"])
@pytest.mark.parametrize("share", [0.02, 0.1, 0.3, 0.5, 0.7, 0.8, 0.9, 0.95, 0.99])
def test_a_truncated_file_is_never_read_in_silence(tmp_path: Path, share: float, fmt: str) -> None:
    """A file cut short is refused by name, or read with a loss that says so: never taken for a whole drawing."""
    whole = bracket().save(tmp_path, "whole.dxf", fmt=fmt).read_bytes()
    path = tmp_path / "cut.dxf"
    path.write_bytes(whole[: int(len(whole) * share)])
    result, faults = audit_file(path, Settings())
    assert faults == ()
    if isinstance(result, DrawingAudit):
        assert "the file's structure" in [loss.what for loss in result.losses]
    else:
        assert str(path) in result.why


DAMAGED: list[tuple[str, bytes, bytes]] = [
    ("a coordinate that is no number", b"AcDbLine\r\n 10\r\n0.0", b"AcDbLine\r\n 10\r\nnan"),
    ("an endless coordinate", b"AcDbCircle\r\n 10\r\n0.6171875", b"AcDbCircle\r\n 10\r\n1e999"),
]


@pytest.mark.parametrize(("good", "bad"), [d[1:] for d in DAMAGED], ids=[d[0] for d in DAMAGED])
def test_one_malformed_entity_does_not_end_the_reading(tmp_path: Path, good: bytes, bad: bytes) -> None:
    """An entity with a number that is not finite is a loss; everything else is read."""
    path = bracket().save(tmp_path)
    content = path.read_bytes().replace(b"\r\n", b"\n").replace(b"\n", b"\r\n")
    assert good in content
    path.write_bytes(content.replace(good, bad, 1))
    drawing = read_drawing(path, Settings())
    assert len(drawing.spaces[0].dimensions) == 8
    assert sum(loss.count for loss in drawing.losses) >= 1


@pytest.mark.parametrize("version", VERSIONS)
@pytest.mark.parametrize("fmt", ["asc", "bin"])
def test_the_input_is_never_changed(tmp_path: Path, version: str, fmt: str) -> None:
    """Reading and auditing leave the file's bytes and the folder as they were."""
    path = bracket(version).save(tmp_path, fmt=fmt)
    before, written = path.read_bytes(), path.stat().st_mtime_ns
    audit_file(path, Settings())
    assert path.read_bytes() == before
    assert path.stat().st_mtime_ns == written
    assert [p.name for p in tmp_path.iterdir()] == [path.name]


def test_a_write_protected_file_is_read(tmp_path: Path) -> None:
    """A file that may only be read is read."""
    path = bracket().save(tmp_path)
    path.chmod(0o444)
    assert len(audited(path).judgements) == 8


def test_a_file_cut_off_in_the_middle_is_unread(tmp_path: Path) -> None:
    """A file that ends inside a section is refused, with what its tags name, wherever it was cut."""
    content = bracket().save(tmp_path).read_bytes()
    entities = content.index(b"ENTITIES")
    for share in (2, 3, 5, 7):
        cut = tmp_path / f"cut{share}.dxf"
        cut.write_bytes(content[: entities + (content.rindex(b"ENDSEC") - entities) // share])
        result, _ = audit_file(cut, Settings())
        assert isinstance(result, UnreadDrawing)
        assert "cut off" in result.why


def test_a_file_without_its_last_tag_is_read_with_a_loss(tmp_path: Path) -> None:
    """A file that ends after a whole section is read, and the missing end is said."""
    path = bracket().save(tmp_path)
    content = path.read_bytes().rstrip()
    assert content.endswith(b"EOF")
    path.write_bytes(content[: content.rindex(b"ENDSEC") + len(b"ENDSEC")] + b"\n")
    result = audited(path)
    assert len(result.judgements) == 8
    assert "the file's end" in [loss.what for loss in result.losses]


def test_a_layer_that_is_not_there_is_said(tmp_path: Path) -> None:
    """A layer left out by a name that no layer has is listed: a slip should not go unseen."""
    path = bracket().save(tmp_path)
    losses = read_drawing(path, Settings(left_out_layers=("NO SUCH LAYER",))).losses
    assert [loss.what for loss in losses] == ["layer NO SUCH LAYER"]
