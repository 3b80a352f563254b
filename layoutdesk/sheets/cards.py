"""Helper cards: one for each pier, four to a page, to cut out and hand to whoever sets the stake."""

from __future__ import annotations

from typing import Final

from layoutdesk.engine.layout import Flag, Layout, PierVolume, Stake
from layoutdesk.geometry.vector import Vector, plus
from layoutdesk.plan.model import Plan
from layoutdesk.sheets.baseline_words import zero_point
from layoutdesk.sheets.camera import Camera, fitted_camera, page_right, work_places
from layoutdesk.sheets.flag_words import SIGN, errors_by_piece
from layoutdesk.sheets.frame import Draft
from layoutdesk.sheets.lettering import fitted, measure_width, paragraph_height, text_width
from layoutdesk.sheets.marks import Circle, Line, Mark, Measure, Paragraph, Stamp, Stencil, StencilMark, Text
from layoutdesk.sheets.numbers import parts, plan_text, said, within_parts
from layoutdesk.sheets.paper import MARGIN, Box
from layoutdesk.sheets.scene import Scene
from layoutdesk.sheets.stake_sheet import expected_within, no_tapes
from layoutdesk.sheets.table import tick_box

SECTION: Final = "Helper cards"
_PER_PAGE: Final = 4
_CUT: Final = 5.0
"""Free paper between a card and the cut, in millimetres."""

# Heights are millimetres from the top of a card of the least height (first block), or from its bottom (second).
_LEAST_HEIGHT: Final = 121.7
_LOCATOR: Final = (46.0, 35.0)
_HEAD_LINE: Final = 38.0
_STATION: Final = 50.0
_OFFSET: Final = 67.0
_TAPES: Final = 87.5
_UNDER_FIGURE: Final = 4.8

_HOLE_LINE: Final = 24.5
_HOLE: Final = 18.3
_TICKS: Final = 9.6
_FOOT_LINE: Final = 7.2
_JOB: Final = 3.9
_WARNING: Final = 0.7

_MARK_SIZE: Final = 60.0
_LONG_SIZE: Final = 22.0
"""A name that would have to be smaller than this on one line is set in several."""
_FIGURE_SIZE: Final = 34.0
_TAPE_SIZE: Final = 26.0
_HOLE_SIZE: Final = 15.0
_WITHIN_SIZE: Final = 9.0
_CAPTIONS: Final = 27.0
"""Room for what a figure is called, to the left of it."""


def card_sheets(layout: Layout, size: Vector) -> list[Draft]:
    """Return the pages of helper cards, without the frame of other sheets: each card carries its own."""
    card = _Card(layout, size)
    stakes, volumes = layout.stakes, layout.concrete.piers
    drafts: list[Draft] = []
    for first in range(0, len(stakes), _PER_PAGE):
        marks: list[Mark] = [Stamp((0.0, 0.0), card.cuts)]
        on_page = [stakes[i] for i in range(first, min(first + _PER_PAGE, len(stakes)))]
        for stake, volume, at in zip(on_page, volumes[first:], card.places, strict=False):
            marks += card.marks(stake, volume, at)
        name = f"{on_page[0].label} to {on_page[-1].label}" if len(on_page) > 1 else on_page[0].label
        drafts.append(Draft(SECTION, name, SECTION, size, tuple(marks), taped=False, bare=True))
    return drafts


