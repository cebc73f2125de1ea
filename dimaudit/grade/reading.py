"""A key and a submission, read as the rubric says."""

from pathlib import Path

from dimaudit.model.grading import Rubric
from dimaudit.model.settings import Settings
from dimaudit.pipeline import Examined, examine_file

FROM_FILE = "$INSUNITS"
"""What says a drawing's unit where the file says it itself; else it was inferred, or is not known."""


def read_key(path: Path, rubric: Rubric) -> Examined:
    """The key, in the unit that the rubric says, if it does, and without the layers that it leaves out.

    Raises UnreadableFile.
    """
    return examine_file(path, Settings(unit=rubric.unit, left_out_layers=rubric.without_layers))


def read_submission(path: Path, rubric: Rubric) -> Examined:
    """The same, but for the unit: a file's own is what it is graded for; the rubric's holds where its header has none.

    Raises UnreadableFile.
    """
    found = examine_file(path, Settings(left_out_layers=rubric.without_layers))
    return found if rubric.unit is None or found.drawing.unit_from == FROM_FILE else read_key(path, rubric)
