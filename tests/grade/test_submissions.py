"""What a class hands in: found, named, and read safely; what can't be graded is for a person, never a zero."""

import os
import stat
import struct
import zipfile
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from dimaudit.errors import UsageError
from dimaudit.grade import archive, submissions
from dimaudit.grade.submissions import HandedIn, clean, handed_in, order
from grade.evening import hand_in

DXF = b"0\nSECTION\n2\nENTITIES\n0\nENDSEC\n0\nEOF\n"


def found(*paths: Path, apart: tuple[Path, ...] = ()) -> HandedIn:
    with handed_in(paths, apart) as result:
        for submission in result.submissions:
            assert submission.file.read_bytes(), "what is to be graded can be read"
        return result


def names(result: HandedIn) -> list[str]:
    return [s.name for s in result.submissions]


def why(result: HandedIn) -> dict[str, str]:
    assert all(p.why and p.to_do for p in result.for_a_person)
    return {p.name: p.why for p in result.for_a_person}


def put(folder: Path, **files: bytes) -> None:
    for name, data in files.items():
        (folder / name.replace("_", ".")).write_bytes(data)


def packed(path: Path, *files: tuple[str | zipfile.ZipInfo, bytes], how: int = zipfile.ZIP_DEFLATED) -> Path:
    with zipfile.ZipFile(path, "w", how) as made:
        for name, data in files:
            made.writestr(name, data)
    return path


# --- folders -------------------------------------------------------------------------------------


def test_names_come_from_files_in_the_order_of_a_list(tmp_path):
    """Case aside, and 2 before 10."""
    for name in ("b10.dxf", "B2.dxf", "a.DXF"):
        (tmp_path / name).write_bytes(DXF)
    assert names(found(tmp_path)) == ["a", "B2", "b10"]


def test_one_folder_for_each_learner(tmp_path):
    """The folder is part of the name, since all call their file the same."""
    for name in ("ines/plate.dxf", "tor/plate.dxf"):
        (tmp_path / name).parent.mkdir()
        (tmp_path / name).write_bytes(DXF)
    assert names(found(tmp_path)) == ["ines/plate", "tor/plate"]


def test_two_of_one_name_get_longer_names(tmp_path):
    """By the ending, then by where they came from; never one name for two."""
    first, second = tmp_path / "first", tmp_path / "second"
    for folder, name in ((first, "a.dxf"), (first, "A.dxf"), (second, "a.dxf")):
        folder.mkdir(exist_ok=True)
        (folder / name).write_bytes(DXF)
    assert names(found(first, second)) == ["first/A.dxf", "first/a.dxf", "second/a.dxf"]


def test_names_are_the_same_wherever_the_run_is_started(tmp_path, monkeypatch):
    """And tell no more of the folders on the way than they must."""
    for folder in ("monday/in", "tuesday/in"):
        (tmp_path / folder).mkdir(parents=True)
        (tmp_path / folder / "a.dxf").write_bytes(DXF)
    wanted = ["monday/in/a.dxf", "tuesday/in/a.dxf"]
    assert names(found(tmp_path / "monday/in", tmp_path / "tuesday/in")) == wanted
    monkeypatch.chdir(tmp_path / "monday")
    assert names(found(Path("in"), Path("../tuesday/in"))) == wanted
    assert names(found(Path("in/a.dxf"), Path("../tuesday/in/a.dxf"))) == wanted


def test_a_file_that_is_named_twice_is_graded_once(tmp_path):
    """A folder, and a file in it."""
    (tmp_path / "a.dxf").write_bytes(DXF)
    assert names(found(tmp_path, tmp_path / "a.dxf")) == ["a"]


