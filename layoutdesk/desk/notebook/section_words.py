"""The words beside a section: depths at its left, widths, steel and cover at its right."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

from layoutdesk.desk.notebook.lengths import LengthText
from layoutdesk.plan.model import Detail

if TYPE_CHECKING:
    from layoutdesk.engine.layout import Section

Ink = Literal["ink", "soft", "check"]


@dataclass(frozen=True, slots=True)
class Callout:
    """Words about a place of the section: its distance from the axis and its depth, in mm."""

    across: float
    depth: float
    text: str
    ink: Ink = "ink"


def depth_words(section: Section, text: LengthText) -> list[Callout]:
    """Return what begins or ends at which depth, from the top down; what lies at one depth in one line."""
    told: dict[float, list[str]] = {}

    def tell(depth: float, what: str) -> None:
        names = told.setdefault(depth, [])
        if what and what not in names:
            names.append(what)

    tell(section.top, "top")
    tell(0.0, "ground")
    for part in section.parts:
        if 0 < part.bottom < section.bottom:
            tell(part.bottom, "")
    if section.tube:
        tell(section.tube[1], "tube")
    if section.cast_in:
        tell(section.cast_in[1], section.cast_in[3])
    tell(section.bottom, "")
    return [
        Callout(-half_at(section, depth), depth, _depth(depth, names, text), "ink" if depth else "soft")
        for depth, names in sorted(told.items())
    ]


def _depth(depth: float, names: list[str], text: LengthText) -> str:
    name = ", ".join(names)
    if depth == 0:
        return name
    number = f"{'↑' if depth < 0 else '↓'} {text.held(abs(depth))}"
    return f"{name} {number}" if name else number


def width_words(section: Section, detail: Detail, text: LengthText) -> list[Callout]:
    """Return widths, what is cast in, steel and its cover, from the top down."""
    found = [*_widths(section, text), *_cast_in(section, detail, text), *_steel(section, detail, text)]
    return sorted(found, key=lambda callout: callout.depth)


def half_at(section: Section, depth: float) -> float:
    """Return half the width of the concrete at a depth, the wider one at a step; nothing where there is none."""
    return max((p.width(depth) / 2 for p in section.parts if p.top <= depth <= p.bottom), default=0.0)


def _widths(section: Section, text: LengthText) -> Iterator[Callout]:
    """Yield the widths: once for what is straight, at both ends of what is not."""
    last: tuple[float, str] | None = None
    for part in section.parts:
        ends = ((part.top, part.upper), (part.bottom, part.lower))
        straight = part.upper == part.lower
        for depth, width in ends:
            if last == (width, part.shape):
                continue
            last = (width, part.shape)
            at = (part.top + part.bottom) / 2 if straight else depth
            yield Callout(width / 2, at, width_text(width, part.shape, text))


def width_text(width: float, shape: str, text: LengthText) -> str:
    """Return a width with the sign of its shape."""
    return f"□ {text.held(width)}" if shape == "square" else f"Ø {text.held(width)}"


def _cast_in(section: Section, detail: Detail, text: LengthText) -> Iterator[Callout]:
    if section.cast_in is None or detail.cast_in is None:
        return
    top, bottom, width, kind = section.cast_in
    sides = text.held(width)
    if detail.cast_in.depth != detail.cast_in.width:
        sides += f" × {text.held(detail.cast_in.depth)}"
    yield Callout(width / 2, top + (bottom - top) * 0.5, f"{kind} {sides}")


def _steel(section: Section, detail: Detail, text: LengthText) -> Iterator[Callout]:
    steel, cover = detail.steel, section.cover
    if steel is None or cover is None or not section.bars:
        return
    outer = max(section.bars, key=lambda bar: bar.across)
    length = outer.bottom - outer.top
    lapped = ", lapped" if steel.lapped else ""
    yield Callout(outer.across, outer.top + length * 0.36, f"{steel.bars} × {steel.bar}{lapped}")
    edge = max(section.hoop_width / 2, outer.across + outer.diameter / 2)
    yield Callout(edge + cover[0] / 2, beside(section), f"cover {text.held(cover[0])}", "check")
    if outer.top >= section.top:
        yield Callout(outer.across, (section.top + outer.top) / 2, f"cover {text.held(cover[1])}", "check")
    else:
        yield Callout(outer.across, outer.top, f"stands out {text.held(section.top - outer.top)}")
    yield Callout(outer.across, (outer.bottom + section.bottom) / 2, f"cover {text.held(cover[2])}", "check")
    if section.hoops:
        count = len(section.hoops)
        at = section.hoops[count // 2]
        hoops = f"{count} {'hoop' if count == 1 else 'hoops'} {steel.hoop}"
        yield Callout(section.hoop_width / 2, at, hoops)
        if count > 1:
            apart = section.hoops[1] - section.hoops[0]
            yield Callout(
                section.hoop_width / 2, (at + section.hoops[count // 2 - 1]) / 2, f"{text.held(apart)} apart"
            )


def beside(section: Section) -> float:
    """Return the depth at which the cover beside the steel is dimensioned: where the pier is narrowest round it."""
    outer = max(section.bars, key=lambda bar: bar.across)
    low, high = max(outer.top, section.top), outer.bottom
    places = [low + (high - low) * k / 16 for k in range(17)]
    edge = min(half_at(section, z) for z in places)
    good = [z for z in places if half_at(section, z) <= edge + 1e-6]
    return good[len(good) * 3 // 4]
