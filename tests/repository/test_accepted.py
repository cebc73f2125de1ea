"""Accepted findings: what a file says, what it takes out of a run, and what is said of entries that match nothing."""

import tomllib
from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from dimaudit.errors import UsageError
from dimaudit.model.audit import Finding, Level
from dimaudit.repository.accepted import Acceptance, AcceptedFile, Entry, entries_of, read_accepted
from dimaudit.repository.accepted_text import HEAD, changed_text

TODAY = date(2031, 5, 31)
JIG = "prints/cleat-drill-jig.dxf"
ONE = """\
[[accepted]]
drawing = "prints/cleat-drill-jig.dxf"
rule = "rounded"
identity = "00c0ffee00c0ffee"
reason = "the drawing office knows"
author = "Ines"
"""


def finding(identity: str = "00c0ffee00c0ffee", rule: str = "rounded") -> Finding:
    return Finding(rule, Level.WARNING, ("2A",), "it is rounded", (), "state it", None, "Model", identity=identity)


def entry(**change: object) -> Entry:
    return replace(Entry(JIG, "rounded", "00c0ffee00c0ffee", "known", "Ines"), **change)  # type: ignore[arg-type]


def at_work(tmp_path: Path, *entries: Entry, today: date = TODAY) -> Acceptance:
    for one in entries:
        drawing = tmp_path / one.drawing
        drawing.parent.mkdir(parents=True, exist_ok=True)
        drawing.touch()
    return Acceptance(AcceptedFile(tmp_path / "accepted.toml", entries), today)


# --- the file -----------------------------------------------------------------------------------------------------


def test_an_entry_is_read(tmp_path: Path) -> None:
    path = tmp_path / "accepted.toml"
    path.write_text(ONE + "count = 2\nuntil = 2031-06-30\nabout = 17\n", encoding="utf-8")
    (read,) = read_accepted(path).entries
    assert read == Entry(JIG, "rounded", "00c0ffee00c0ffee", "the drawing office knows", "Ines", 2, date(2031, 6, 30))


@pytest.mark.parametrize(("text", "said"), [
    (ONE.replace("reason =", "reasn ="), "entry 1 (prints/cleat-drill-jig.dxf): 'reasn' is nothing that an entry has; "
     "did you mean 'reason'?"),
    (ONE.replace('"the drawing office knows"', '"  "'), "reason is empty: say why it is accepted"),
    (ONE.replace('"Ines"', '""'), "author is empty: say who accepted it"),
    (ONE.replace('author = "Ines"\n', ""), "'author' is missing"),
    (ONE.replace('"rounded"', "7"), "rule: must be a text in quotation marks"),
    (ONE + "count = 0\n", "count: must be a whole number, 1 or more"),
    (ONE + "count = true\n", "count: must be a whole number, 1 or more"),
    (ONE + 'until = "2031-06-30"\n', "until: must be a day without quotation marks"),
    (ONE + "until = 2031-06-30T12:00:00\n", "until: must be a day without quotation marks"),
    (ONE + ONE.replace("rule", "rul"), "entry 2 (prints/cleat-drill-jig.dxf): 'rul'"),
    (ONE.replace("[[accepted]]", "[[acceptd]]"), "'acceptd' is nothing that it has; did you mean 'accepted'?"),
    (ONE.replace("[[accepted]]", "[accepted]"), "begin each with [[accepted]]"),
    (ONE + "until = 2031-02-30\n", "mend that line"),
    ("[[accepted]]\nreason = \"open\n", "mend that line"),
], ids=range(14))  # fmt: skip
def test_a_slip_is_named_with_its_entry(text: str, said: str, tmp_path: Path) -> None:
    path = tmp_path / "accepted.toml"
    path.write_text(text, encoding="utf-8")
    with pytest.raises(UsageError) as caught:
        read_accepted(path)
    assert str(caught.value).startswith(str(path))
    assert said in str(caught.value)


def test_a_file_that_is_not_there_is_an_error(tmp_path: Path) -> None:
    with pytest.raises(UsageError, match="`dimaudit accept` makes it"):
        read_accepted(tmp_path / "accepted.toml")


# --- what is taken out --------------------------------------------------------------------------------------------


def test_a_finding_is_taken_out_with_its_reason(tmp_path: Path) -> None:
    left, accepted = at_work(tmp_path, entry()).apply(tmp_path / JIG, (finding(), finding("1111111111111111")))
    assert [f.identity for f in left] == ["1111111111111111"]
    assert [(a.finding.identity, a.reason, a.author) for a in accepted] == [("00c0ffee00c0ffee", "known", "Ines")]


