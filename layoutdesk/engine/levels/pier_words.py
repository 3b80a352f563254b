"""Where the heights of a pier come from, in one sentence."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from layoutdesk.engine.levels.entries import GroundFrom
from layoutdesk.engine.reasons import shown_small
from layoutdesk.plan.heights import LineHeights
from layoutdesk.plan.model import Detail, Plan

_GROUND: Final[dict[GroundFrom, str]] = {
    "reading": "Ground read at its stake",
    "typed": "Ground as typed",
    "surface": "Ground from the surface between the spots",
    "beyond the spots": "Ground from the plane of the spots, which it lies beyond",
    "none": "Nothing is known of the ground here",
}


@dataclass(frozen=True, slots=True)
class Source:
    """What the heights of a pier hang on. Piers of one source share their sentence.

    ``line`` is its beam line when that has heights; ``top_typed`` that its own top was typed, ``top_known`` that
    its top is known at all. ``depth`` is how deep its detail goes, None without one.
    """

    ground: GroundFrom
    line: LineHeights | None
    detail: Detail | None
    depth: float | None
    top_typed: bool
    top_known: bool


class PierWords:
    """Says where heights come from, each sentence made once."""

    def __init__(self, plan: Plan) -> None:
        self._plan = plan
        self._said: dict[tuple[object, ...], str] = {}

    def says(self, source: Source) -> str:
        """Return the sentence about one pier."""
        line, detail = source.line, source.detail
        key = (
            source.ground,
            line and line.line,
            detail and detail.id,
            source.depth,
            source.top_typed,
            source.top_known,
        )
        found = self._said.get(key)
        if found is None:
            found = self._said[key] = self._sentence(source)
        return found

    def _sentence(self, source: Source) -> str:
        parts = [_GROUND[source.ground], self._top(source)]
        if source.ground != "none":
            parts.append(self._bottom(source))
        return "; ".join(parts) + "."

    def _length(self, mm: float) -> str:
        return shown_small(mm, self._plan)

    def _top(self, source: Source) -> str:
        line, detail = source.line, source.detail
        if source.top_typed:
            return "top as typed"
        if line is None or line.top == "reveal":
            if detail is None:
                return "no top, as it has no detail"
            if source.ground == "none":
                return "no top, as it goes by the ground"
            return f"top {self._beside(detail.reveal, 'the ground')} by its detail"
        if line.pier_top is None:
            return f"no top, as none is given for {line.line}"
        if line.top == "level":
            return f"top level with all of {line.line}"
        if not source.top_known:
            return f"no top, as the string of {line.line} has no height"
        return f"top {self._beside(-line.pier_top, 'the string')} of {line.line}"

    def _beside(self, up: float, what: str) -> str:
        if up == 0:
            return f"even with {what}"
        return f"{self._length(abs(up))} {'above' if up > 0 else 'below'} {what}"

    def _bottom(self, source: Source) -> str:
        if source.depth is None:
            return "no bottom, as no detail says how deep it goes"
        frost = self._plan.levels.settings.frost
        deep, why = source.depth, "as its detail says"
        if frost is not None and frost > deep:
            deep, why = frost, "as deep as it freezes"
        return f"bottom {self._length(deep)} below the lowest ground in its circle, {why}"
