"""What is said of each suspect measure: what it should have been, and which slip that looks like."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import Final

import numpy as np

from layoutdesk.engine.points import PointTable
from layoutdesk.engine.proof.by_plan import SET_OUT_MM, StandsOut
from layoutdesk.engine.proof.entries import Suspect
from layoutdesk.engine.proof.finding import Finding
from layoutdesk.engine.proof.misreading import DEVIATIONS, SURE, mixed_units, slip_of
from layoutdesk.engine.proof.observations import ANGLE, Observations, named
from layoutdesk.engine.proof.slips import Slip
from layoutdesk.engine.proof.suspect_sentences import (
    against_plan_sentence,
    only_by_plan,
    slip_sentence,
    suspect_sentence,
)
from layoutdesk.engine.proof.suspects import Candidate, Search, Taken
from layoutdesk.plan.model import Plan

WRONG_END: Final = 0.15
"""How common it is among misreadings that a tape ends at another point: common practice, no source."""


@dataclass(frozen=True, slots=True)
class Blame:
    """Words for suspects.

    Args:
        plan: the plan.
        points: its points.
        observations: all measures.
        finding: what is wrong among them.
    """

    plan: Plan
    points: PointTable
    observations: Observations
    finding: Finding

    @property
    def found(self) -> Search:
        """Return what the search came to."""
        return self.finding.found

    def suspects(self) -> tuple[Suspect, ...]:
        """Return the suspects: mixed-up units, then by the plan, then in the order in which they were found."""
        by_plan = map(self._against_plan, self.finding.against.values())
        told = (*map(self._mixed, self.finding.wrong), *by_plan, *map(self._suspect, self.found.taken))
        # Two suspects may have one measure that explains both by a known slip: it is named once.
        return tuple({one.index: one for one in reversed(told)}.values())[::-1]

    def _against_plan(self, one: StandsOut) -> Suspect:
        seen, tape = self.observations, self.plan.tapes[self._index(one.row)]
        value = float(seen.value[one.row])
        planned = abs(complex(self.points.z[seen.j[one.row]] - self.points.z[seen.i[one.row]]))
        slip = self._slip(Candidate(one.row, value - one.expected, one.deviation))
        if slip.kind == "other":  # where another tape to the same stake is wrong too, the plan alone may tell it
            slip = self._slip(Candidate(one.row, value - planned, SET_OUT_MM * math.sqrt(2)))
        says = against_plan_sentence(tape, self._name(one.row), value - planned, slip, self.plan)
        rows = self.finding.alike.get(one.row, ())
        if rows:
            says = f"{says} {only_by_plan([self._name(row) for row in rows])}"
        w, error = (one.expected - value) / one.deviation, value - one.expected
        alike = tuple(self._index(row) for row in rows)
        return Suspect(self._index(one.row), w, error, slip.kind, slip.right, alike, says, slip.also)

    def _mixed(self, row: int) -> Suspect:
        seen = self.observations
        planned = abs(complex(self.points.z[seen.j[row]] - self.points.z[seen.i[row]]))
        misfit = float(self.found.residual[row])
        value, deviation = float(seen.value[row]), float(seen.deviation[row])
        slip = mixed_units(value, planned)
        assert slip is not None
        error = -misfit if math.isfinite(misfit) else value - slip.right
        sentence = suspect_sentence([self._says(row, error, slip)], [self._name(row)], checked=True)
        return Suspect(self._index(row), -error / deviation, error, slip.kind, slip.right, (), sentence)

    def _suspect(self, taken: Taken) -> Suspect:
        tried = [(one, self._slip(one)) for one in (taken.suspect, *taken.alike)]
        # Of many that cannot be told apart, one may look like a slip by chance: it must be so much the likelier.
        likely = SURE * len(taken.alike)
        tried = [(one, slip if slip.odds >= likely else self._other(one)) for one, slip in tried]
        told = [k for k, (_, slip) in enumerate(tried) if slip.kind != "other"]
        if len(told) == 1:  # of several that cannot be told apart, the one that a known slip explains comes first
            tried.insert(0, tried.pop(told[0]))
        parts = [self._says(one.row, one.error, slip) for one, slip in tried]
        names = [self._name(one.row) for one, _ in tried]
        first, slip = tried[0]
        unit = math.degrees(1.0) if self.observations.kind[first.row] == ANGLE else 1.0
        return Suspect(
            index=self._index(first.row),
            w=taken.w if first is taken.suspect else math.copysign(taken.w, -first.error),
            size=first.error * unit,
            misreading=slip.kind,
            right=slip.right,
            alike=tuple(self._index(one.row) for one, _ in tried[1:]),
            says=suspect_sentence(parts, names, checked=self.found.last.degrees > 0),
            also=slip.also,
        )

    def _slip(self, one: Candidate) -> Slip:
        tape = self.plan.tapes[self._index(one.row)]
        if tape.kind == "right angle":
            return self._other(one)
        # What the tape read, in place of what it is worth on the level.
        reduced = float(self.observations.value[one.row])
        share = tape.distance / reduced if reduced else 1.0
        size = math.copysign(1.0, tape.distance)
        slip = slip_of(
            abs(tape.distance),
            one.error * share * size,
            one.deviation * share,
            self.plan.units,
            self.plan.rounding,
            ends=self._wrong_ends(one) if tape.kind == "distance" else (),
        )
        return replace(slip, right=slip.right * size)

    def _other(self, one: Candidate) -> Slip:
        tape = self.plan.tapes[self._index(one.row)]
        error = math.degrees(one.error) if tape.kind == "right angle" else one.error
        return Slip("other", tape.distance - error, "", 0.0)

    def _wrong_ends(self, one: Candidate) -> Iterator[Slip]:
        """Yield the other points that the tape may have ended at, with what their distances miss the reading by."""
        seen, places = self.observations, self.found.last.xy @ np.array([1, 1j])
        ends = int(seen.i[one.row]), int(seen.j[one.row])
        tape, value = self.plan.tapes[self._index(one.row)], float(seen.value[one.row])
        others = np.flatnonzero(np.isfinite(places))
        near = max(DEVIATIONS * one.deviation, self.plan.rounding)
        for stays, goes in (ends, ends[::-1]):
            ways = np.abs(places - places[stays])
            for other in np.flatnonzero(np.abs(ways - value) <= near).tolist():
                if other not in ends:
                    here, there, named_end = (self.points.labels[k] for k in (stays, other, goes))
                    words = (
                        f"it fits {here} to {there}, so that it may have ended at {there} in place of {named_end}"
                    )
                    common = WRONG_END / (2 * len(others))
                    miss = float(ways[other]) - value
                    yield Slip("wrong end", abs(tape.distance) - one.error, words, 0.0, common=common, miss=miss)

    def _says(self, row: int, error: float, slip: Slip) -> str:
        tape = self.plan.tapes[self._index(row)]
        shown = math.degrees(error) if tape.kind == "right angle" else error
        return slip_sentence(tape, self._name(row), shown, slip, self.plan)

    def _name(self, row: int) -> str:
        index = self._index(row)
        return named(index, self.plan.tapes[index], self.points)

    def _index(self, row: int) -> int:
        return int(self.observations.tape[row])
