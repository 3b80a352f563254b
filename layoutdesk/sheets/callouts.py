"""Words beside a picture, each with a line to what it means; they keep apart whatever the picture is like."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final, Literal

from layoutdesk.geometry.vector import Vector
from layoutdesk.sheets.lettering import fitted, line_height
from layoutdesk.sheets.marks import Line, Mark, Polyline, Text, Weight
from layoutdesk.sheets.paper import Box
from layoutdesk.sheets.type import CAPITAL, MM_PER_POINT

_SIZES: Final = (11.0, 10.0, 9.0, 8.0, 7.0, 6.0)
_LEAST: Final = 5.0
_LEADER: Final = 7.0
"""How much of its room a line takes from the picture to its words, in millimetres."""
_CLEAR: Final = 1.0


@dataclass(frozen=True, slots=True)
class Callout:
    """Words about one place of a picture."""

    at: Vector
    text: str
    weight: Weight = "regular"


def callout_marks(callouts: Sequence[Callout], room: Box, side: Literal["left", "right"]) -> list[Mark]:
    """Return words in the room beside a picture, in the order of their places from the top down.

    Those that have no room at the smallest size are left out, and how many is said.
    """
    if not callouts:
        return []
    wanted = sorted(callouts, key=lambda callout: -callout.at[1])
    size = next((s for s in _SIZES if len(wanted) * line_height(s) <= room.height), _SIZES[-1])
    pitch = line_height(size)
    most = max(1, int(room.height / pitch))
    left_out = len(wanted) - most + 1 if len(wanted) > most else 0
    if left_out:
        wanted = wanted[: most - 1]
    if side == "left":
        picture, words, anchor = room.right, room.right - _LEADER, "end"
        wide = words - _CLEAR - room.left
    else:
        picture, words, anchor = room.left, room.left + _LEADER, "start"
        wide = room.right - words - _CLEAR
    stand = words - _CLEAR if side == "left" else words + _CLEAR
    marks: list[Mark] = []
    middles = _apart([callout.at[1] for callout in wanted], pitch, room, below=1 if left_out else 0)
    for callout, y in zip(wanted, middles, strict=True):
        text, fit = fitted(callout.text, wide, size, callout.weight, least=_LEAST)
        base = y - CAPITAL * fit * MM_PER_POINT / 2
        bend = (picture + words) / 2
        marks += [
            Line(callout.at, (picture, callout.at[1]), 0.13, "soft"),
            Polyline(((picture, callout.at[1]), (bend, y), (words, y)), width=0.13, ink="soft"),
            Text((stand, base), text, fit, callout.weight, anchor="end" if anchor == "end" else "start"),
        ]
    if left_out:
        y = (middles[-1] if middles else room.top) - pitch
        text, fit = fitted(f"and {left_out} more", wide, size, least=_LEAST)
        marks.append(
            Text(
                (stand, y - CAPITAL * fit * MM_PER_POINT / 2),
                text,
                fit,
                anchor="end" if anchor == "end" else "start",
            )
        )
    return marks


def _apart(wanted: Sequence[float], pitch: float, room: Box, *, below: int) -> list[float]:
    """Return the heights of lines as near to where they are wanted as their pitch lets them, inside a room."""
    if not wanted:
        return []
    found: list[float] = []
    y = room.top + pitch / 2
    for want in wanted:
        y = min(want, y - pitch)
        found.append(y)
    low = room.bottom + pitch * (0.5 + below)
    for k in range(len(found) - 1, -1, -1):
        if found[k] >= low:
            break
        found[k] = low
        low += pitch
    return found
