"""From a drawing to a proposal: what each shape is, and everything else as nothing yet."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from functools import lru_cache
from typing import Final

import numpy as np

from layoutdesk.geometry.vector import Vector
from layoutdesk.importers.checks import check_dimensions
from layoutdesk.importers.linework import Linework, Passed
from layoutdesk.importers.proposal import Becomes, Candidate, Group, Proposal, ScaleGuess
from layoutdesk.importers.recognise.areas import Area, areas_of, circle_run, places_of
from layoutdesk.importers.recognise.beams import Beam, beams_of
from layoutdesk.importers.recognise.frames import no_house
from layoutdesk.importers.recognise.ground import Bools, Floats, Ground, on_ground
from layoutdesk.importers.recognise.hints import is_attachment, is_control
from layoutdesk.importers.recognise.house import House, WallLines, WallRun, house_of
from layoutdesk.importers.recognise.lines import Pieces, joined, pieces_of
from layoutdesk.importers.recognise.marks import Texts, marks_for, texts_of
from layoutdesk.importers.recognise.outlines import Outline, outlines_of
from layoutdesk.importers.recognise.piers import ENOUGH, Evidence, Judged, evidence_of, judged, straying
from layoutdesk.importers.recognise.rest import LARGE_CIRCLE_MM, rest_of
from layoutdesk.importers.recognise.scaling import scale_for, units_for
from layoutdesk.importers.recognise.spots import MOST_MM, Spot, grouped, spots_of
from layoutdesk.importers.recognise.wall_lines import wall_lines
from layoutdesk.plan.rules import MOST_NAME
from layoutdesk.units import Units, default_step, format_length

_ON_FACE_MM: Final = 40.0
_KINDS: Final = {"round": "circles", "square": "squares", "rectangle": "rectangles", "symbol": "symbols"}


def proposed(linework: Linework, scale: ScaleGuess | None) -> Proposal:
    """Return what would be made of a drawing."""
    guess = scale_for(linework) if scale is None else scale
    ground = on_ground(linework, guess.scale)
    units = units_for(linework, guess)
    found = _Found(linework, ground)
    candidates, groups = found.candidates(units)
    checked = check_dimensions(linework, guess.scale, ground.shift)
    far = int((~ground.live).sum() - sum(ground.layers[k] in set(linework.frozen) for k in ground.layer.tolist()))
    return Proposal(
        name=linework.name,
        scale=guess,
        candidates=candidates,
        groups=groups,
        written=checked.written,
        chains=checked.chains,
        shift=ground.shift,
        passed=(
            *linework.passed,
            *checked.passed,
            *([Passed("shapes", far, "they lie too far from all else")] if far > 0 else []),
        ),
        notes=(*linework.notes, *_shift_note(ground, units)),
        units=units,
    )


def _shift_note(ground: Ground, units: Units) -> Iterator[str]:
    if ground.shift != (0.0, 0.0):
        x, y = (format_length(v, "m" if units == "mm" else units, 1.0) for v in ground.shift)
        yield f"The drawing lies more than 5 km from its own zero, so {x} was added to every x and {y} to every y."


class _Found:
    """Everything that was found in one drawing, in the order in which it is found."""

    def __init__(self, linework: Linework, ground: Ground) -> None:
        self.linework, self.ground = linework, ground
        outlines = outlines_of(ground)
        texts = texts_of(linework, ground)
        pieces = pieces_of(ground)
        self.spots = spots_of(linework, ground, outlines)
        self.groups = grouped(self.spots)
        marks = marks_for(linework, ground, self.spots, texts)
        small = {shape for spot in self.spots for shape in spot.shapes}
        lines = joined(pieces.only(~np.isin(pieces.shape, _array(small))), ground, gap=900.0, least=40.0)
        first = evidence_of(ground, self.spots, self.groups, marks=marks, texts=texts, lines=lines)
        likely = self._piers(judged(self.spots, self.groups, first), first)
        self.house = self._house((pieces, outlines, small), likely, texts)
        evidence = replace(first, indoors=self._indoors(first.at))
        self.judged = judged(self.spots, self.groups, evidence)
        self.piers = self._piers(self.judged, evidence)
        self.evidence = evidence
        at, size = (
            self._places(self.piers),
            np.array([max(self.spots[i].size, self.spots[i].width) for i in self.piers]),
        )
        if not np.array_equal(likely, self.piers):
            self.house = self._house((pieces, outlines, small), self.piers, texts)
        self.marks = dict(
            zip(self.piers, marks_for(linework, ground, [self.spots[i] for i in self.piers], texts), strict=True)
        )
        walls = {shape for wall in self.house.runs for shape in wall.shapes}
        large = {s for o in outlines if o.width > 450.0 and o.size > MOST_MM for s in o.shapes}
        bubbles = [(self.spots[i].at, self.spots[i].size) for i in np.flatnonzero(evidence.bubble).tolist()]
        self.beams = beams_of(
            ground,
            pieces,
            taken=small | walls | large,
            at=at,
            size=size,
            bubbles=bubbles,
            walls=self.house.runs,
        )
        taken = (
            {s for i in self.piers for s in self.spots[i].shapes}
            | walls
            | {s for b in self.beams for s in b.shapes}
        )
        self.areas = areas_of(ground, outlines, taken, texts, at)

    def _places(self, some: Sequence[int]) -> Floats:
        return np.array([self.spots[i].at for i in some]).reshape(-1, 2)

    def _house(self, parts: tuple[Pieces, list[Outline], set[int]], piers: Sequence[int], texts: Texts) -> House:
        at = self._places(piers)
        pieces, outlines, small = parts
        free = pieces.only(~np.isin(pieces.shape, _array(small)))
        shut = no_house(self.ground, outlines, free, texts, at)
        lines, counted, named = wall_lines(self.ground, pieces, taken=small, shut=shut, piers=at)
        return house_of(WallLines(lines=lines, pieces=counted, named=named), at, texts.middle)

    def _indoors(self, at: Floats) -> Bools:
        """Return which places lie in the house or on one of its faces, where beams end and no pier stands."""
        import shapely

        inside = np.zeros(len(at), np.bool_)
        if not len(at):
            return inside
        if self.house.indoors is not None:
            inside |= self.house.indoors(at)
        faces = [shapely.LineString(wall.run) for wall in self.house.runs]
        if faces:
            inside |= shapely.distance(shapely.union_all(faces), shapely.points(at)) <= _ON_FACE_MM
        return inside

    def _piers(self, groups: Sequence[Judged], evidence: Evidence) -> list[int]:
        """Return the spots of the groups that are piers, without those that only show what a pier looks like."""
        piers: list[int] = []
        held: list[bool] = []
        for group in groups:
            if group.points < ENOUGH:
                continue
            for i in group.members:
                bare = not (evidence.marked[i] or evidence.on_line[i] or evidence.in_row[i])
                stray = bare and len(group.members) > 2 and max(group.marked, group.lined) >= 0.7
                if not (stray or evidence.bubble[i] or evidence.named[i]):
                    piers.append(i)
                    held.append(bool(evidence.marked[i] == 1.0 or evidence.on_line[i]))
        gone = straying(self._places(piers), np.array(held, np.bool_)).tolist()
        piers = [i for i, stray in zip(piers, gone, strict=True) if not stray]
        return sorted(
            piers, key=lambda i: (-round(self.spots[i].at[1] / 50), self.spots[i].at[0], self.spots[i].at[1])
        )

    def candidates(self, units: Units) -> tuple[tuple[Candidate, ...], tuple[Group, ...]]:
        """Return all candidates, every shape in one of them, and their groups."""
        ground = self.ground
        free = ground.live.copy()
        groups: dict[str, Group] = {}
        made: list[Candidate] = []
        sure = {i: group for group in self.judged for i in group.members}
        made += [
            self._spot(
                self.spots[i],
                "pier",
                groups,
                units,
                mark=self.marks[i][0],
                why=sure[i].why,
                sure=sure[i].sure,
                shapes=self.spots[i].shapes,
            )
            for i in self.piers
        ]
        made += [_wall(wall, ground, groups) for wall in self.house.runs]
        for beam in self.beams:
            made.append(_beam(beam, ground, groups))
            if beam.attached is not None:
                made.append(_attachment(beam, ground, groups))
        made.extend(_area(area, ground, groups) for area in self.areas)
        for n, candidate in enumerate(made):
            kept = tuple(s for s in candidate.shapes if free[s])
            free[list(kept)] = False
            if kept != candidate.shapes:
                made[n] = replace(candidate, shapes=kept)
        attached = [b.attached for b in self.beams if b.attached is not None]
        for i in sorted(set(range(len(self.spots))) - set(self.piers)):
            kept = tuple(s for s in self.spots[i].shapes if free[s])
            if kept:
                free[list(kept)] = False
                made.append(
                    self._other(i, shapes=kept, attached=attached, groups=groups, units=units, pier=sure[i].sure)
                )
        made.extend(rest_of(ground, np.flatnonzero(free), groups))
        return tuple(made), tuple(groups.values())

    def _other(
        self,
        i: int,
        *,
        shapes: tuple[int, ...],
        attached: Sequence[Vector],
        groups: dict[str, Group],
        units: Units,
        pier: float,
    ) -> Candidate:
        """Return a spot that is no pier: proposed for nothing, unless its block says more."""
        spot = self.spots[i]
        what: Becomes = "nothing"
        if spot.block and (is_control(spot.block) or is_control(spot.layer)):
            what = "control point"
        elif spot.block and is_attachment(spot.block):
            near = any(np.hypot(a[0] - spot.at[0], a[1] - spot.at[1]) <= 50.0 for a in attached)
            what = "nothing" if near else "attachment"
        named = what != "nothing"
        mark = _tag(self.linework, spot) if named else ""
        why = "by its name" if named else ""
        return self._spot(
            spot, what, groups, units, mark=mark, why=why, sure=0.8 if named else 1.0 - pier, shapes=shapes
        )

    def _spot(
        self,
        spot: Spot,
        becomes: Becomes,
        groups: dict[str, Group],
        units: Units,
        *,
        mark: str,
        why: str,
        sure: float,
        shapes: tuple[int, ...],
    ) -> Candidate:
        shown = _shown(spot.size, units) if spot.size else ""
        key = f"{spot.kind}|{shown}|{spot.block}|{spot.layer}"
        if key not in groups:
            name = f" of the block {spot.block}" if spot.block else ""
            size = f" {'Ø ' * (spot.kind == 'round')}{shown}" if shown else ""
            groups[key] = Group(key=key, what=f"{_KINDS[spot.kind]}{size}{name}", layer=spot.layer)
        return Candidate(
            becomes=becomes,
            group=key,
            layer=spot.layer,
            centre=spot.at,
            run=(run := _outline(spot)),
            closed=bool(run),
            size=spot.size if spot.kind in {"round", "square"} else 0.0,
            square=spot.kind == "square",
            mark=_clean(mark),
            shapes=shapes,
            why=why,
            sure=round(sure, 3),
        )


def _outline(spot: Spot) -> tuple[Vector, ...]:
    """Return the outline of a spot, so that it can become a slab or a keep-out; none of a small circle."""
    if spot.corners is not None and len(spot.corners):
        return places_of(spot.corners)
    return places_of(circle_run(spot.at, spot.size)) if spot.size >= LARGE_CIRCLE_MM else ()


@lru_cache(maxsize=1024)
def _shown(size: float, units: Units) -> str:
    return format_length(size, units, min(default_step(units), 1.5875))


def _tag(linework: Linework, spot: Spot) -> str:
    words = [w for w in linework.words if spot.use >= 0 and w.use == spot.use and w.tag]
    return next((w.text for w in words if w.tag.upper() == "MARK"), "")


def _array(shapes: set[int]) -> np.ndarray[tuple[int], np.dtype[np.intp]]:
    return np.fromiter(sorted(shapes), np.intp, len(shapes))


def _clean(mark: str) -> str:
    """Return a mark as a plan may hold it."""
    return "".join(c if c.isprintable() else " " for c in mark).strip()[:MOST_NAME].strip()


def _of(groups: dict[str, Group], what: str, layer: str) -> str:
    key = f"{what}|{layer}"
    groups.setdefault(key, Group(key=key, what=what, layer=layer))
    return key


def _middle(run: Sequence[tuple[float, float]]) -> tuple[float, float]:
    xs, ys = [p[0] for p in run], [p[1] for p in run]
    return (min(xs) + max(xs)) / 2, (min(ys) + max(ys)) / 2


def _layer(ground: Ground, layer: int) -> str:
    return ground.layers[layer] if 0 <= layer < len(ground.layers) else ""


def _wall(wall: WallRun, ground: Ground, groups: dict[str, Group]) -> Candidate:
    layer = _layer(ground, wall.layer)
    return Candidate(
        becomes="wall",
        group=_of(groups, "walls", layer),
        layer=layer,
        centre=_middle(wall.run),
        run=wall.run,
        shapes=wall.shapes,
        why=wall.why,
        sure=wall.sure,
    )


def _beam(beam: Beam, ground: Ground, groups: dict[str, Group]) -> Candidate:
    layer = _layer(ground, beam.layer)
    return Candidate(
        becomes="beam line",
        group=_of(groups, "beam lines" if beam.shapes else "rows of piers", layer),
        layer=layer,
        centre=_middle((beam.start, beam.end)),
        run=(beam.start, beam.end),
        shapes=beam.shapes,
        why=beam.why,
        sure=beam.sure,
    )


def _attachment(beam: Beam, ground: Ground, groups: dict[str, Group]) -> Candidate:
    assert beam.attached is not None
    layer = _layer(ground, beam.layer)
    return Candidate(
        becomes="attachment",
        group=_of(groups, "where beams meet the house", layer),
        layer=layer,
        centre=beam.attached,
        why="a beam line meets the wall here",
        sure=beam.sure,
    )


def _area(area: Area, ground: Ground, groups: dict[str, Group]) -> Candidate:
    layer = _layer(ground, int(ground.layer[area.shapes[0]]))
    slab = area.becomes == "slab"
    return Candidate(
        becomes="slab" if slab else "keep-out",
        group=_of(groups, "slabs" if slab else f"keep-outs: {area.kind}", layer),
        layer=layer,
        centre=area.centre,
        run=area.run,
        closed=True,
        size=area.size,
        mark="" if slab else area.kind,
        shapes=area.shapes,
        why=area.why,
        sure=area.sure,
    )