@pytest.mark.parametrize(
    ("name", "data", "says"),
    [
        ("a.dwg", b"AC1032", "another format"), ("a.pdf", b"%PDF-1.7", "print"), ("a.png", b"\x89PNG", "picture"),
        ("a.svg", b"<svg/>", "screen"), ("a.step", b"ISO-10303-21;", "solid"), ("a.dxf", b"", "empty"),
        ("a.dxf", b" \r\n\0", "empty"), ("a.dxf", b"AC1032\0", "another format than DXF, though its name ends in .dxf"),
        ("a.dxf", b"%PDF-1.4", "print, which holds no measurable drawing, though"), ("a.docx", b"PK\x03\x04", "text"),
        ("a.zip.7z", b"7z", "archive"), ("a", b"PK\x03\x04", "archive"), ("a.xyz", b"what", "no file of a kind"),
        ("a.pdf", b"", "empty"),
    ],
)  # fmt: skip
def test_what_can_not_be_graded_is_for_a_person_with_its_reason(tmp_path, name, data, says):
    """By its content where the name is wrong, and with what to do."""
    (tmp_path / name).write_bytes(data)
    result = found(tmp_path)
    assert names(result) == []
    assert says in next(iter(why(result).values()))


def test_a_print_beside_a_drawing_is_left_aside_and_said(tmp_path):
    """Of the same name, or in the same learner's folder: the drawing is graded."""
    put(tmp_path, a_dxf=DXF, a_dwg=b"AC1032", b_pdf=b"%PDF")
    (tmp_path / "ines").mkdir()
    put(tmp_path / "ines", plate_dxf=DXF, notes_txt=b"please look")
    result = found(tmp_path)
    assert names(result) == ["a", "ines/plate"]
    assert list(why(result)) == ["b"]
    assert sum("left aside, since a DXF drawing lies beside it" in line for line in result.said) == 2


def test_an_empty_drawing_is_never_left_aside(tmp_path):
    """A second drawing in a learner's folder may be the one that counts."""
    (tmp_path / "ines").mkdir()
    put(tmp_path / "ines", plate_dxf=DXF, better_dxf=b"")
    assert list(why(found(tmp_path))) == ["ines/better"]


def test_hidden_files_are_skipped_and_counted(tmp_path):
    """What systems leave behind is no submission."""
    put(tmp_path, a_dxf=DXF)
    (tmp_path / "__MACOSX").mkdir()
    (tmp_path / "__MACOSX" / "._a.dxf").write_bytes(DXF)
    for name in (".DS_Store", "Thumbs.db", "~$a.dxf"):
        (tmp_path / name).write_bytes(DXF)
    result = found(tmp_path)
    assert names(result) == ["a"]
    assert result.said == (
        "skipped, as hidden files and left-overs of systems: .DS_Store (1), Thumbs.db (1), __MACOSX (1), ~$a.dxf (1)",
    )


def test_key_rubric_and_gradebook_are_no_submissions(tmp_path):
    """Where they lie in the class's folder, they are left aside and that is said."""
    put(tmp_path, a_dxf=DXF, key_dxf=DXF)
    (tmp_path / "marks").mkdir()
    put(tmp_path / "marks", old_dxf=DXF)
    result = found(tmp_path, apart=(tmp_path / "key.dxf", tmp_path / "marks"))
    assert names(result) == ["a"]
    assert len(result.said) == 2


def test_links_are_not_followed(tmp_path):
    """Neither to files nor to folders."""
    outside = tmp_path / "outside"
    outside.mkdir()
    put(outside, secret_dxf=DXF)
    room = tmp_path / "class"
    room.mkdir()
    (room / "a.dxf").symlink_to(outside / "secret.dxf")
    (room / "more").symlink_to(outside)
    result = found(room)
    assert names(result) == []
    assert "link" in why(result)["a"]
    assert "link" in result.said[0]


def test_too_large_is_for_a_person(tmp_path, monkeypatch):
    """The bound is said in bytes."""
    monkeypatch.setattr(submissions, "LARGEST", 10)
    put(tmp_path, a_dxf=DXF)
    assert why(found(tmp_path))["a"] == f"{len(DXF)} bytes, more than the 10 that are read"


def test_too_many_files_is_no_class(tmp_path, monkeypatch):
    """A wrong folder is noticed before it is read."""
    monkeypatch.setattr(submissions, "MOST_FILES", 2)
    for n in range(3):
        (tmp_path / f"{n}.dxf").write_bytes(DXF)
    with pytest.raises(UsageError, match="more than 2 files"):
        found(tmp_path)


def test_what_is_not_there_is_said(tmp_path):
    """With what to name instead."""
    with pytest.raises(UsageError, match="no such file or folder"):
        found(tmp_path / "none")


