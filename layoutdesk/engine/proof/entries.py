"""The rows of the proof: what screens, sheets and files show of one stake, one measure, one bay.

Lengths are millimetres, angles degrees. Ellipses hold the true place with 95 % certainty.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from layoutdesk.engine.entries import PointKind
from layoutdesk.geometry.vector import Vector
from layoutdesk.plan.model import ControlTrust, TapeKind

Verdict = Literal["leave", "move", "within the tapes", "not determined"]
"""Of a stake: it is inside the tolerance; it must move; its move is smaller than what the tapes can tell, though
the tolerance asks for it; or the measures do not say where it is."""
Misreading = Literal[
    "whole feet",
    "whole inches",
    "whole metres",
    "whole decimetres",
    "whole centimetres",
    "begun at a mark",
    "swapped digits",
    "upside down",
    "tenths for inches",
    "one unit for another",
    "wrong end",
    "other",
]
"""``begun at a mark``: not at nought, and that was not taken off; ``tenths for inches``: decimals of a foot and
inches mixed up; ``wrong end``: the number fits another pair of points, so that the tape ended at the wrong one."""


@dataclass(frozen=True, slots=True)
class ProofPoint:
    """One point as it was measured.

    ``planned`` is its place in the plan (turned with the house where that was chosen), ``found`` where it stands,
    None when that is not determined. ``held`` points are where they are drawn. ``along`` and ``away`` are the move
    that puts it right: along the baseline in the direction of its stations, and away from the house (planned less
    found); plan axes when there is no baseline. ``semi_major``, ``semi_minor`` and ``turn`` (of the longer axis,
    anticlockwise from x) are its ellipse. ``says`` is the verdict in one sentence with its numbers.
    """

    id: str
    label: str
    kind: PointKind
    planned: Vector
    found: Vector | None
    held: bool
    along: float
    away: float
    out: float
    semi_major: float
    semi_minor: float
    turn: float
    verdict: Verdict
    says: str


@dataclass(frozen=True, slots=True)
class ProofTape:
    """One measure after the adjustment; mm, or degrees for a right angle.

    ``index`` is its place in ``plan.tapes``. ``read`` is what was written down, ``reduced`` what it is worth on the
    level after its corrections, ``adjusted`` what the adjusted places give, ``residual`` = adjusted less reduced.
    ``deviation`` is its standard deviation; ``redundancy`` how much of an error in it would show (0 to 1); ``w``
    its residual in terms of its own deviation, which goes beyond ``limit`` when it is suspect. ``by_slope``,
    ``by_temperature`` and ``by_pull`` are what each correction added to the reading, mm; reduced less read in all.
    """

    index: int
    start: str
    end: str
    third: str | None
    kind: TapeKind
    read: float
    reduced: float
    adjusted: float
    residual: float
    deviation: float
    redundancy: float
    w: float
    limit: float
    suspect: bool
    by_slope: float = 0.0
    by_temperature: float = 0.0
    by_pull: float = 0.0


@dataclass(frozen=True, slots=True)
class Suspect:
    """A measure that is most likely misread: by how much, what kind of slip it looks like, and what to do.

    ``size`` is the likely error of the reading (read less right), mm. ``alike`` are the indices of other measures
    that the numbers cannot tell apart from it: one of them is wrong, and it is not known which. ``also`` are other
    kinds of slip that explain it nearly as well.
    """

    index: int
    w: float
    size: float
    misreading: Misreading
    right: float
    alike: tuple[int, ...]
    says: str
    also: tuple[Misreading, ...] = ()


@dataclass(frozen=True, slots=True)
class Loose:
    """Points whose places the measures do not determine, and why: too few tapes, or they can flip."""

    ids: tuple[str, ...]
    says: str


@dataclass(frozen=True, slots=True)
class BayVerdict:
    """Whether a bay is square: how far its worst corner is out, how sure that is, and the verdict in one line.

    The found bay is laid over the planned one as well as a shift and a turn can. ``within`` is the longer half axis
    of the 95 % ellipse of that corner's way. Both are NaN, and ``square`` None, when the measures do not tell.
    """

    bay: str
    out: float
    within: float
    square: bool | None
    says: str


@dataclass(frozen=True, slots=True)
class Proof:
    """The whole proof of a layout.

    ``degrees`` is how many measures there are beyond what is needed; ``weighted`` the weighted sum of squared
    residuals, ``low`` and ``high`` the limits that it keeps in 95 % of sound jobs; ``passes`` None with no measure
    to spare. ``passes_without`` is the same test of what is left without the suspects, None when nothing is suspect
    or nothing is left to spare. ``trouble`` has a place in ``plan.tapes`` and a sentence for each measure that
    cannot be used. ``swapped`` names points that seem to have changed places or to lie on the wrong side.
    ``says`` sums it up.
    """

    control: ControlTrust
    points: tuple[ProofPoint, ...]
    tapes: tuple[ProofTape, ...]
    suspects: tuple[Suspect, ...]
    loose: tuple[Loose, ...]
    bays: tuple[BayVerdict, ...]
    degrees: int
    weighted: float
    low: float
    high: float
    passes: bool | None
    swapped: tuple[Loose, ...]
    says: str
    passes_without: bool | None = None
    trouble: tuple[tuple[int, str], ...] = ()


@dataclass(frozen=True, slots=True)
class TapeNext:
    """One more measure that is worth taking: from what to what, for which stake, and what it brings (95 %, mm)."""

    start: str
    end: str
    planned: float
    worst: str
    before: float
    after: float
    says: str


@dataclass(frozen=True, slots=True)
class TapingPlan:
    """The fewest measures found that prove the whole layout to the tolerance, in the order to take them.

    ``reaches`` is the semi-major axis of the worst stake that they give (95 %, mm), ``proves`` whether that is
    inside the tolerance. ``pulls`` are (from, to, planned distance); ``deviations`` the standard deviation of
    each by the class of the tape at hand, mm.
    """

    pulls: tuple[tuple[str, str, float], ...]
    reaches: float
    proves: bool
    says: str
    deviations: tuple[float, ...] = ()


@dataclass(frozen=True, slots=True)
class WallFound:
    """One side of a wall as found: how far its ends lie beside where they are drawn, and how far it is turned."""

    wall: str
    side: int
    ends: tuple[str, str]
    square: tuple[float, float]
    turned: float


@dataclass(frozen=True, slots=True)
class HouseFound:
    """The real house against the drawn one: the best fit of plan to house, a shift and a turn without any scale.

    A drawn place p lies at turn(p) + shift: turned by ``turn`` degrees about the plan's zero, then moved by
    ``shift``. ``left_over`` is what each measured corner is still off after the fit (dx, dy), by id; ``says`` sums
    it up.
    """

    corners: tuple[str, ...]
    shift: Vector
    turn: float
    left_over: tuple[tuple[str, Vector], ...]
    walls: tuple[WallFound, ...]
    says: str
