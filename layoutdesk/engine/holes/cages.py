"""The cage of a detail: bars and hoops as seen from the side, what is cut, and what is good or bad about it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from functools import lru_cache
from typing import Final, Literal, TypeAlias

from layoutdesk.engine.concrete.sections import Part
from layoutdesk.engine.holes.cage_shape import (
    CageShape,
    Cover,
    cage_pieces,
    cage_shape,
    cover_of,
    room_for_hooks,
    section_bars,
)
from layoutdesk.engine.holes.entries import SectionBar
from layoutdesk.engine.holes.section import pier_parts
from layoutdesk.engine.reckoning import ReckoningError
from layoutdesk.engine.steel.cage import Cage, cage_sentences
from layoutdesk.engine.steel.circle import Against, circle_sentence, cover_sentence, least_cover
from layoutdesk.engine.steel.hoops import greatest_spacing, least_tie, tie_code, tie_is_thick_enough
from layoutdesk.engine.steel.sizes import Bar
from layoutdesk.plan.holes import Steel
from layoutdesk.plan.model import Detail
from layoutdesk.units import Units, format_small

About: TypeAlias = Literal["bars", "cover", "hoop spacing", "hoop size", "hooks", "post"]

_MOST: Final = 512
"""So many cages are kept: a screen asks for the same ones again and again."""


@dataclass(frozen=True, slots=True)
class CageCheck:
    """One thing that was looked at, whether it is good, and a sentence that says so with its numbers."""

    about: About
    good: bool
    says: str


@dataclass(frozen=True, slots=True)
class CageFound:
    """The cage of one pier, ready to be drawn and bought.

    Attributes:
        cage: what is cut; empty without steel, and where it cannot be reckoned.
        bars: as they are seen from the side, from the left.
        hoops: their depths, from the top.
        hoop_width: out to out; 0 without hoops.
        hoop_diameter: of the bar they are bent from; 0 without hoops.
        cover: (beside, at the top, at the bottom) as it comes out, 0 at the top where bars stand out; None without
            steel.
        pieces_say: a sentence for each kind of piece that is cut, and one for the mass of all.
        trouble: why it cannot be reckoned, one sentence; empty.
        checks: what was looked at, one by one.
    """

    cage: Cage = field(default_factory=lambda: Cage(()))
    bars: tuple[SectionBar, ...] = ()
    hoops: tuple[float, ...] = ()
    hoop_width: float = 0.0
    hoop_diameter: float = 0.0
    cover: tuple[float, float, float] | None = None
    pieces_say: tuple[str, ...] = ()
    trouble: str = ""
    checks: tuple[CageCheck, ...] = ()


NO_CAGE: Final = CageFound()


def cage_of(
    detail: Detail, *, units: Units, rounding: float, depth: float | None = None, reveal: float | None = None
) -> CageFound:
    """Return the cage of a pier that is built to a detail.

    Args:
        detail: with its steel, or without.
        units: of the plan, for sentences and for the round figures of the code.
        rounding: the step in mm to which lengths are written.
        depth: of its hole, in mm; None as drawn.
        reveal: of its top above the ground, in mm; None as drawn.
    """
    return NO_CAGE if detail.steel is None else _found(detail, units, rounding, depth, reveal)


@lru_cache(maxsize=_MOST)
def _found(detail: Detail, units: Units, rounding: float, depth: float | None, reveal: float | None) -> CageFound:
    steel = detail.steel
    assert steel is not None
    try:
        parts = pier_parts(detail, depth, reveal)
        shape = cage_shape(steel, parts)
        cage = cage_pieces(shape, steel)
        cover = cover_of(detail, steel, shape, parts)
        checks = tuple(_Words(detail, steel, shape, parts, units, rounding).checks(cover))
    except ReckoningError as trouble:
        return CageFound(trouble=str(trouble))
    return CageFound(
        cage=cage,
        bars=section_bars(shape, steel),
        hoops=shape.hoops,
        hoop_width=shape.hoop_width,
        hoop_diameter=0.0 if shape.tie is None else shape.tie.diameter,
        cover=(cover.beside, cover.top, cover.bottom),
        pieces_say=cage_sentences(cage, units=units, rounding=rounding),
        checks=checks,
    )


@dataclass(frozen=True, slots=True)
class _Words:
    """What is looked at in a cage, and the sentences about it."""

    detail: Detail
    steel: Steel
    shape: CageShape
    parts: Sequence[Part]
    units: Units
    rounding: float

    def checks(self, cover: Cover) -> Iterator[CageCheck]:
        """Yield what was looked at."""
        circle = self.shape.circle
        words = circle_sentence(circle, self.shape.bar, units=self.units, rounding=self.rounding)
        yield CageCheck("bars", circle.fits, words)
        yield from self._covers(cover)
        if self.shape.hook is not None:
            yield self._hooks()
        if self.shape.tie is not None:
            yield self._spacing()
            yield self._size()
        if self.detail.cast_in is not None and self.detail.cast_in.kind == "post":
            yield self._post()
        if self.shape.lap:
            yield CageCheck("bars", good=True, says=self._lap())

    def _covers(self, cover: Cover) -> Iterator[CageCheck]:
        outermost = self.shape.tie or self.shape.bar
        found: list[tuple[float | None, Against, str]] = [
            (cover.earth, "earth", "Beside the steel in the ground: "),
            (cover.formed, "formed", "Beside the steel in the form: "),
            (cover.bottom, "earth", "Under the bars: "),
        ]
        if not self._stands_through:
            found.append((cover.top, "formed", "Over the bars: "))
        for has, against, where in found:
            if has is None:
                continue
            words = cover_sentence(has, outermost, against=against, units=self.units, rounding=self.rounding)
            good = has >= self._least(outermost, against)
            if good and against == "formed" and cover.earth is not None and has >= self._least(outermost, "earth"):
                continue  # it would be enough against the ground, of which another sentence tells
            yield CageCheck("cover", good, where + words[:1].lower() + words[1:])

    def _least(self, outermost: Bar, against: Against) -> float:
        """Return the least cover, less what is lost where it is written."""
        return least_cover(outermost, against=against, units=self.units) - self.rounding / 2

    @property
    def _stands_through(self) -> bool:
        return self.steel.stands_out > 0 and not self.steel.lapped

    def _hooks(self) -> CageCheck:
        shape = self.shape
        has = room_for_hooks(shape, self.parts) - shape.hook_tip
        reach = f"Hooks of {self.steel.hook}° reach {self._mm(shape.reach)} out of their bars"
        least = self._mm(self.steel.cover)
        if has >= self.steel.cover - self.rounding / 2:
            way = "outwards" if shape.outward else "inwards"
            return CageCheck(
                "hooks", good=True, says=f"{reach}; turned {way} they keep a cover of {self._mm(has)}."
            )
        left = f"leave a cover of only {self._mm(has)}" if has > 0 else "do not fit into the pier"
        return CageCheck("hooks", good=False, says=f"{reach}, and {left} where {least} is asked.")

    def _spacing(self) -> CageCheck:
        shape = self.shape
        assert shape.tie is not None
        most, code = greatest_spacing(shape.bar, shape.tie, shape.narrowest), tie_code(shape.bar)
        count = "1 hoop stands" if len(shape.hoops) == 1 else f"{len(shape.hoops)} hoops stand"
        end = max(shape.hoops[0] - shape.top, shape.bottom - shape.hoops[-1])
        apart = max(shape.spacing, end)
        where = f"{self._mm(shape.spacing)} apart" if len(shape.hoops) > 1 else "midway"
        ends = f"and up to {self._mm(end)} from the ends of the bars"
        good = apart <= most + self.rounding / 2
        joined = "; " if good else ", and "
        return CageCheck(
            "hoop spacing", good, f"{count} {where} {ends}{joined}{self._mm(most)} is the most ({code})."
        )

    def _size(self) -> CageCheck:
        shape = self.shape
        assert shape.tie is not None
        code, least = tie_code(shape.bar), self._mm(least_tie(shape.bar))
        if tie_is_thick_enough(shape.bar, shape.tie):
            return CageCheck(
                "hoop size",
                good=True,
                says=f"Hoops {shape.tie.name} are thick enough for {shape.bar.name} ({code}).",
            )
        return CageCheck(
            "hoop size",
            good=False,
            says=f"Hoops {shape.tie.name} are too thin for {shape.bar.name}: {least} is the least ({code}).",
        )

    def _post(self) -> CageCheck:
        cast_in, shape = self.detail.cast_in, self.shape
        assert cast_in is not None
        across = (cast_in.width**2 + cast_in.depth**2) ** 0.5
        inside = max(0.0, 2 * shape.radius - shape.bar.diameter)
        top = self.parts[0].top
        words = f"The post is {self._mm(across)} across its corners and the bars stand {self._mm(inside)} clear"
        if top + cast_in.foot <= shape.top or across <= inside:
            return CageCheck("post", good=True, says=f"{words} inside: it goes down between them.")
        return CageCheck("post", good=False, says=f"{words} inside: it does not go down between them.")

    def _lap(self) -> str:
        which = "Starters lap with the bars" if self.steel.stands_out > 0 else "Bars are lapped in the middle"
        by = self.shape.lap / self.shape.bar.diameter
        return (
            f"{which} over {self._mm(self.shape.lap)}, {by:.0f} diameters (International Residential Code, table"
            " R608.5.4(1), the longest of it); the designer may ask for another length."
        )

    def _mm(self, value: float) -> str:
        return format_small(value, self.units, self.rounding)