class _Card:
    """Makes the cards of one plan; what all cards share is drawn once."""

    def __init__(self, layout: Layout, size: Vector) -> None:
        self._layout = layout
        self._plan = layout.plan
        self._errors = errors_by_piece(layout)
        (w, h), gap = size, MARGIN + _CUT
        self._box = Box(0.0, 0.0, w / 2 - gap, h / 2 - gap)
        self.places = (
            (MARGIN, h / 2 + _CUT),
            (w / 2 + _CUT, h / 2 + _CUT),
            (MARGIN, MARGIN),
            (w / 2 + _CUT, MARGIN),
        )
        self.cuts = Stencil("cuts", _cut_lines(size))
        # On taller paper the rows of a card lie farther apart.
        stretch = self._box.height / _LEAST_HEIGHT
        self._station, self._offset, self._tape_row = _STATION * stretch, _OFFSET * stretch, _TAPES * stretch
        self._frame = Stencil("card", tuple(self._shared()))
        window = Box(self._box.right - _LOCATOR[0], self._box.top - _LOCATOR[1], self._box.right, self._box.top)
        self._camera = fitted_camera(work_places(layout), page_right(layout), window.inset(4.0))
        self._locator = Stencil("locator", tuple(_locator(layout, self._camera, window)))

    def marks(self, stake: Stake, volume: PierVolume, at: Vector) -> list[Mark]:
        """Return the card of one pier with its lower left corner at a place of the page."""
        box, plan = self._box, self._plan
        left, right, top = at[0], at[0] + box.width, at[1] + box.top
        marks: list[Mark] = [
            Stamp(at, self._frame),
            Stamp(at, self._locator),
            Circle(plus(at, self._camera.on_paper(stake.at)), 1.6, ink=None, fill="ink"),
            _name(stake.label, Box(left, top - 30.0, right - _LOCATOR[0] - 3.0, top)),
        ]
        for below, value in ((self._station, stake.station), (self._offset, stake.offset)):
            if value is None:
                marks.append(Text((right, top - below), "no baseline", 15.0, "bold", anchor="end"))
            else:
                figure = parts(plan, value)
                wide = measure_width(figure, _FIGURE_SIZE)
                fit = _FIGURE_SIZE * min(1.0, (box.width - _CAPTIONS) / wide)
                marks.append(Measure((right, top - below), figure, fit, "bold", "ink", "end"))
        if stake.square and stake.square.blocked_by:
            barred, size = fitted(
                f"barred by {stake.square.blocked_by}: use the tapes", box.width * 0.65, 8.0, "bold"
            )
            marks.append(Text((right, top - self._offset - 3.7), barred, size, "bold", anchor="end"))
        if flag := self._errors.get(stake.id):
            room = Box(left, top - _HEAD_LINE + 0.5, right - _LOCATOR[0] - 3.0, top - 31.8)
            marks.append(_wrong(flag, room))
        marks += self._tapes(stake, left, right, top - self._tape_row)
        hole, size = fitted(self._hole(volume), box.width, _HOLE_SIZE, "bold", least=6.0)
        marks.append(Text((left, at[1] + _HOLE), hole, size, "bold"))
        return marks

    def _tapes(self, stake: Stake, left: float, right: float, base: float) -> list[Mark]:
        half = (right - left) / 2
        marks: list[Mark] = []
        if stake.best is None:
            marks.append(Paragraph((left, base + 12.0), right - left, no_tapes(stake), 11.0, "ink", 1.2))
        else:
            ties = (stake.best.first, stake.best.second)
            figures = [parts(self._plan, tie.distance) for tie in ties]
            wide = max(measure_width(figure, _TAPE_SIZE) for figure in figures)
            size = _TAPE_SIZE * min(1.0, (half - 3.0) / wide)
            for tie, figure, end in zip(ties, figures, (left + half - 3.0, right), strict=True):
                caption, caption_size = fitted(f"from {tie.control}", half - 3.0, 12.0, "bold")
                marks.append(Text((end, base + 9.5), caption, caption_size, "bold", anchor="end"))
                marks.append(Measure((end, base), figure, size, "bold", "ink", "end"))
            marks.append(Text((left, base - 5.6), "two tapes cross at the stake", 8.5))
        expected = expected_within(stake)
        if expected is not None:
            figure = within_parts(self._plan, expected)
            before = "best two tapes: within ± " if stake.method == "two tapes" else "best square: within ± "
            size = _WITHIN_SIZE * min(1.0, (half - 1.0) / measure_width(figure, _WITHIN_SIZE, before=before))
            marks.append(Measure((right, base - 5.6), figure, size, "bold", "ink", "end", 0.0, before))
        return marks

    def _hole(self, volume: PierVolume) -> str:
        """Return what to dig; a pier without a detail says so."""
        if volume.depth <= 0:
            return "hole: this pier has no detail"
        return f"hole {hole_text(self._layout.plan, volume)}"

    def _shared(self) -> list[StencilMark]:
        """Return what is the same on every card."""
        box, plan = self._box, self._plan
        zero = zero_point(self._layout)
        marks: list[StencilMark] = [_rule(box, box.top - _HEAD_LINE, 0.8)]
        captions = (
            (self._station, "station", f"from {zero.label} along the baseline" if zero else "along the baseline"),
            (self._offset, "offset", "square out into the yard"),
        )
        for below, name, how in captions:
            base = box.top - below
            marks.append(Text((0.0, base + 4.4), name, 13.0, "bold"))
            marks.append(Paragraph((0.0, base + 3.5), _CAPTIONS - 2.0, how, 7.5, "ink", 1.15))
            marks.append(_rule(box, base - _UNDER_FIGURE, 0.2))
        marks.append(_rule(box, _HOLE_LINE, 0.2))
        for share, word in ((0.0, "staked"), (0.36, "checked"), (0.74, "dug")):
            x = box.width * share
            marks.append(tick_box(x + 2.7, _TICKS + 2.2, 5.2))
            marks.append(Text((x + 7.0, _TICKS + 0.8), word, 11.0))
        marks.append(_rule(box, _FOOT_LINE, 0.2))
        job, size = fitted(f"{plan.title} · {plan_text(plan)}", box.width, 8.0, least=6.5)
        marks.append(Text((0.0, _JOB), job, size))
        warning = "Have buried lines located first. Cover the open hole and mark the cover."
        marks.append(Text((0.0, _WARNING), warning, 7.0, "semibold"))
        return marks


