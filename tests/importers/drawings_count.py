"""Counts what is found of the drawings in :mod:`tests.importers.drawings`; run it to see the table."""

from __future__ import annotations

import math
import sys
from collections.abc import Iterable
from dataclasses import dataclass

from layoutdesk.geometry.vector import Vector
from layoutdesk.importers.proposal import Candidate, Proposal, ScaleGuess
from layoutdesk.importers.recognise import propose
from tests.importers.drawings import Drawing, drawing


@dataclass
class Count:
    """How many of a kind there are, were found, and were proposed without being there."""

    there: int = 0
    found: int = 0
    false: int = 0

    def add(self, other: Count) -> None:
        self.there, self.found, self.false = (
            self.there + other.there,
            self.found + other.found,
            self.false + other.false,
        )

    @property
    def recall(self) -> float:
        return self.found / self.there if self.there else 1.0

    @property
    def false_share(self) -> float:
        proposed = self.found + self.false
        return self.false / proposed if proposed else 0.0


KINDS = ("piers", "marks", "walls", "beam lines")


def counted(one: Drawing) -> dict[str, Count]:
    """Return what is found of one drawing."""
    proposal = propose(one.sketch.linework(), ScaleGuess(scale=one.sketch.unit, why="the file says so"))
    sx, sy = proposal.shift
    piers = [c for c in proposal.candidates if c.becomes == "pier"]
    at = {(round((x + sx) * 10), round((y + sy) * 10)): n for n, (x, y) in enumerate(p.at for p in one.piers)}
    found: dict[int, Candidate] = {}
    false = 0
    for pier in piers:
        n = at.get((round(pier.centre[0] * 10), round(pier.centre[1] * 10)))
        n = _near(pier.centre, [(p.at[0] + sx, p.at[1] + sy) for p in one.piers]) if n is None else n
        if n is None or n in found:
            false += 1
        else:
            found[n] = pier
    marked = [n for n, p in enumerate(one.piers) if p.mark]
    right = sum(found[n].mark == one.piers[n].mark for n in marked if n in found)
    wrong = sum(bool(c.mark) and c.mark != one.piers[n].mark for n, c in found.items())
    return {
        "piers": Count(len(one.piers), len(found), false),
        "marks": Count(len(marked), right, wrong),
        "walls": _walls(one, proposal),
        "beam lines": _beams(one, proposal),
    }


def _near(at: Vector, places: list[Vector]) -> int | None:
    far, n = min(((math.dist(at, p), n) for n, p in enumerate(places)), default=(math.inf, -1))
    return n if far < 0.01 else None


def _walls(one: Drawing, proposal: Proposal) -> Count:
    sx, sy = proposal.shift
    sides = [
        (a, b) for c in proposal.candidates if c.becomes == "wall" for a, b in zip(c.run, c.run[1:], strict=False)
    ]
    faces = [((a[0] + sx, a[1] + sy), (b[0] + sx, b[1] + sy)) for a, b in one.faces]
    found = sum(any(_covers(side, face) for side in sides) for face in faces)
    outer = [(x + sx, y + sy) for x, y in one.outline]
    ring = list(zip(outer, [*outer[1:], outer[0]], strict=True))
    false = sum(math.dist(*s) > 450 and not any(_covers(r, s, 5.0) for r in [*faces, *ring]) for s in sides)
    return Count(len(faces), found, false)


def _covers(side: tuple[Vector, Vector], face: tuple[Vector, Vector], off: float = 0.01) -> bool:
    """Return whether a side lies along a face and covers nearly all of it."""
    (ax, ay), (bx, by) = side
    size = math.dist(*side)
    if size < 1:
        return False
    u = ((bx - ax) / size, (by - ay) / size)
    spans = []
    for x, y in face:
        if abs(u[0] * (y - ay) - u[1] * (x - ax)) > off:
            return False
        spans.append(u[0] * (x - ax) + u[1] * (y - ay))
    low, high = min(spans), max(spans)
    return min(high, size) - max(low, 0.0) >= 0.95 * (high - low)


def _beams(one: Drawing, proposal: Proposal) -> Count:
    sx, sy = proposal.shift
    runs = [c.run for c in proposal.candidates if c.becomes == "beam line" and (c.shapes or one.beams)]
    left = [((a[0] + sx, a[1] + sy), (b[0] + sx, b[1] + sy)) for a, b in one.beams]
    found, false = 0, 0
    for run in runs:
        hit = next((b for b in left if _same(run[0], run[-1], *b)), None)
        if hit:
            left.remove(hit)
            found += 1
        else:
            false += 1
    return Count(len(one.beams), found, false)


def _same(a: Vector, b: Vector, c: Vector, d: Vector) -> bool:
    return min(max(math.dist(a, c), math.dist(b, d)), max(math.dist(a, d), math.dist(b, c))) < 1.0


def totals(seeds: Iterable[int]) -> dict[str, Count]:
    """Return what is found of many drawings."""
    total = {kind: Count() for kind in KINDS}
    for seed in seeds:
        for kind, count in counted(drawing(seed)).items():
            total[kind].add(count)
    return total


def table(total: dict[str, Count]) -> str:
    """Return the counts as a table."""
    rows = [
        "| | there | found | share | false | share of what was proposed |",
        "| --- | ---: | ---: | ---: | ---: | ---: |",
    ]
    rows += [
        f"| {kind} | {c.there} | {c.found} | {100 * c.recall:.1f} % | {c.false} | {100 * c.false_share:.1f} % |"
        for kind, c in total.items()
    ]
    return "\n".join(rows)


def main() -> None:
    """Print the table of some seeds, and with ``each`` a line for each drawing that misses anything."""
    first, last = (int(word) for word in sys.argv[1:3])
    if "each" in sys.argv:
        for seed in range(first, last):
            one = drawing(seed)
            missed = {
                k: f"{c.found}/{c.there} +{c.false}"
                for k, c in counted(one).items()
                if c.found < c.there or c.false
            }
            if missed:
                print(seed, missed, one.habits)  # noqa: T201
    print(table(totals(range(first, last))))  # noqa: T201


if __name__ == "__main__":
    main()