@pytest.mark.skipif(os.name == "nt", reason="such names can't be made there")
def test_names_that_are_no_text_and_pipes(tmp_path):
    """Bytes that are no UTF-8, control characters, a pipe that would never end."""
    Path(os.fsdecode(os.fsencode(tmp_path) + b"/\xff.dxf")).write_bytes(DXF)
    (tmp_path / "a\x1b[31m\nb.dxf").write_bytes(DXF)
    os.mkfifo(tmp_path / "pipe.dxf")
    result = found(tmp_path)
    assert names(result) == ["a\\x1b[31m b", "�"]
    assert why(result) == {"pipe": "no plain file"}


# --- archives ------------------------------------------------------------------------------------


def test_an_archive_is_read_like_the_folder_that_was_packed(tmp_path):
    """The folder around all is not part of the names."""
    path = packed(tmp_path / "c.zip", ("evening/ines/p.dxf", DXF), ("evening/tor.dxf", DXF), ("__MACOSX/._p.dxf", b"x"))
    result = found(path)
    assert names(result) == ["ines/p", "tor"]
    assert [s.path for s in result.submissions] == [f"{path}/ines/p.dxf", f"{path}/tor.dxf"]
    assert result.said


def test_real_drawings_in_an_archive_have_the_digest_of_the_file(tmp_path):
    """So a remark follows a file from a folder into an archive."""
    file = hand_in(tmp_path, "a.dxf")
    path = packed(tmp_path / "c.zip", ("a.dxf", file.read_bytes()))
    assert found(file).submissions[0].sha256 == found(path).submissions[0].sha256


@pytest.mark.parametrize("name", ["../../out.dxf", "/etc/out.dxf", "C:/out.dxf", "a/..\\..\\out.dxf", ".."])
def test_no_path_leads_out_of_an_archive(tmp_path, name):
    """Refused, and nothing is written but under our own names."""
    before = set(tmp_path.parent.rglob("*out.dxf*"))
    result = found(packed(tmp_path / "c.zip", (name, DXF)))
    assert "leads out of the archive" in next(iter(why(result).values()))
    assert names(result) == []
    assert set(tmp_path.parent.rglob("*out.dxf*")) == before


def test_links_locks_and_twice_the_same_name_in_an_archive(tmp_path):
    """Each is for a person, and the rest is graded."""
    link = zipfile.ZipInfo("link.dxf")
    link.external_attr = (stat.S_IFLNK | 0o777) << 16
    with pytest.warns(UserWarning, match="Duplicate"):
        path = packed(tmp_path / "c.zip", (link, b"/etc/passwd"), ("twice.dxf", DXF), ("twice.dxf", DXF + b"\n"),
                      ("inner.zip", b"PK\x03\x04"), ("good.dxf", DXF), ("locked.dxf", DXF))  # fmt: skip
    data = bytearray(path.read_bytes())
    entry = data.rindex(b"locked.dxf") - 46
    data[entry + 8] |= 1  # general purpose flag, bit 0: encrypted (APPNOTE.TXT 4.4.4)
    path.write_bytes(data)
    result = found(path)
    assert names(result) == ["good"]
    said = why(result)
    assert "link" in said.pop("link")
    assert "password" in said.pop("locked")
    assert "an archive within" in said.pop("inner")
    assert [("more than once" in text) for text in said.values()] == [True, True]


def test_a_bomb_is_not_unpacked(tmp_path):
    """50 MB of one letter pack to 50 kB: deflate's limit of about 1030 to 1 (RFC 1951, lengths up to 258)."""
    path = packed(tmp_path / "c.zip", ("bomb.dxf", b"0" * 50_000_000), ("good.dxf", DXF))
    assert path.stat().st_size < 100_000
    with handed_in([path]) as result:
        assert names(result) == ["good"]
        assert sum(f.stat().st_size for f in result.submissions[0].file.parent.iterdir()) < 1000
    assert "as no drawing does" in why(result)["bomb"]
    assert not result.submissions[0].file.exists(), "nothing stays behind"


