"""What a report that shows a drawing needs besides its audit."""

from dataclasses import dataclass

from dimaudit.model.as_read import AsRead
from dimaudit.model.picture import Picture


@dataclass(frozen=True, slots=True)
class Seen:
    """One drawing as it looks, and where its parts land as read."""

    pictures: tuple[Picture, ...] = ()
    """One for each layout, the model first."""
    parts: tuple[tuple[str, AsRead], ...] = ()
    """Each with the name of the space (model, sheet or block) in whose coordinates it stands."""