def _name(label: str, room: Box) -> Text | Paragraph:
    """Return what a pier is called, as large as its corner of the card allows; a long name in several lines."""
    shown, size = fitted(label, room.width, _MARK_SIZE, "black", least=_LONG_SIZE)
    if shown == label:
        return Text((room.left, room.bottom + 3.0), label, size, "black")
    longest = max(text_width(word, _LONG_SIZE, "black") for word in label.split() or [label])
    size = _LONG_SIZE * min(1.0, max(0.4, room.width / longest))
    while size > 5.0 and paragraph_height(f"**{label}**", size, room.width, 1.15) > room.height:
        size -= 0.5
    return Paragraph((room.left, room.top), room.width, f"**{label}**", size, "ink", 1.15)


def _wrong(flag: Flag, room: Box) -> Paragraph:
    """Return the red flag of a pier, under its name."""
    text = f"**{SIGN} mend first: {flag.title}**"
    size = 9.0
    while size > 5.0 and paragraph_height(text, size, room.width, 1.1) > room.height:
        size -= 0.5
    return Paragraph((room.left, room.top), room.width, text, size, "ink", 1.1)


def hole_text(plan: Plan, volume: PierVolume) -> str:
    """Return how wide and how deep a hole is, as in ``Ø 1′ 0″, 2′ 8″ deep``; with its widest where it differs."""
    detail = plan.detail(volume.detail)
    top = detail.profile[0][1] if detail and detail.profile else volume.widest
    widest = f", widest {said(plan, volume.widest)}" if volume.widest > top else ""
    return f"Ø {said(plan, top)}{widest}, {said(plan, volume.depth)} deep"


def _rule(box: Box, y: float, width: float) -> Line:
    return Line((0.0, y), (box.width, y), width)


def _cut_lines(size: Vector) -> tuple[StencilMark, ...]:
    w, h = size
    return (
        Line((w / 2, MARGIN), (w / 2, h - MARGIN), 0.2, "soft", (2.0, 1.5)),
        Line((MARGIN, h / 2), (w - MARGIN, h / 2), 0.2, "soft", (2.0, 1.5)),
    )


def _locator(layout: Layout, camera: Camera, window: Box) -> list[StencilMark]:
    """Return the small picture that shows where on the site a pier is."""
    scene = Scene(layout, camera, window, small=True)
    scene.house()
    scene.beam_lines()
    scene.controls()
    scene.piers(names=False)
    scene.names((7.0, 6.0))
    return [mark for mark in scene.marks if not isinstance(mark, Stamp)]
