"""The proof: measures adjusted, tested, and said in words. ``proof_of`` is the one door."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np

from layoutdesk.engine.baseline import baseline_frame
from layoutdesk.engine.bays import BayTable
from layoutdesk.engine.columns import Bools, Floats
from layoutdesk.engine.points import PointTable
from layoutdesk.engine.proof.bay_verdicts import bay_verdicts, joint_at_most, joint_covariance
from layoutdesk.engine.proof.blame import Blame
from layoutdesk.engine.proof.corrections import corrections_of
from layoutdesk.engine.proof.entries import Loose, Proof, ProofPoint, ProofTape, Verdict
from layoutdesk.engine.proof.finding import Finding, find
from layoutdesk.engine.proof.house import house_from, placed
from layoutdesk.engine.proof.moves import Move, MoveSentences, move_of, verdict_of
from layoutdesk.engine.proof.observations import ANGLE, Observations, observations_of
from layoutdesk.engine.proof.sentences import loose_sentence, summary, swapped_sentence
from layoutdesk.engine.proof.standing import Standing, standing_of
from layoutdesk.engine.proof.statistics import chi_square_limits, ellipses, limit_of
from layoutdesk.engine.proof.suspects import Search
from layoutdesk.engine.reasons import listed, shown_small
from layoutdesk.geometry.frame import Frame
from layoutdesk.geometry.vector import distance
from layoutdesk.plan.model import Plan

FEW_BAYS: Final = 100
"""Up to so many bays the joint covariance of the corners is worked out; of more only what it is at most."""


def proof_of(plan: Plan, points: PointTable, frame: Frame | None, bays: BayTable) -> Proof | None:
    """Return the proof of a plan; None when nothing was measured.

    Nothing is raised for bad measures: they are named in ``trouble``, in ``suspects`` or in ``loose``.
    """
    if not plan.tapes:
        return None
    observations = observations_of(plan, points)
    standing = standing_of(plan, points, observations)
    finding = find(points, standing, observations)
    return _Judge(plan, points, frame, bays, observations, standing, finding).proof()


@dataclass(frozen=True, slots=True)
class _Judge:
    plan: Plan
    points: PointTable
    frame: Frame | None
    bays: BayTable
    observations: Observations
    standing: Standing
    finding: Finding

    @property
    def found(self) -> Search:
        """Return what the search came to."""
        return self.finding.found

    def proof(self) -> Proof:
        plan, first, last = self.plan, self.found.first, self.found.last
        target, frame = self._target()
        points = self._points(target, frame)
        suspects = Blame(plan, self.points, self.observations, self.finding).suspects()
        low, high = chi_square_limits(first.degrees)
        passes = low <= first.weighted <= high if first.degrees > 0 else None
        without = None
        if suspects and last.degrees > 0:
            without = last.weighted <= chi_square_limits(last.degrees)[1]
        clear = self.found.kept.copy()
        clear[[one.suspect.row for one in self.found.taken if one.alike]] = True  # it is not known which is wrong
        return Proof(
            control=plan.proof.control,
            points=points,
            tapes=self._tapes({one.index for one in suspects} | {k for one in suspects for k in one.alike}),
            suspects=suspects,
            loose=self._loose(target),
            bays=bay_verdicts(
                plan,
                self.points,
                self.bays,
                self.observations.take(clear),
                measured=self.standing.measured,
                found=np.where(self._known[:, None], last.xy, np.nan),
                joint=self._joint,
            ),
            degrees=first.degrees,
            weighted=first.weighted,
            low=low,
            high=high,
            passes=passes,
            swapped=self._swapped(),
            says=summary(
                plan,
                points,
                [self._short(one.index) for one in suspects],
                passes=passes,
                passes_without=without,
                low=first.weighted < low,
                adrift=self.standing.adrift,
            ),
            passes_without=without,
            trouble=self.observations.trouble,
        )

    @property
    def _known(self) -> Bools:
        """Which points have a place that does not depend on which of several measures or stakes are wrong, (n,)."""
        last = self.found.last
        known: Bools = last.determined & ~self.found.doubtful & np.isfinite(last.xy).all(axis=1)
        known[list(self._parted)] = False
        return known

    @property
    def _parted(self) -> set[int]:
        """Which stakes stand on two sides of a line, and it is not known which on the wrong one."""
        return {p for one in self.found.swapped if one.rest for p in (*one.points, *one.rest)}

    def _joint(self, rows: Sequence[int]) -> Floats:
        if len(self.bays) <= FEW_BAYS:
            return joint_covariance(self.found.last, rows)
        return joint_at_most(self.found.last.covariance[list(rows)])

    def _short(self, index: int) -> str:
        """Return what a measure is called by its two points."""
        tape = self.plan.tapes[index]
        start, end = (self.points.labels[self.points.index(point)] for point in (tape.start, tape.end))
        return f"tape {index + 1} ({start} to {end})"

    def _target(self) -> tuple[PointTable, Frame | None]:
        """Return where the points are to stand by what is done about the house as found, and the baseline there."""
        corners = [i for i, one in enumerate(self.plan.controls) if one.measured]
        if not corners or self.standing.adrift:
            return self.points, self.frame
        last, known = self.found.last, self._known
        places = {
            self.points.ids[i]: ((float(last.xy[i, 0]), float(last.xy[i, 1])), last.covariance[i])
            for i in corners
            if known[i]
        }
        on_site = placed(self.plan, house_from(self.plan, places))
        frame = baseline_frame(on_site)
        return PointTable(on_site, frame), frame

    def _points(self, target: PointTable, frame: Frame | None) -> tuple[ProofPoint, ...]:
        last, known = self.found.last, self._known
        longer, shorter, turn = ellipses(last.covariance)
        words = MoveSentences(self.plan, target, frame)
        station = target.station
        rows = []
        shown = np.flatnonzero(self.standing.measured | (np.arange(len(self.points)) >= self.points.first_pier))
        for i in shown.tolist():
            kind, label = self.points.kinds[i], self.points.labels[i]
            held = bool(self.standing.network.held[i]) and not self.standing.adrift
            drawn = self.points.place(i) if kind == "control" else target.place(i)
            if not known[i] or self.standing.adrift:
                rows.append(self._unknown(i, drawn))
                continue
            at = (float(last.xy[i, 0]), float(last.xy[i, 1]))
            move = Move(0.0, 0.0) if held else move_of(drawn, at, frame)
            way = np.array([drawn[0] - at[0], drawn[1] - at[1]])
            sure = float(longer[i])
            verdict: Verdict = "leave"
            if held:
                says = f"{label} is held where it is drawn."
            elif kind == "control":
                says = f"{label} was found {shown_small(move.out, self.plan)} from where it is drawn."
            else:
                verdict = verdict_of(way, last.covariance[i], self.plan.proof.tolerance)
                at_station = float(station[i]) if frame is not None else None
                says = words.says(label, verdict, move, sure, at_station)
            rows.append(
                ProofPoint(
                    id=self.points.ids[i],
                    label=label,
                    kind=kind,
                    planned=drawn,
                    found=at,
                    held=held,
                    along=move.along,
                    away=move.away,
                    out=move.out,
                    semi_major=sure,
                    semi_minor=float(shorter[i]),
                    turn=float(turn[i]),
                    verdict=verdict,
                    says=says,
                )
            )
        return tuple(rows)

    def _unknown(self, i: int, drawn: tuple[float, float]) -> ProofPoint:
        label = self.points.labels[i]
        if not self.standing.measured[i]:
            says = f"{label} was not measured."
        elif self.standing.adrift:
            says = f"Where {label} stands is not known: no measure goes to a control point."
        elif i in self._parted:
            says = f"Where {label} stands depends on which stakes are on the wrong side of a line: look there."
        elif self.found.last.determined[i]:
            says = f"Where {label} stands depends on which of the suspect measures is wrong: tape those again."
        else:
            says = f"Where {label} stands is not determined by its measures."
        nothing, held = (math.nan,) * 6, False
        return ProofPoint(
            self.points.ids[i], label, self.points.kinds[i], drawn, None, held, *nothing, "not determined", says
        )

    def _tapes(self, suspect: set[int]) -> tuple[ProofTape, ...]:
        seen, found, limit = self.observations, self.found, limit_of(len(self.observations))
        unit = np.where(seen.kind == ANGLE, np.copysign(math.degrees(1.0), seen.value), 1.0)
        columns = (
            seen.tape,
            seen.value * unit,
            np.nan_to_num(found.residual) * unit,
            seen.deviation * np.abs(unit),
            found.redundancy,
            found.w,
        )
        rows = []
        for index, reduced, residual, deviation, redundancy, w in zip(
            *(column.tolist() for column in columns), strict=True
        ):
            tape = self.plan.tapes[index]
            by_slope, by_temperature, by_pull = corrections_of(tape)
            rows.append(
                ProofTape(
                    index=index,
                    start=tape.start,
                    end=tape.end,
                    third=tape.third,
                    kind=tape.kind,
                    read=tape.distance,
                    reduced=reduced,
                    adjusted=reduced + residual,
                    residual=residual,
                    deviation=deviation,
                    redundancy=redundancy,
                    w=w,
                    limit=limit,
                    suspect=index in suspect,
                    by_slope=by_slope,
                    by_temperature=by_temperature,
                    by_pull=by_pull,
                )
            )
        return tuple(rows)

    def _loose(self, target: PointTable) -> tuple[Loose, ...]:
        """Return the points whose places the measures do not determine; at the end those never measured."""
        measured, labels, ids = self.standing.measured, self.points.labels, self.points.ids
        loose = []
        two = {flip.point: (flip.found, flip.mirror) for flip in self.found.last.flips}
        for group in self.found.last.loose:
            rows = [i for i in group.points if measured[i]]
            if rows:
                places = None
                if len(rows) == 1 and rows[0] in two:
                    planned = target.place(rows[0])
                    near, far = (shown_small(distance(place, planned), self.plan) for place in two[rows[0]])
                    places = (near, far)
                hinge, settled_by = ([labels[i] for i in part or ()] for part in (group.hinge, group.settled_by))
                stakes = [labels[i] for i in rows]
                says = loose_sentence(group.kind, stakes, places, hinge=hinge, settled_by=settled_by)
                loose.append(Loose(tuple(ids[i] for i in rows), says))
        rows = np.flatnonzero(measured).tolist()
        if self.standing.adrift and rows:
            says = loose_sentence("apart", [labels[i] for i in rows])
            loose.append(Loose(tuple(ids[i] for i in rows), says))
        never = [i for i in range(self.points.first_pier, len(self.points)) if not measured[i]]
        if never:
            names = listed([labels[i] for i in never])
            says = f"{names} {'was' if len(never) == 1 else 'were'} not measured."
            loose.append(Loose(tuple(ids[i] for i in never), says))
        return tuple(loose)

    def _swapped(self) -> tuple[Loose, ...]:
        """Return the stakes that were set out in the wrong places."""
        labels, ids = self.points.labels, self.points.ids
        told = []
        for one in self.found.swapped:
            points, line, rest = ([labels[i] for i in part] for part in (one.points, one.line or (), one.rest))
            about = tuple(ids[i] for i in (*one.points, *one.rest))
            told.append(Loose(about, swapped_sentence(one.kind, points, line, rest)))
        return tuple(told)