@pytest.mark.parametrize("other", [
    entry(rule="near-miss"), entry(identity="1111111111111111"), entry(drawing="prints/winch-base-plate.dxf"),
], ids=["rule", "identity", "drawing"])  # fmt: skip
def test_rule_identity_and_drawing_must_all_agree(other: Entry, tmp_path: Path) -> None:
    left, accepted = at_work(tmp_path, other).apply(tmp_path / JIG, (finding(),))
    assert (len(left), accepted) == (1, ())


def test_one_more_of_the_same_is_new(tmp_path: Path) -> None:
    left, accepted = at_work(tmp_path, entry(count=2)).apply(tmp_path / JIG, (finding(),) * 3)
    assert (len(left), len(accepted)) == (1, 2)


def test_counts_of_several_entries_add_up(tmp_path: Path) -> None:
    left, accepted = at_work(tmp_path, entry(), entry(reason="too")).apply(tmp_path / JIG, (finding(),) * 3)
    assert (len(left), {a.reason for a in accepted}) == (1, {"known", "too"})


@pytest.mark.parametrize(("until", "left"), [(date(2031, 5, 30), 1), (date(2031, 5, 31), 0), (None, 0)])
def test_it_holds_through_its_last_day(until: date | None, left: int, tmp_path: Path) -> None:
    found, _ = at_work(tmp_path, entry(until=until)).apply(tmp_path / JIG, (finding(),))
    assert len(found) == left


def test_a_finding_without_identity_is_never_accepted(tmp_path: Path) -> None:
    left, _ = at_work(tmp_path, entry()).apply(tmp_path / JIG, (finding(""),))
    assert len(left) == 1


def test_the_drawing_is_known_from_every_folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """By its place beside the file, whatever path the run was given, and through a link to a folder."""
    at_work(tmp_path, entry())
    (tmp_path / "link").symlink_to(tmp_path / "prints")
    monkeypatch.chdir(tmp_path / "prints")
    for file, drawing in (
        (Path("../accepted.toml"), Path("cleat-drill-jig.dxf")),
        (tmp_path / "prints/../accepted.toml", Path("../prints/cleat-drill-jig.dxf")),
        (tmp_path / "accepted.toml", tmp_path / "link/cleat-drill-jig.dxf"),
    ):
        left, accepted = Acceptance(AcceptedFile(file, (entry(),)), TODAY).apply(drawing, (finding(),))
        assert (left, len(accepted)) == ((), 1)


# --- remarks ------------------------------------------------------------------------------------------------------


def remarks(acceptance: Acceptance, path: Path, *findings: Finding) -> tuple[str, ...]:
    acceptance.apply(path, findings)
    return acceptance.remarks()


def test_nothing_is_said_where_all_match(tmp_path: Path) -> None:
    assert remarks(at_work(tmp_path, entry()), tmp_path / JIG, finding()) == ()


def test_nothing_is_said_of_a_drawing_that_was_not_audited(tmp_path: Path) -> None:
    assert at_work(tmp_path, entry(), entry(until=date(2030, 1, 1))).remarks() == ()


def test_a_mended_finding_is_to_be_taken_out(tmp_path: Path) -> None:
    (said,) = remarks(at_work(tmp_path, entry()), tmp_path / JIG)
    assert said.startswith(f"accepted.toml: {JIG}: accepted, and no finding matches: it is mended, or changed")
    assert said.endswith("take it out: rounded 00c0ffee00c0ffee")


def test_an_expired_entry_is_named_with_its_day_and_author(tmp_path: Path) -> None:
    (said,) = remarks(at_work(tmp_path, entry(until=date(2031, 5, 1))), tmp_path / JIG, finding())
    assert "until a day that is over, mend or accept anew: rounded 00c0ffee00c0ffee (until 2031-05-01, Ines)" in said


def test_an_expired_entry_that_is_mended_is_to_be_taken_out(tmp_path: Path) -> None:
    (said,) = remarks(at_work(tmp_path, entry(until=date(2031, 5, 1))), tmp_path / JIG)
    assert "until a day that is over, and not needed any more, take it out" in said


def test_an_expired_entry_beside_one_that_holds_is_to_be_taken_out(tmp_path: Path) -> None:
    acceptance = at_work(tmp_path, entry(until=date(2031, 5, 1)), entry(reason="anew"))
    left, accepted = acceptance.apply(tmp_path / JIG, (finding(),))
    assert (left, [a.reason for a in accepted]) == ((), ["anew"])
    (said,) = acceptance.remarks()
    assert "not needed any more" in said


def test_a_count_that_is_too_high_is_to_be_lowered(tmp_path: Path) -> None:
    (said,) = remarks(at_work(tmp_path, entry(count=3)), tmp_path / JIG, finding())
    assert said.endswith("lower the count: rounded 00c0ffee00c0ffee (1 of 3)")


def test_many_entries_are_counted_not_dropped(tmp_path: Path) -> None:
    entries = [entry(identity=f"{n:016x}") for n in range(9)]
    (said,) = remarks(at_work(tmp_path, *entries), tmp_path / JIG)
    assert said.endswith("and 4 more")


