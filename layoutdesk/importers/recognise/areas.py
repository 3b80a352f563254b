"""Slabs and keep-outs: closed outlines that a text in them or their layer names."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np

from layoutdesk.geometry.vector import Vector
from layoutdesk.importers.recognise.ground import Floats, Ground
from layoutdesk.importers.recognise.hints import is_opening, is_slab, kept_out, kept_out_layer, says_slab
from layoutdesk.importers.recognise.marks import Texts
from layoutdesk.importers.recognise.outlines import Outline, inside, ring_area

_LEAST_SLAB_MM2: Final = 5e5
_LEAST_KEPT_MM: Final = 150.0
_MOST_KEPT_MM: Final = 15_000.0
_BESIDE_MM: Final = 300.0
_CORNERS: Final = 24
"""A circle becomes an outline of so many corners."""
_TURN: Final = np.arange(_CORNERS) * (2 * np.pi / _CORNERS)
_UNIT_CIRCLE: Final[Floats] = np.stack((np.cos(_TURN), np.sin(_TURN)), axis=1)


@dataclass(frozen=True, slots=True, kw_only=True)
class Area:
    """A slab or keep-out: its corners, shapes, what it is, and what says so."""

    becomes: str
    run: tuple[Vector, ...]
    centre: Vector
    size: float
    shapes: tuple[int, ...]
    kind: str
    why: str
    sure: float


def areas_of(
    ground: Ground, outlines: Sequence[Outline], taken: set[int], texts: Texts, piers: Floats
) -> list[Area]:
    """Return the slabs and keep-outs among closed outlines that are not yet something else."""
    free = [o for o in outlines if o.size >= _LEAST_KEPT_MM and taken.isdisjoint(o.shapes)]
    free.sort(key=lambda o: (o.size * o.width, o.shapes))
    telling = [(t, says_slab(w.text), kept_out(w.text)) for t, w in enumerate(texts.words)]
    telling = [entry for entry in telling if entry[1] or entry[2]]
    places = texts.middle[[t for t, _, _ in telling]].reshape(-1, 2)
    kinds = [kept_out_layer(name) for name in ground.layers]
    slabs = [is_slab(name) for name in ground.layers]
    claimed = np.zeros(len(telling), np.bool_)
    found: list[Area] = []
    for outline in free:
        number = int(ground.layer[outline.shapes[0]])
        kind, slab = kinds[number], slabs[number]
        if is_opening(ground.layers[number]) or not (kind or slab or len(places)):
            continue
        ring = outline.corners if len(outline.corners) else circle_run(outline.centre, outline.size)
        said, kept = False, ""
        if len(places):
            low, high = ring.min(axis=0), ring.max(axis=0)
            near = np.flatnonzero(~claimed & (places >= low).all(axis=1) & (places <= high).all(axis=1))
            near = near[inside(ring, places[near])] if len(near) else near
            said = any(telling[k][1] for k in near.tolist())
            kept = next((telling[k][2] for k in near.tolist() if telling[k][2]), "")
            if kind and not kept:
                beside = np.flatnonzero(
                    ~claimed & (places >= low - _BESIDE_MM).all(axis=1) & (places <= high + _BESIDE_MM).all(axis=1)
                )
                kept = next((telling[k][2] for k in beside.tolist() if telling[k][2]), "")
            if kind or slab or ((said or kept) and outline.size <= 2 * _MOST_KEPT_MM):
                claimed[near] = True
        if (kind or (kept and not slab)) and outline.size <= _MOST_KEPT_MM:
            found.append(
                _area(
                    outline, ring, "keep-out", kept or kind, "named " + kept if kept else "by the name of the layer"
                )
            )
        elif (slab or said) and abs(ring_area(ring)) >= _LEAST_SLAB_MM2 and (slab or _sensible(ring, piers)):
            found.append(
                _area(outline, ring, "slab", "", "a text names it" if said else "by the name of the layer")
            )
    return found


def _sensible(ring: Floats, piers: Floats) -> bool:
    """Return whether an outline is no larger than a slab is, and no frame round everything."""
    return abs(ring_area(ring)) <= 4e8 and (
        not len(piers) or not inside(ring, piers).all() or abs(ring_area(ring)) <= 1.5e8
    )


def _area(outline: Outline, ring: Floats, becomes: str, kind: str, why: str) -> Area:
    return Area(
        becomes=becomes,
        run=places_of(ring),
        centre=outline.centre,
        size=outline.size if outline.kind == "round" else 0.0,
        shapes=outline.shapes,
        kind=kind,
        why=why,
        sure=0.8,
    )


def circle_run(centre: Vector, diameter: float) -> Floats:
    """Return corners on a circle."""
    return np.array(centre) + diameter / 2 * _UNIT_CIRCLE


def places_of(ring: Floats) -> tuple[Vector, ...]:
    """Return corners as places."""
    return tuple(zip(*ring.T.tolist(), strict=True))
