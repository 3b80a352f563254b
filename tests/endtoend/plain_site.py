"""The numbers of a plan once more, in plain Python from the file itself: nothing of the program is used.

Stations and offsets come by solving for the two coordinates, not by projecting; volumes by adding up thin
slices; so that a slip in the program's own formulas is not repeated here.
"""

from __future__ import annotations

import json
import math
from itertools import pairwise
from pathlib import Path
from typing import Any

Place = tuple[float, float]
SLICES = 2000


class PlainSite:
    """A plan file as it stands, and the few numbers that follow from it; millimetres, and cubic metres."""

    def __init__(self, path: Path) -> None:
        self.file: dict[str, Any] = json.loads(path.read_text(encoding="utf-8"))
        kinds = ("controls", "attachments", "piers")
        self.places: dict[str, Place] = {p["id"]: tuple(p["at"]) for kind in kinds for p in self.file[kind]}
        self.controls = [control["id"] for control in self.file["controls"]]
        self.piers = [pier["id"] for pier in self.file["piers"]]

    def station_offset(self, point_id: str) -> tuple[float, float]:
        """Return station and offset: the s and o of place = origin + s·along + o·away, by Cramer's rule."""
        baseline = self.file["baseline"]
        (ox, oy), (tx, ty) = baseline["origin"], baseline["toward"]
        size = math.dist((ox, oy), (tx, ty))
        ax, ay = (tx - ox) / size, (ty - oy) / size
        # The yard is on one hand: turn a quarter to the right, or to the left.
        wx, wy = (ay, -ax) if baseline["yard_side"] == "right" else (-ay, ax)
        x, y = self.places[point_id]
        whole = ax * wy - ay * wx
        return ((x - ox) * wy - (y - oy) * wx) / whole, (ax * (y - oy) - ay * (x - ox)) / whole

    def distance(self, first: str, second: str) -> float:
        """Return how far two points are apart."""
        return math.dist(self.places[first], self.places[second])

    def concrete(self, pier_id: str) -> float:
        """Return the net volume of a pier with its reveal, as a pile of thin discs."""
        pier = next(p for p in self.file["piers"] if p["id"] == pier_id)
        detail = next(d for d in self.file["details"] if d["id"] == pier["detail"])
        profile: list[tuple[float, float]] = detail["profile"]
        volume: float = math.pi / 4 * profile[0][1] ** 2 * detail.get("reveal", 0.0)
        for (upper, wide), (lower, next_wide) in pairwise(profile):
            thin = (lower - upper) / SLICES
            for k in range(SLICES):
                share = (k + 0.5) / SLICES
                volume += math.pi / 4 * (wide + (next_wide - wide) * share) ** 2 * thin
        return volume / 1e9
