"""Points on a fine grid to SVG path data, in as few characters as that takes."""

from collections.abc import Iterable

import numpy as np
from numpy.typing import NDArray

Points = NDArray[np.float64]
LINE, CURVE3, CURVE4, MOVE = 1, 2, 3, 4
"""The library's codes for the parts of a path: a line takes one point, curves take two and three, the end last."""


class Grid:
    """A corner of the picture and the step of its grid, a power of ten in drawing units."""

    def __init__(self, left: float, top: float, places: int) -> None:
        """`places` is the number of decimals that are kept; below zero, of digits before the point that are not."""
        self._left, self._top, self._places = left, top, places
        self._scale = 10.0**places
        self._texts: dict[int, str] = {}

    def on(self, points: Points) -> list[tuple[int, int]]:
        """Whole steps from the corner: x to the right, y down."""
        across = np.rint((points[:, 0] - self._left) * self._scale).astype(np.int64)
        down = np.rint((self._top - points[:, 1]) * self._scale).astype(np.int64)
        return list(zip(across.tolist(), down.tolist(), strict=True))

    def text(self, steps: int) -> str:
        """A number of steps as the shortest decimal."""
        found = self._texts.get(steps)
        if found is None:
            found = self._texts[steps] = self._decimal(steps)
        return found

    def _decimal(self, steps: int) -> str:
        if self._places <= 0:
            return str(steps * 10**-self._places)
        digits = str(abs(steps)).zfill(self._places + 1)
        whole, part = digits[: -self._places].lstrip("0"), digits[-self._places :].rstrip("0")
        text = whole + (f".{part}" if part else "")
        return "0" if not text else f"-{text}" if steps < 0 else text


class Pen:
    """Writes path data; every number but the first two is relative to where the pen stands."""

    def __init__(self, grid: Grid) -> None:
        self._grid = grid
        self._out: list[str] = []
        self._at: tuple[int, int] | None = None
        self._start = (0, 0)
        """Where closing the path leads the pen."""
        self._last = ""
        """The command in force: it is not written twice."""
        self._pointed = False
        """Whether the last number has a decimal point, so that one that starts with a point needs no blank."""

    @property
    def data(self) -> str:
        return "".join(self._out)

    def lines(self, points: Points) -> None:
        """Pairs of points, each a line; what starts where the last one ended goes on."""
        spots = self._grid.on(points)
        for (x, y), (u, v) in zip(spots[::2], spots[1::2], strict=True):
            self._move(x, y)
            self._line(u, v, keep=True)

    def polygon(self, points: Points) -> None:
        spots = self._grid.on(points)
        self._move(*spots[0])
        for x, y in spots[1:]:
            self._line(x, y)
        self._close()

    def path(self, points: Points, codes: Iterable[int], closed: bool) -> None:
        """Lines and curves; `closed` closes each part of it."""
        spots = self._grid.on(points)
        self._move(*spots[0], always=closed)
        k, drawn = 1, False
        for code in codes:
            if code == LINE:
                self._line(*spots[k], keep=not closed)
                k += 1
            elif code == MOVE:
                if closed and drawn:
                    self._close()
                self._move(*spots[k], always=closed)
                k += 1
            else:
                count = 2 if code == CURVE3 else 3
                self._curve("q" if code == CURVE3 else "c", spots[k : k + count])
                k += count
            drawn = code != MOVE
        if closed:
            self._close()

    def _move(self, x: int, y: int, always: bool = False) -> None:
        if self._at == (x, y) and not always:
            return
        if self._at is None:
            self._put("M", (x, y))
        else:
            self._put("m", (x - self._at[0], y - self._at[1]))
            self._last = "l"  # what follows a relative move is a line without being said so
        self._at = self._start = (x, y)

    def _line(self, x: int, y: int, keep: bool = False) -> None:
        """A line from where the pen stands. One of no length is kept only if it is a dot."""
        assert self._at is not None
        dx, dy = x - self._at[0], y - self._at[1]
        if not dy:
            if dx or keep:
                self._put("h", (dx,))
        elif not dx:
            self._put("v", (dy,))
        else:
            self._put("l", (dx, dy))
        self._at = (x, y)

    def _curve(self, command: str, spots: list[tuple[int, int]]) -> None:
        assert self._at is not None
        x, y = self._at
        self._put(command, [n for u, v in spots for n in (u - x, v - y)])
        self._at = (spots[-1][0], spots[-1][1])

    def _close(self) -> None:
        self._out.append("z")
        self._last, self._pointed, self._at = "z", False, self._start

    def _put(self, command: str, numbers: Iterable[int]) -> None:
        same = command == self._last
        if not same:
            self._out.append(command)
        for number in numbers:
            text = self._grid.text(number)
            if same and text[0] != "-" and not (text[0] == "." and self._pointed):
                self._out.append(" ")
            self._out.append(text)
            self._pointed = "." in text
            same = True
        self._last = command
