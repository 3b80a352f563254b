"""What a plan says of digging, steel and pouring beside the profiles of its details, and what was dug so far.

Lengths are millimetres, volumes cubic metres, masses kilograms, prices in the money of the job.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Final, Literal

from layoutdesk.plan.extra import Extra

CastInKind = Literal["post", "base"]
OpeningShape = Literal["square", "round"]
CAST_IN_KINDS: Final[tuple[CastInKind, ...]] = ("post", "base")
OPENING_SHAPES: Final[tuple[OpeningShape, ...]] = ("square", "round")
HOOK_TURNS: Final = (0, 90, 180)
"""How far the hook at the foot of a bar turns, in degrees; 0 for a straight bar."""


@dataclass(frozen=True, slots=True, kw_only=True)
class CastIn:
    """What is cast into the top of a pier: a post, which takes the place of concrete, or the base of a column.

    ``width`` and ``depth`` are its sides; ``foot`` is how far below the pier's top it reaches.
    """

    kind: CastInKind = "base"
    width: float = 139.7
    depth: float = 139.7
    foot: float = 152.4
    extra: Extra = field(default=(), hash=False)


@dataclass(frozen=True, slots=True, kw_only=True)
class Steel:
    """The cage of a pier: bars on a circle, with hoops around them.

    ``bar`` and ``hoop`` are sizes such as ``No. 4`` or ``12 mm``; without hoops the latter is empty. ``cover`` is
    from the side of the concrete to the outermost steel, ``cover_ends`` over and under the ends of the bars. Hoops
    stand ``spacing`` apart at most, the first and the last ``first`` from the ends of the bars. ``hook`` is how far
    the foot of each bar turns, in degrees. ``stands_out`` is how far the bars go on above the pier's top, as
    starters. ``lapped`` says that a second bar lies beside each.
    """

    bars: int = 4
    bar: str = "No. 4"
    cover: float = 76.2
    cover_ends: float = 76.2
    hoop: str = "No. 3"
    spacing: float = 203.2
    first: float = 76.2
    hook: int = 0
    stands_out: float = 0.0
    lapped: bool = False
    extra: Extra = field(default=(), hash=False)


@dataclass(frozen=True, slots=True, kw_only=True)
class HoleLog:
    """A hole as it was dug.

    ``depth`` below the ground beside it, ``top`` and ``bottom`` its widths there. Its centre is off by ``along``
    the baseline and ``away`` from the house. ``water`` is how deep water stands in it. ``poured`` once it is full.
    """

    pier: str
    depth: float
    top: float
    bottom: float
    along: float = 0.0
    away: float = 0.0
    water: float = 0.0
    date: str = ""
    by: str = ""
    poured: bool = False
    extra: Extra = field(default=(), hash=False)


@dataclass(frozen=True, slots=True, kw_only=True)
class DigRule:
    """What holes and mixing are reckoned with; None is what is usual.

    ``over_dig`` is by which share holes come out bigger than drawn; ``own`` and ``common`` the standard deviations
    of one hole beside the others and of what all share. ``ground`` names how much the spoil swells. ``chance`` is
    the chance of running short that is borne. ``bag`` is the product that is bought, empty for the largest.
    ``batch_m3`` is what the mixer holds and ``minutes`` the time from one batch to the next; ``pour_m3`` what one
    pour places.
    """

    over_dig: float | None = None
    own: float | None = None
    common: float | None = None
    ground: str = "common earth"
    chance: float = 0.05
    bag: str = ""
    batch_m3: float | None = None
    minutes: float = 10.0
    pour_m3: float | None = None
    extra: Extra = field(default=(), hash=False)


@dataclass(frozen=True, slots=True, kw_only=True)
class TruckRule:
    """Concrete that comes mixed: see the order for what the figures mean. A price of 0 was not asked yet.

    The usual step is a quarter of a cubic yard.
    """

    step_m3: float = 0.191138714496
    price_m3: float = 0.0
    minimum_m3: float = 0.0
    full_m3: float = 0.0
    short_load_fee: float = 0.0
    extra: Extra = field(default=(), hash=False)


@dataclass(frozen=True, slots=True, kw_only=True)
class OpeningRule:
    """How openings are sawn into existing concrete for piers that fall in it.

    ``margin`` is left around the widest part of the hole; a strip narrower than ``least_strip`` is not left
    standing. A pass of the blade goes ``blade`` deep; no piece weighs more than ``carry`` kg.
    """

    shape: OpeningShape = "square"
    margin: float = 76.2
    least_strip: float = 304.8
    blade: float = 38.1
    carry: float = 45.0
    extra: Extra = field(default=(), hash=False)


USUAL_DIG: Final = DigRule()
USUAL_TRUCK: Final = TruckRule()
USUAL_OPENINGS: Final = OpeningRule()


@dataclass(frozen=True, slots=True, kw_only=True)
class Holes:
    """What was dug, and the rules of digging, sawing and pouring."""

    log: tuple[HoleLog, ...] = ()
    dig: DigRule = USUAL_DIG
    truck: TruckRule = USUAL_TRUCK
    openings: OpeningRule = USUAL_OPENINGS
    extra: Extra = field(default=(), hash=False)

    def of_pier(self, pier_id: str) -> HoleLog | None:
        """Return the hole of a pier as it was dug; None while it is not logged."""
        return next((hole for hole in self.log if hole.pier == pier_id), None)


NO_HOLES: Final = Holes()
"""What a plan has that says nothing of its holes."""