def test_a_drawing_that_is_gone(tmp_path: Path) -> None:
    acceptance = Acceptance(AcceptedFile(tmp_path / "accepted.toml", (entry(), entry(rule="near-miss"))), TODAY)
    (said,) = acceptance.remarks()
    assert said == f"accepted.toml: {JIG} is not there any more, and has 2 accepted findings: take them out"


def test_a_drawing_that_was_renamed_is_guessed_and_not_accepted(tmp_path: Path) -> None:
    acceptance = Acceptance(AcceptedFile(tmp_path / "accepted.toml", (entry(),)), TODAY)
    left, _ = acceptance.apply(tmp_path / "prints/drill-jig.dxf", (finding(),))
    assert len(left) == 1
    (said,) = acceptance.remarks()
    assert said.endswith("was it renamed to prints/drill-jig.dxf?")


def test_what_accepts_nothing_is_spent(tmp_path: Path) -> None:
    """Expired, mended, or of a drawing that is gone; not of a drawing that was not looked at."""
    used, other, mended, over = (
        entry(), entry(drawing="plate.dxf"), entry(rule="gap"), entry(rule="cut-off", until=date(2030, 1, 1)),
    )  # fmt: skip
    acceptance = at_work(tmp_path, used, other, mended, over)
    acceptance.apply(tmp_path / JIG, (finding(), finding(rule="cut-off")))
    assert acceptance.spent() == {mended, over}
    gone = Acceptance(AcceptedFile(tmp_path / "accepted.toml", (entry(drawing="flange.dxf"),)), TODAY)
    assert gone.spent() == {entry(drawing="flange.dxf")}


# --- the text -----------------------------------------------------------------------------------------------------

texts = st.text(st.characters(blacklist_categories=["Cs"]), min_size=1).filter(lambda t: t.strip() == t)
days = st.none() | st.dates()
entries = st.builds(
    Entry, st.sampled_from(["a.dxf", "b/c.dxf", "Ø/é.dxf"]), st.sampled_from(["rounded", "gap"]),
    st.integers(0, 3).map(lambda n: f"{n:016x}"), texts, texts, st.integers(1, 9), days, texts,
)  # fmt: skip
PATH = Path("accepted.toml")


@given(st.lists(entries, max_size=6), st.data())
def test_whatever_the_order_the_bytes_are_the_same(some: list[Entry], data: st.DataObject) -> None:
    """Added at once, one by one or shuffled; and what is written reads back, however odd the words (TOML 1.0)."""
    at_once = changed_text(PATH, HEAD, some)
    one_by_one = HEAD
    for one in data.draw(st.permutations(some)):
        one_by_one = changed_text(PATH, one_by_one, [one])
    plain = [replace(e, about="") for e in some]
    assert sorted(map(repr, entries_of(PATH, at_once))) == sorted(map(repr, plain))
    assert [e["reason"] for e in tomllib.loads(at_once).get("accepted", [])] == [
        e.reason for e in entries_of(PATH, at_once)
    ]
    if len({(e.key, e.until, e.reason, e.author) for e in some}) == len(some):
        assert one_by_one == at_once


@given(st.lists(entries, max_size=6))
def test_what_is_taken_out_again_leaves_what_was_there(some: list[Entry]) -> None:
    own = Entry("z.dxf", "gap", "f" * 16, "stays", "Ines")
    text = changed_text(PATH, HEAD, [own])
    more = changed_text(PATH, text, some)
    assert changed_text(PATH, more, [], {replace(e, about="") for e in some}) == text


def test_remarks_of_people_stay_with_their_entry() -> None:
    mine = "# our own head\n\n# about the jig\n" + ONE.replace("[[accepted]]", "[[ accepted ]]  # agreed")
    mine += "# last words\n"
    made = changed_text(PATH, mine, [entry(drawing="a.dxf"), entry(drawing="z.dxf")])
    head, first, second, third = made.split("\n\n")
    assert head == "# our own head"
    assert 'drawing = "a.dxf"' in first
    assert second.startswith("# about the jig\n[[ accepted ]]  # agreed\n")
    assert second.endswith("# last words")
    assert 'drawing = "z.dxf"' in third


@pytest.mark.parametrize("text", [
    "accepted = [{drawing='a.dxf', rule='gap', identity='1', reason='r', author='a'}]\n",
    ONE.replace('"Ines"', '"""\n[[accepted]]\n"""'),
], ids=["inline", "within a text"])  # fmt: skip
def test_entries_that_cannot_be_told_apart_are_left_alone(text: str) -> None:
    assert entries_of(PATH, text)
    with pytest.raises(UsageError, match="can't be told apart"):
        changed_text(PATH, text, [entry()])