def test_sizes_that_an_archive_understates_are_counted(tmp_path, monkeypatch):
    """What the list of contents says of a size is not believed."""
    monkeypatch.setattr(submissions, "LARGEST", 1000)
    path = packed(tmp_path / "c.zip", ("liar.dxf", os.urandom(5000).hex().encode()))
    data = bytearray(path.read_bytes())
    at = data.rindex(b"PK\x01\x02")
    data[at + 24 : at + 28] = struct.pack("<L", 10)
    path.write_bytes(data)
    assert list(why(found(path))) == ["liar"]


def test_all_of_an_archive_is_bounded(tmp_path, monkeypatch):
    """Many entries of the allowed size are too much together; those within the bound are graded."""
    monkeypatch.setattr(archive, "LARGEST_IN_ALL", 250)
    monkeypatch.setattr(submissions, "LARGEST", 100)
    result = found(packed(tmp_path / "c.zip", *((f"{n}.dxf", b"9" * 90) for n in range(5))))
    assert names(result) == ["0", "1"]
    assert all("in all" in text for text in why(result).values())


def test_too_many_entries_are_refused_before_they_are_read(tmp_path, monkeypatch):
    """By the archive's last record."""
    monkeypatch.setattr(submissions, "MOST_FILES", 3)
    path = packed(tmp_path / "c.zip", *((f"{'n' * 200}{n}.dxf", b"9") for n in range(40)))
    with pytest.raises(UsageError, match="made for more than 3 files"):
        found(path)


def test_a_damaged_entry_harms_no_other(tmp_path):
    """Its checksum tells."""
    path = packed(tmp_path / "c.zip", ("bad.dxf", b"A" * 40), ("good.dxf", DXF), how=zipfile.ZIP_STORED)
    data = path.read_bytes().replace(b"A" * 40, b"B" * 40)
    path.write_bytes(data)
    result = found(path)
    assert names(result) == ["good"]
    assert "damaged" in why(result)["bad"]


@pytest.mark.parametrize("data", [b"", b"PK\x03\x04", b"not at all", b"PK\x05\x06" + b"\0" * 10])
def test_what_is_no_archive_is_said(tmp_path, data):
    """With what to do."""
    (tmp_path / "c.zip").write_bytes(data)
    with pytest.raises(UsageError, match="pack the folder anew"):
        found(tmp_path / "c.zip")


@given(st.binary(max_size=300), st.integers(0, 300))
def test_no_bytes_end_the_reading_of_an_archive(tmp_path_factory, noise, at):
    """A good archive with noise written over it: submissions, reasons, or a usage error."""
    folder = tmp_path_factory.mktemp("noise")
    path = packed(folder / "c.zip", ("a.dxf", DXF * 3), ("b/b.dxf", DXF))
    data = bytearray(path.read_bytes())
    data[at : at + len(noise)] = noise
    path.write_bytes(data)
    try:
        result = found(path)
    except UsageError:
        return
    assert len({*names(result), *why(result)}) == len(result.submissions) + len(result.for_a_person)


# --- names ---------------------------------------------------------------------------------------


@given(st.lists(st.text(min_size=1, max_size=30), min_size=1, max_size=6))
def test_no_two_in_an_archive_share_a_name(tmp_path_factory, stems):
    """Whatever they are called; and each name is one line that can be printed."""
    path = tmp_path_factory.getbasetemp() / "names.zip"
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr("warnings.warn", lambda *_, **__: None)  # of a name given twice
        try:
            packed(path, *((f"{stem}.dxf", DXF) for stem in stems))
        except (UnicodeEncodeError, IndexError):
            return  # neither a lone surrogate nor nothing before a NUL can be a name in an archive
    result = found(path)
    all_names = [*names(result), *why(result)]
    assert len(set(all_names)) == len(all_names)
    parts = [f"{stem}.dxf".replace("\\", "/").split("/") for stem in stems]
    skipped = sum(any(map(submissions.hidden, own)) for own in parts)
    assert len(all_names) >= len(stems) - skipped - sum(1 for s in stems if "\0" in s)
    assert all(name == clean(name) and "\n" not in name for name in all_names)


@given(st.lists(st.text(max_size=8), max_size=8))
def test_the_order_of_names_is_total(texts):
    """No name ends the sorting, and the same names come out in the same order."""
    turned = list(reversed(texts))
    assert sorted(texts, key=order) == sorted(turned, key=order)
