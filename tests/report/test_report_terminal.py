"""The lines of the terminal's report about the title block and about views."""

from io import StringIO
from pathlib import Path

from hypothesis import given
from hypothesis import strategies as st
from read.sketch import Sketch, audited
from reporting import told
from rich.console import Console
from rich.text import Text

from dimaudit.report.terminal import print_drawing, put, wrapped


def lines(sketch: Sketch, folder: Path) -> list[str]:
    shown = StringIO()
    print_drawing(Console(file=shown, width=300), told(audited(sketch.save(folder))))
    return [line.strip() for line in shown.getvalue().splitlines()]


def note(sketch: Sketch, text: str, x: float, y: float) -> str:
    made = sketch.into.add_text(text, height=0.125, dxfattribs={"insert": (x, y)})
    return str(made.dxf.handle)


def views(sketch: Sketch) -> None:
    """A front and a side view with a step each, .02 apart in height."""
    for x, step in ((0, 1), (9, "1.02")):
        sketch.rect(x, 0, 4, 3)
        sketch.line((x, step), (x + 4, step))
        sketch.across((x, 0), (x + 4, 0))


def test_the_scale_of_a_view_has_a_line_of_its_own(tmp_path: Path) -> None:
    """Side by side with the drawing's scale it would read as a contradiction."""
    sketch = Sketch()
    views(sketch)
    own = note(sketch, "DETAIL A  SCALE 2:1", 9, -0.5)
    main = note(sketch, "SCALE 1:1", 40, -30)
    said = lines(sketch, tmp_path)
    assert f"labels read as: scale of view 2: 2:1 [{own}]" in said
    assert f"title block read as: scale 1:1 [{main}]" in said


def test_what_is_not_used_has_a_line_for_each_reason(tmp_path: Path) -> None:
    """Many texts with one reason are counted, and the first few are shown."""
    sketch = Sketch()
    views(sketch)
    handles = [note(sketch, f"SCALE 0:{k}", 40, -30 - k) for k in range(1, 7)]
    (said,) = [line for line in lines(sketch, tmp_path) if line.startswith("title block:")]
    shown = [f"{h} 'SCALE 0:{k}' read as scale 0:{k}" for k, h in enumerate(handles[:4], 1)]
    assert said == f"title block: {'; '.join(shown)}; … (6); not used: a scale of 0 is none"


def test_views_that_were_not_compared_have_a_line(tmp_path: Path) -> None:
    """With the reason; nothing is said where no views are in line."""
    sketch = Sketch()
    views(sketch)
    why = "they share 0 levels between the ends, 3 are needed"
    assert f"in line, steps and holes not compared: view 1 and view 2 ({why})" in lines(sketch, tmp_path)
    alone = Sketch()
    alone.rect(0, 0, 4, 3)
    alone.across((0, 0), (4, 0))
    assert not any("not compared" in line for line in lines(alone, tmp_path))


@given(st.lists(st.text("ab -/Ø°\u4e2d\u0301", max_size=30), max_size=12), st.integers(20, 40))
def test_plain_lines_are_wrapped_as_coloured_ones(words: list[str], width: int) -> None:
    """rich's own wrapping is the oracle, with signs two columns wide and none, and words that fit no line."""
    text = " ".join(words)
    with_colours = [line.plain.rstrip() for line in Text(text).wrap(Console(width=width), width)]
    assert wrapped(text, width) == with_colours


def test_a_terminal_and_a_pipe_are_told_the_same(tmp_path: Path) -> None:
    """But for the colours."""
    sketch = Sketch()
    views(sketch)
    note(sketch, "DETAIL A  SCALE 2:1", 9, -0.5)
    drawing = told(audited(sketch.save(tmp_path)))
    shown = []
    for terminal in (True, False):
        file = StringIO()
        print_drawing(Console(file=file, width=60, force_terminal=terminal, color_system=None), drawing)
        shown.append(file.getvalue())
    assert shown[0] == shown[1]
    assert max(map(len, shown[0].splitlines())) <= 60


def test_no_line_is_a_command_to_a_ci_server():
    """A log shows what a drawing holds; a server obeys lines of a log that begin with '::' or '##['."""
    buffer = StringIO()
    for text in ("::stop-commands::tok", "  ::error file=a::b", f"{'x' * 40} ::set-env name=a::b", "##[command]rm"):
        put(Console(file=buffer, width=40), Text(text), 2)
    lines = buffer.getvalue().splitlines()
    assert not any(line.lstrip().startswith(("::", "##[")) for line in lines)
    assert "  \\x3a:stop-commands::tok" in lines
