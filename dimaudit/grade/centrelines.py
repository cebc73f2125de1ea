"""Centrelines of the key that a layout does not have: said, and no points."""

from dimaudit.grade.laid_out import LaidOut, is_part
from dimaudit.grade.words import counted


def centrelines_missing(laid_out: LaidOut) -> list[str]:
    """A remark, where there are any."""
    lost = [k for k in laid_out.pairing.missing if not is_part(laid_out.key.pieces[k])]
    if not lost:
        return []
    one = len(lost) == 1
    return [f"{counted(len(lost), 'centreline')} of the key {'is' if one else 'are'} not drawn; it costs nothing"]
