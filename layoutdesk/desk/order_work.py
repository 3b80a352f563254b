"""Orders of concrete and steel worked out beside the desk where they take longer than a blink."""

from __future__ import annotations

from typing import TYPE_CHECKING, ClassVar, Final

from layoutdesk.desk.height_work import HeightWork

if TYPE_CHECKING:
    from layoutdesk.engine.layout import Layout

MOST_CAGES: Final = 40
"""With more piers than this the steel is cut in a thread."""
_TOPICS: Final = ("concrete", "holes", "order", "steel", "openings", "covers")


class OrderWork(HeightWork):
    """Sees to it that nobody waits for an order."""

    library: ClassVar[str] = "scipy.special"
    lost: ClassVar[str] = "The order could not be worked out"

    def knows(self, layout: Layout) -> bool:
        """Return whether an order is known, or takes no time: cutting steel of many heights does."""
        if layout is self._known:
            return True
        caged = len(layout.plan.piers) > MOST_CAGES and any(d.steel is not None for d in layout.plan.details)
        return not caged and super().knows(layout)

    def work_out(self, layout: Layout) -> None:
        """Have a Layout work out what is dug, poured and bought."""
        for topic in _TOPICS:
            getattr(layout, topic)
