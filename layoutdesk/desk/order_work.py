"""Orders of concrete and steel worked out beside the desk where they take longer than a blink."""

from __future__ import annotations

import sys
from typing import TYPE_CHECKING, ClassVar, Final

from layoutdesk.desk.height_work import HeightWork

if TYPE_CHECKING:
    from layoutdesk.engine.layout import Layout

MOST_CAGES: Final = 40
"""With more piers than this the steel is cut in a thread."""
MOST_FLAT: Final = 1000
"""Up to so many piers an order without heights and steel takes less than having a thread make it."""
_TOPICS: Final = ("concrete", "holes", "order", "steel", "openings", "covers")


class OrderWork(HeightWork):
    """Sees to it that nobody waits for an order."""

    library: ClassVar[str] = "scipy.special"
    lost: ClassVar[str] = "The order could not be worked out"

    def knows(self, layout: Layout) -> bool:
        """Return whether an order is known, or takes no time: cutting steel of many heights does."""
        if layout is self._known:
            return True
        many = len(layout.plan.piers)
        if many > MOST_CAGES and any(detail.steel is not None for detail in layout.plan.details):
            return False
        flat = many <= MOST_FLAT and not layout.has_heights and self._working is None
        return (flat and self.library in sys.modules) or super().knows(layout)

    def work_out(self, layout: Layout) -> None:
        """Have a Layout work out what is dug, poured and bought."""
        for topic in _TOPICS:
            getattr(layout, topic)
