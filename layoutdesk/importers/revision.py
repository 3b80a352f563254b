"""A newer issue of the same drawing, held against a plan that stands already."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass
from typing import Any, Final

from layoutdesk.geometry.vector import Vector, distance, minus
from layoutdesk.importers.revision_fit import fit, laid
from layoutdesk.importers.revision_match import on_each_other
from layoutdesk.importers.revision_names import Names, named
from layoutdesk.importers.revision_words import Wording
from layoutdesk.plan.edits.revising import WHATS, Change, ChangeKind, What, kind_of_piece, same_hole, tolerance_of
from layoutdesk.plan.model import Control, Keepout, Piece, Pier, Plan, Slab, SpotHeight, Written, places_of

_TURN_SAID: Final = 0.005


@dataclass(frozen=True, slots=True, kw_only=True)
class Revision:
    """What a newer issue changes.

    ``newer`` is the newer drawing laid over the plan, its pieces by the plan's ids: what
    :func:`layoutdesk.plan.edits.revise` takes changes from. ``notes`` are sentences on how it was laid.
    """

    newer: Plan
    changes: tuple[Change, ...] = ()
    notes: tuple[str, ...] = ()


def compare(plan: Plan, newer: Plan, *, marks: Collection[str] | None = None) -> Revision:
    """Return what a newer issue of the drawing says otherwise than the plan.

    Nothing is reported that differs by less than half the step that the plan shows, or 0.1 mm if that is more.

    Args:
        plan: the plan as it stands.
        newer: a plan of the newer drawing; it may have another origin, and be turned.
        marks: what the newer drawing writes beside its piers; any other name of a pier was given by the program and
            means nothing. All names count when None.
    """
    tolerance = tolerance_of(plan)
    nameless = frozenset() if marks is None else frozenset(p.id for p in newer.piers if p.label not in marks)
    lying = fit(plan, newer, nameless=nameless, tolerance=tolerance)
    over, names = named(plan, laid(newer, lying.motion), nameless=nameless, tolerance=tolerance)
    words = Wording(plan)
    found = list(_Comparing(plan, over, names, words, tolerance).all())
    order = {what: n for n, what in enumerate(WHATS)}
    found.sort(key=lambda change: order[change.what])
    if not any(change.kind == "written" for change in found):
        over = over.with_(written=(), chains=())
    notes = []
    if not lying.agrees:
        notes.append("The two drawings have little in common, so they were compared as they lie.")
    elif not lying.motion.is_none:
        notes.append(
            "The newer drawing has another zero, so it was laid over the plan by what both have in common."
        )
    return Revision(newer=over, changes=tuple(found), notes=tuple(notes))


class _Comparing:
    """One comparison."""

    def __init__(self, plan: Plan, newer: Plan, names: Names, words: Wording, tolerance: float) -> None:
        self.plan, self.newer, self.names, self.words, self.tolerance = plan, newer, names, words, tolerance
        self.was = {piece.id: piece for piece in plan.pieces()}
        self.now = {piece.id: piece for piece in newer.pieces()}

    def all(self) -> Iterator[Change]:
        """Yield every change."""
        along = set[str | None]()
        for pier in self._piers():
            yield pier
            if pier.kind in {"moved", "appeared", "vanished"}:
                for pieces in (self.was, self.now):
                    piece = pieces.get(pier.piece)
                    along.add(piece.line if isinstance(piece, Pier) else None)
        held = {p.line for p in self.newer.piers}
        for old in self.plan.pieces():
            if isinstance(old, Pier | Control | SpotHeight):
                continue
            # A line whose piers moved goes along with them.
            if not (old.id in along and old.id in held and old.id in self.now):
                yield from self._piece(old)
        for new in self.newer.pieces():
            what = kind_of_piece(new)
            if new.id not in self.was and what is not None and what != "pier":
                yield self._appeared(what, new)
        yield from self._written()

    def _piers(self) -> Iterator[Change]:
        details = {d.id: d for d in (*self.newer.details, *self.plan.details)}
        for old in self.plan.piers:
            yield from self._piece(old)
            new = self.now.get(old.id)
            if not isinstance(new, Pier):
                continue
            if new.detail is not None and not same_hole(
                details.get(old.detail or ""), details[new.detail], self.tolerance
            ):
                said = self.words.detail(old.label, details.get(old.detail or ""), details[new.detail])
                yield self._change("pier", "detail", old, new, said)
            if new.label != old.label:
                yield self._change("pier", "mark", old, new, self.words.mark(old.label, new.label))
        for new in self.newer.piers:
            if new.id not in self.was:
                yield self._appeared("pier", new)

    def _piece(self, old: Piece) -> Iterator[Change]:
        """Yield how a piece of the plan moved, or that it is gone."""
        what = kind_of_piece(old)
        assert what is not None
        new = self.now.get(old.id)
        if new is None:
            tapes = sum(old.id in {tape.start, tape.end} for tape in self.plan.tapes)
            said = self.words.vanished(what, _label(old), _middle(places_of(old)), tapes=tapes)
            yield Change(
                id=f"vanished {old.id}",
                what=what,
                kind="vanished",
                piece=old.id,
                before=places_of(old),
                sentence=said,
            )
            return
        before, after = places_of(old), places_of(new)
        ways = [minus(b, a) for a, b in zip(before, after, strict=False)]
        if len(before) == len(after):
            if max(distance(a, b) for a, b in zip(before, after, strict=True)) <= self.tolerance:
                return
            if all(distance(way, ways[0]) <= self.tolerance for way in ways):
                by = self.words.by(before[0], after[0])
                yield self._change(what, "moved", old, new, self.words.moved(what, _label(old), by))
                return
        closed = isinstance(old, Slab | Keepout)
        if what != "beam line" and on_each_other(
            _ring(before, closed=closed), _ring(after, closed=closed), self.tolerance
        ):
            return
        yield self._change(what, "shape", old, new, self.words.shape(what, _label(old), before, after))

    def _change(self, what: What, kind: ChangeKind, old: Piece, new: Piece, sentence: str) -> Change:
        before, after = places_of(old), places_of(new)
        return Change(
            id=f"{kind} {old.id}",
            what=what,
            kind=kind,
            piece=old.id,
            before=before,
            after=after,
            by=self.words.by(before[0], after[0]) if kind == "moved" else (0.0, 0.0, 0.0),
            sentence=sentence,
        )

    def _appeared(self, what: What, new: Piece) -> Change:
        said = self.words.appeared(what, _label(new), _middle(places_of(new)))
        return Change(
            id=f"appeared {new.id}", what=what, kind="appeared", piece=new.id, after=places_of(new), sentence=said
        )

    def _written(self) -> Iterator[Change]:
        old, new = self.plan.written, self.newer.written
        chains = sorted((c.parts, c.overall or 0.0) for c in self.plan.chains)
        if not new and not self.newer.chains:
            return
        others = _others(old, new, self.tolerance)
        same = [w for c in self.newer.chains for w in [(c.parts, c.overall or 0.0)] if w in chains]
        if not others and len(old) == len(new) and len(same) == len(self.newer.chains):
            return
        yield Change(
            id="written",
            what="dimensions",
            kind="written",
            piece="",
            sentence=self.words.dimensions(len(new) or len(self.newer.chains), others),
        )


def _others(old: Sequence[Written], new: Sequence[Written], tolerance: float) -> int:
    """Return how many of the newer dimensions the older ones do not have: the same number at the same place."""
    known: dict[int, list[Written]] = {}
    for w in old:
        known.setdefault(round(w.value), []).append(w)

    def same(a: Written, b: Written) -> bool:
        ends = distance(a.start, b.start) + distance(a.end, b.end)
        back = distance(a.start, b.end) + distance(a.end, b.start)
        return a.kind == b.kind and abs(a.value - b.value) <= 0.01 and min(ends, back) <= 2 * tolerance

    return sum(not any(same(w, o) for k in (-1, 0, 1) for o in known.get(round(w.value) + k, ())) for w in new)


def _label(piece: Any) -> str:
    return str(getattr(piece, "label", piece.id))


def _middle(places: Sequence[Vector]) -> Vector:
    return sum(p[0] for p in places) / len(places), sum(p[1] for p in places) / len(places)


def _ring(places: tuple[Vector, ...], *, closed: bool) -> tuple[Vector, ...]:
    return (*places, places[0]) if closed else places
