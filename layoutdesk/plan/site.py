"""What is taped on site, and how it is judged: tapes, the tape at hand. Immutable values of the plan.

Lengths are millimetres. ``extra`` holds the keys of a file entry that this version does not know.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Final, Literal

from layoutdesk.geometry.vector import Vector
from layoutdesk.plan.extra import Extra

TapeClass = Literal["I", "II", "III"]
TakenClass = Literal["I", "II", "III", "H44", "own"]
TapeKind = Literal["distance", "square", "string", "right angle"]
ControlTrust = Literal["held", "uncertain", "free"]
HouseChoice = Literal["hold the design", "turn with the house", "hold one attachment"]

TAKEN_CLASSES: Final[tuple[TakenClass, ...]] = ("I", "II", "III", "H44", "own")
TAPE_KINDS: Final[tuple[TapeKind, ...]] = ("distance", "square", "string", "right angle")
CONTROL_TRUSTS: Final[tuple[ControlTrust, ...]] = ("held", "uncertain", "free")
HOUSE_CHOICES: Final[tuple[HouseChoice, ...]] = ("hold the design", "turn with the house", "hold one attachment")
TAPE_CLASSES: Final[tuple[TapeClass, ...]] = ("I", "II", "III")


@dataclass(frozen=True, slots=True, kw_only=True)
class Tape:
    """One measure taken on site, with the class of tape it was taken with.

    ``kind`` says what was measured; ``start``, ``end`` and ``third`` are ids of points:

    * ``distance``: ``distance`` from start to end;
    * ``square``: ``distance`` of end, square from the line through start and third; positive to the left of it as
      one looks from start;
    * ``string``: end stands on the string from start to third, or ``distance`` beside it, as above (0 on it);
    * ``right angle``: at start, from end to third, set out by a triangle whose legs are ``legs`` long;
      ``distance`` is the angle in degrees, 90.

    ``tape_class`` is a class of the EU directive 2014/32, ``H44`` a metal tape of NIST Handbook 44, or ``own``
    with ``own`` = (a in mm, b in mm per metre). A slope is given by ``rise``, the difference in height of both ends
    in mm, or by ``slope`` in degrees: the distance was then taken along the ground. For a steel tape
    ``temperature`` is in °C, and ``pull`` in N with ``section``, the cross-section of the tape in mm².
    """

    start: str
    end: str
    distance: float
    tape_class: TakenClass = "II"
    kind: TapeKind = "distance"
    third: str | None = None
    own: Vector | None = None
    legs: Vector | None = None
    rise: float | None = None
    slope: float | None = None
    temperature: float | None = None
    pull: float | None = None
    section: float | None = None
    extra: Extra = field(default=(), hash=False)


@dataclass(frozen=True, slots=True, kw_only=True)
class ProofSettings:
    """How the measures are judged.

    ``control`` says whether the control points are held where they are drawn, uncertain by ``control_deviation``
    (one standard deviation, mm), or free: no better known than the stakes. A stake may be out by ``tolerance`` mm.
    ``house`` says what is held when the house does not stand as drawn; ``held_attachment`` names the one
    attachment. ``exaggeration`` enlarges moves and ellipses on the sheet. ``read_to`` is the step that tapes were
    read to, mm: what rounding a reading to it may do is added to the error of the tape. 0 adds nothing.
    """

    control: ControlTrust = "held"
    control_deviation: float = 3.0
    tolerance: float = 12.7
    house: HouseChoice = "hold the design"
    held_attachment: str | None = None
    exaggeration: float = 50.0
    read_to: float = 0.0
    extra: Extra = field(default=(), hash=False)


@dataclass(frozen=True, slots=True, kw_only=True)
class TapeAtHand:
    """The tape that the crew will pull: its full length and its EU 2014/32 accuracy class.

    A plan that names none has the usual one of its units: 100 ft, or 30 m.
    """

    length: float = 30_480.0
    tape_class: TapeClass = "II"
    extra: Extra = field(default=(), hash=False)


USUAL_TAPE: Final = TapeAtHand()
USUAL_PROOF: Final = ProofSettings()
"""What a plan has that says nothing of them."""
