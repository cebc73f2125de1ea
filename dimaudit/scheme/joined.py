"""Things that belong together, directly or through others."""

from collections import defaultdict
from collections.abc import Hashable, Iterable, Mapping
from typing import Generic, TypeVar

T = TypeVar("T", bound=Hashable)


class Joined(Generic[T]):
    """Groups that grow together as pairs are joined (union-find, halving the ways)."""

    def __init__(self, pairs: Iterable[tuple[T, T]] = ()) -> None:
        self._parent: dict[T, T] = {}
        for one, other in pairs:
            self.join(one, other)

    def of(self, one: T) -> T:
        """The member that its group is called by."""
        parent = self._parent
        while (above := parent.get(one, one)) != one:
            parent[one] = one = parent.get(above, above)
        return one

    def join(self, one: T, other: T) -> bool:
        """Puts two groups together under the second's name; False where they are one already."""
        a, b = self.of(one), self.of(other)
        if a == b:
            return False
        self._parent[a] = b
        return True


def sharing(rows: Mapping[int, Iterable[int]]) -> list[list[int]]:
    """The keys of rows in groups: rows that have something in common, directly or through others."""
    first: dict[int, int] = {}
    group = Joined((k, first.setdefault(one, k)) for k, row in rows.items() for one in row)
    found: dict[int, list[int]] = defaultdict(list)
    for k in rows:
        found[group.of(k)].append(k)
    return list(found.values())
