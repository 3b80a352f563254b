"""Where bars and hoops stand in the section of a pier, what is cut for them, and how much concrete covers them.

Bars run straight on one circle, so it is the narrowest width along them that sets how far out they stand; a hoop
is as wide all the way down. Lengths are mm, depths below the ground.

Starters that are lapped are pieces of their own: beside each bar, which then ends inside the pier, another begins a
lap lower and stands out. Without starters a lap is a splice: each bar is two pieces that lie beside one another.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Final

from layoutdesk.engine.concrete.sections import Part
from layoutdesk.engine.holes.entries import SectionBar
from layoutdesk.engine.holes.section import formed_to
from layoutdesk.engine.reckoning import ReckoningError
from layoutdesk.engine.steel.bends import Hook, hook
from layoutdesk.engine.steel.cage import Cage, Pieces, pieces, upright_length, uprights
from layoutdesk.engine.steel.circle import Circle, on_circle
from layoutdesk.engine.steel.hoops import lap, round_hoop, ties_along
from layoutdesk.engine.steel.sizes import Bar, bar
from layoutdesk.plan.holes import Steel
from layoutdesk.plan.model import Detail

_HAIR: Final = 1e-6


@dataclass(frozen=True, slots=True)
class CageShape:
    """Where the steel of a pier stands.

    Attributes:
        bar: the bars.
        tie: the hoops; None without any.
        circle: how the bars stand beside one another.
        radius: through the middles of the bars; 0 for a single one.
        rim: from the axis to the outermost steel.
        narrowest: the least width of the concrete along the cage.
        top: depth of the upper end of the bars inside the pier.
        bottom: depth of their foot.
        head: depth where starters end; that of ``top`` without any.
        lap: how far lapped bars lie beside one another; 0 without laps.
        hook: at the foot; None for straight bars.
        outward: whether the hooks turn away from the axis.
        hoops: depths of the hoops.
        hoop_width: out to out; 0 without hoops.
    """

    bar: Bar
    tie: Bar | None
    circle: Circle
    radius: float
    rim: float
    narrowest: float
    top: float
    bottom: float
    head: float
    lap: float
    hook: Hook | None
    outward: bool
    hoops: tuple[float, ...]
    hoop_width: float

    @property
    def spacing(self) -> float:
        """Return how far apart the hoops stand, middle to middle; 0 for one or none."""
        return self.hoops[1] - self.hoops[0] if len(self.hoops) > 1 else 0.0

    @property
    def reach(self) -> float:
        """Return how far a hook stands out of its bar, out to out; 0 for straight bars."""
        if self.hook is None:
            return 0.0
        return self.hook.leg if self.hook.turn == 90 else self.hook.wide

    @property
    def hook_tip(self) -> float:
        """Return how far from the axis hooks end, on their own side or beyond the axis."""
        half = self.bar.diameter / 2
        return self.radius - half + self.reach if self.outward else abs(self.reach - self.radius - half)


def cage_shape(steel: Steel, parts: Sequence[Part]) -> CageShape:
    """Return where the steel of a pier stands.

    Args:
        steel: its cage.
        parts: of the pier from its top down, as deep as it is to be.

    Raises:
        ReckoningError: when the cage cannot be reckoned; its sentence says why.
    """
    main, tie = bar(steel.bar), bar(steel.hoop) if steel.hoop else None
    if not parts:
        raise ReckoningError("A cage needs a hole to stand in, and the profile of the detail is empty.")
    dowels = steel.lapped and steel.stands_out > 0
    top, bottom = parts[0].top, parts[-1].bottom
    through = steel.stands_out > 0 and not dowels
    cover_top = 0.0 if through else steel.cover_ends
    length = upright_length(top, bottom, cover_top=cover_top, cover_bottom=steel.cover_ends)
    above, foot = top + cover_top, bottom - steel.cover_ends
    narrow = _narrowest(parts, top if steel.stands_out > 0 else above, foot)
    circle = on_circle(narrow, cover=steel.cover, tie=tie, bar=main, count=steel.bars, lapped=steel.lapped)
    radius = 0.0 if steel.bars == 1 else circle.radius
    around = 0.0 if tie is None else narrow - 2 * steel.cover
    bend = hook(main, 90 if steel.hook == 90 else 180) if steel.hook else None
    found = CageShape(
        bar=main,
        tie=tie,
        circle=circle,
        radius=radius,
        rim=around / 2 if tie is not None else radius + main.diameter / 2,
        narrowest=narrow,
        top=above,
        bottom=foot,
        head=top - steel.stands_out if steel.stands_out > 0 else above,
        lap=_lap(main, length) if steel.lapped else 0.0,
        hook=bend,
        outward=True,
        hoops=() if tie is None else _hoops(above, foot, steel),
        hoop_width=around,
    )
    if bend is None:
        return found
    room = room_for_hooks(found, parts) - steel.cover
    inward = replace(found, outward=False)
    return inward if found.hook_tip > room + _HAIR and inward.hook_tip <= room + _HAIR else found


def room_for_hooks(shape: CageShape, parts: Sequence[Part]) -> float:
    """Return half the least width of the concrete where the hooks lie."""
    if shape.hook is None:
        return math.inf
    high = shape.bar.diameter if shape.hook.turn == 90 else shape.hook.set_back + shape.hook.extension
    return _narrowest(parts, max(shape.top, shape.bottom - high), shape.bottom) / 2


def _narrowest(parts: Sequence[Part], top: float, bottom: float) -> float:
    """Return the least width of the parts between two depths; a part that is only touched does not count."""
    within = [part for part in parts if part.bottom > top + _HAIR and part.top < bottom - _HAIR]
    return min(
        min(part.width(max(part.top, top)), part.width(min(part.bottom, bottom))) for part in within or parts[-1:]
    )


def _lap(main: Bar, length: float) -> float:
    """Return how far bars lap: as in tension, the longer of the usual laps.

    Raises:
        ReckoningError: when the bars are shorter than their lap.
    """
    found = lap(main, "tension, grade 60")
    if found > length:
        raise ReckoningError(
            f"The bars are too short to be lapped: {main.name} laps over {found / main.diameter:.0f} diameters."
        )
    return found


def _hoops(top: float, bottom: float, steel: Steel) -> tuple[float, ...]:
    """Return the depths of the hoops, evenly between the first and the last."""
    count = ties_along(bottom - top, first=steel.first, spacing=steel.spacing)
    if count == 1:
        return ((top + bottom) / 2,)
    step = (bottom - top - 2 * steel.first) / (count - 1)
    return tuple(top + steel.first + k * step for k in range(count))


def cage_pieces(shape: CageShape, steel: Steel) -> Cage:
    """Return what is cut for one pier.

    Raises:
        ReckoningError: when a piece cannot be bent, or there are too many.
    """
    hooks = () if shape.hook is None else (shape.hook,)
    length, count = shape.bottom - shape.top, steel.bars
    kinds: list[Pieces] = []
    if not steel.lapped:
        kinds.append(uprights(shape.bar, count=count, length=shape.bottom - shape.head, hooks=hooks))
    elif steel.stands_out > 0:
        kinds.append(uprights(shape.bar, count=count, length=length, hooks=hooks))
        kinds.append(pieces("starter", shape.bar, count=count, cut=shape.top + shape.lap - shape.head))
    else:
        half = (length + shape.lap) / 2
        kinds.append(uprights(shape.bar, count=count, length=half, hooks=hooks))
        kinds.append(pieces("upper bar", shape.bar, count=count, cut=half))
    if shape.tie is not None:
        cut = round_hoop(shape.hoop_width, shape.tie)
        kinds.append(pieces("hoop", shape.tie, count=len(shape.hoops), cut=cut))
    return Cage(tuple(kinds))


def section_bars(shape: CageShape, steel: Steel) -> tuple[SectionBar, ...]:
    """Return the bars as they are seen from the side, from the left; the first of them stands outermost."""
    half = (shape.bottom - shape.top + shape.lap) / 2
    found = []
    for k in range(steel.bars):
        turn = math.pi - 2 * math.pi * k / steel.bars
        across = shape.radius * math.cos(turn) + 0.0
        out = math.cos(turn) if shape.outward else -math.cos(turn)
        d, side = shape.bar.diameter, shape.reach * out + 0.0  # never minus nothing
        beside = shape.radius * math.cos(turn - (d / shape.radius if shape.radius > d else 0.0))
        if not steel.lapped:
            found.append(SectionBar(across, shape.head, shape.bottom, d, side))
        elif steel.stands_out > 0:
            found.append(SectionBar(across, shape.top, shape.bottom, d, side))
            found.append(SectionBar(beside, shape.head, shape.top + shape.lap, d, 0.0))
        else:
            found.append(SectionBar(across, shape.bottom - half, shape.bottom, d, side))
            found.append(SectionBar(beside, shape.top, shape.top + half, d, 0.0))
    return tuple(sorted(found, key=lambda one: one.across))


@dataclass(frozen=True, slots=True)
class Cover:
    """How much concrete covers a cage; None where there is no concrete of the kind.

    Attributes:
        earth: beside it where concrete is cast against the ground.
        formed: beside it in a form, and above the ground.
        top: over the bars; 0 where they stand out.
        bottom: under them.
    """

    earth: float | None
    formed: float | None
    top: float
    bottom: float

    @property
    def beside(self) -> float:
        """Return the least beside the cage."""
        return min(one for one in (self.earth, self.formed) if one is not None)


def cover_of(detail: Detail, steel: Steel, shape: CageShape, parts: Sequence[Part]) -> Cover:
    """Return how much concrete covers a cage as it comes out; bars and hoops, the hooks apart."""
    edge = formed_to(detail, parts[-1].bottom)
    upper = parts[0].top if steel.stands_out > 0 else shape.top
    earth: list[float] = []
    formed: list[float] = []
    for part in parts:
        above, below = max(part.top, upper), min(part.bottom, shape.bottom)
        if below > above:
            cover = min(part.width(above), part.width(below)) / 2 - shape.rim
            (earth if above >= edge - _HAIR else formed).append(cover)
    through = steel.stands_out > 0 and not steel.lapped
    return Cover(
        min(earth, default=None),
        min(formed, default=None),
        0.0 if through else steel.cover_ends,
        steel.cover_ends,
    )
