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

    def concrete(self, pier_id: str, *, dig: float | None, reveal: float | None) -> tuple[float, float]:
        """Return the least and the most concrete of a pier in m³, as a pile of thin discs and square sheets.

        Both are the same where it holds no steel. ``dig`` is how deep its hole is, ``reveal`` how far its top
        stands out of the ground; None as drawn. Where the hole is deeper than drawn its last width goes on.
        """
        pier = next(p for p in self.file["piers"] if p["id"] == pier_id)
        detail = next(d for d in self.file["details"] if d["id"] == pier["detail"])
        profile: list[tuple[float, float]] = [tuple(point) for point in detail["profile"]]
        out = detail.get("reveal", 0.0) if reveal is None else reveal
        deep = profile[-1][0] if dig is None else dig
        profile.append((deep, profile[-1][1]))
        tube, edge = detail.get("tube") or 0.0, detail.get("square_from")
        volume = math.pi / 4 * profile[0][1] ** 2 * (out + tube)
        for (upper, wide), (lower, next_wide) in pairwise(profile):
            parts = sorted({upper, lower, *(z for z in (tube, edge) if z is not None and upper < z < lower)})
            for above, below in pairwise(parts):
                if above < tube:
                    continue
                shape = 1.0 if edge is not None and above >= edge else math.pi / 4
                thin = (below - above) / SLICES
                for k in range(SLICES):
                    share = (above + (k + 0.5) * thin - upper) / (lower - upper)
                    volume += shape * (wide + (next_wide - wide) * share) ** 2 * thin
        steel = self._bars(detail, deep + out) if detail.get("steel") else 0.0
        return (volume - 2 * steel) / 1e9, (volume - steel) / 1e9

    def _bars(self, detail: dict[str, Any], height: float) -> float:
        """Return the volume of the straight bars of a pier in mm³; hoops and hooks are less than as much again."""
        steel = detail["steel"]
        name = str(steel.get("bar", "No. 4"))
        across = (
            int(name.removeprefix("No. ")) * 25.4 / 8
            if name.startswith("No. ")
            else float(name.removesuffix(" mm"))
        )
        covers = 1.0 if steel.get("stands_out", 0.0) > 0 and not steel.get("lapped") else 2.0
        length = height - covers * float(steel.get("cover_ends", 76.2))
        return 0.98 * int(steel.get("bars", 4)) * math.pi / 4 * across**2 * length
