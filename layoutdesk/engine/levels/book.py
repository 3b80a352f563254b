"""The level book worked out: heights carried forward as on paper, checked, and the misclosures spread."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from itertools import combinations
from typing import Final

from layoutdesk.engine.levels import book_words as words
from layoutdesk.engine.levels.book_ground import by_ground
from layoutdesk.engine.levels.book_lines import Booked, carried_forward, rows_by_setup
from layoutdesk.engine.levels.book_loops import Closing, closed_ways, told_together
from layoutdesk.engine.levels.book_page import page_check
from layoutdesk.engine.levels.book_points import BookPoint, book_points
from layoutdesk.engine.levels.book_slips import Suspect, by_loops, by_rod
from layoutdesk.engine.levels.book_spread import Spread, deviations, spread
from layoutdesk.engine.levels.entries import SURE_95, BookRow, LevelBook, LevelLoop, LevelPoint
from layoutdesk.geometry.vector import distance
from layoutdesk.plan.model import Plan, Reading, SetupMethod

SAME_PLACE_MM: Final = 1.0
SAME_HEIGHT_MM: Final = 1e-6


def level_book(plan: Plan) -> LevelBook | None:
    """Return the level book of a plan; None when nothing was booked and there is no benchmark."""
    levels = plan.levels
    if not levels.readings and not levels.benchmarks:
        return None
    points = book_points(plan)
    booked = carried_forward(levels.readings, points)
    ways = list(closed_ways(levels.readings, points, booked))
    heights = spread(levels.readings, points, booked, deviations(plan))
    check = page_check(levels.readings, points, booked)
    loops = tuple(_loop(closing, points, plan) for closing in told_together(ways, points))
    page_trouble = [words.page_sentence(check, plan)] if check is not None and not check.holds else []
    slips = {row: words.slip_sentence(s, points, plan) for row, s in _slips(plan, points, booked, ways).items()}
    row_trouble = dict(_row_trouble(plan, points)) | slips
    return LevelBook(
        rows=_rows(plan, points, booked, heights, row_trouble),
        points=_points(levels.readings, points, heights),
        loops=loops,
        back_sum=None if check is None else check.back_sum,
        fore_sum=None if check is None else check.fore_sum,
        check_start=None if check is None else check.start,
        check_end=None if check is None else check.end,
        check_holds=None if check is None else check.holds,
        troubles=(
            *_loose(plan, points, booked),
            *(loop.says for loop in loops if not loop.closes),
            *_same_places(plan, points),
            *_typed_and_read(plan, heights),
            *page_trouble,
            *row_trouble.values(),
        ),
    )


def _loop(closing: Closing, points: Mapping[str, BookPoint], plan: Plan) -> LevelLoop:
    allowable = closing.allowable(plan.levels.settings.misclosure)
    return LevelLoop(
        setups=closing.setups,
        start=closing.start,
        end=closing.end,
        misclosure=closing.misclosure,
        allowable=allowable,
        closes=abs(closing.misclosure) <= allowable,
        says=words.loop_sentence(closing, allowable, points, plan),
    )


def _slips(
    plan: Plan, points: Mapping[str, BookPoint], booked: Booked, ways: Sequence[Closing]
) -> dict[int, Suspect]:
    """Return the readings that were probably typed in another unit, by their rows."""
    found = {suspect.row: suspect for suspect in by_loops(plan, ways)}
    readings = list(plan.levels.readings)
    if found:  # the ground is looked at as it lies once those are mended
        for row, suspect in found.items():
            readings[row] = replace(readings[row], reading=suspect.likely)
        booked = carried_forward(readings, points)
    for suspect in by_ground(readings, points, booked, plan.units):
        found.setdefault(suspect.row, suspect)
    return found | {suspect.row: suspect for suspect in by_rod(plan, found)}


def _rows(
    plan: Plan, points: Mapping[str, BookPoint], booked: Booked, heights: Spread, trouble: Mapping[int, str]
) -> tuple[BookRow, ...]:
    methods: dict[int, SetupMethod] = {setup.setup: setup.method for setup in plan.levels.setups}
    return tuple(
        BookRow(
            index=row,
            setup=reading.setup,
            method=methods.get(reading.setup, "level"),
            point=reading.point,
            label=points[reading.point].label,
            kind=reading.kind,
            reading=reading.reading,
            height_of_line=booked.line[reading.setup] if booked.fixed_by.get(reading.setup) == row else None,
            booked=booked.of(reading),
            adjusted=heights.elevation.get(reading.point) if reading.setup in booked.line else None,
            trouble=trouble.get(row),
        )
        for row, reading in enumerate(plan.levels.readings)
    )


def _points(
    readings: Sequence[Reading], points: Mapping[str, BookPoint], heights: Spread
) -> tuple[LevelPoint, ...]:
    counts: dict[str, int] = {}
    for reading in readings:
        counts[reading.point] = counts.get(reading.point, 0) + 1
    return tuple(
        LevelPoint(
            id=point.id,
            label=point.label,
            role=point.role,
            elevation=heights.elevation.get(point.id),
            within=SURE_95 * heights.deviation.get(point.id, float("nan")),
            readings=counts.get(point.id, 0),
            at=point.at,
        )
        for point in points.values()
    )


def _loose(plan: Plan, points: Mapping[str, BookPoint], booked: Booked) -> Iterator[str]:
    """Yield what is wrong with setups: that they hang on nothing, or have no backsight."""
    readings = plan.levels.readings
    for setup, rows in rows_by_setup(readings).items():
        back = any(readings[row].kind == "back" for row in rows)
        if setup not in booked.line:
            names = list(dict.fromkeys(points[readings[row].point].label for row in rows))
            yield words.loose_sentence(setup, names, benchmarks=bool(plan.levels.benchmarks))
        elif not back:
            yield words.no_back_sentence(setup, points[readings[booked.fixed_by[setup]].point].label)


def _row_trouble(plan: Plan, points: Mapping[str, BookPoint]) -> Iterator[tuple[int, str]]:
    """Yield the rows that read a point again from the same setup with another reading; a closing shot is a loop."""
    first: dict[tuple[int, str, str], Reading] = {}
    for row, reading in enumerate(plan.levels.readings):
        before = first.setdefault((reading.setup, reading.point, reading.kind), reading)
        if abs(before.reading - reading.reading) > plan.levels.settings.misclosure:
            yield row, words.twice_sentence(points[reading.point].label, before, reading, plan)


def _typed_and_read(plan: Plan, heights: Spread) -> Iterator[str]:
    """Yield the spots whose height is typed otherwise than it was read."""
    most = plan.levels.settings.misclosure
    for spot in plan.spots:
        read = heights.elevation.get(spot.id)
        if spot.elevation is not None and read is not None and abs(spot.elevation - read) > most:
            yield words.typed_sentence(spot.id, spot.elevation, read, plan)


def _same_places(plan: Plan, points: Mapping[str, BookPoint]) -> Iterator[str]:
    """Yield the pairs of benchmarks that lie at one place and have different heights."""
    marks = [points[mark.id] for mark in plan.levels.benchmarks]
    for one, other in combinations((mark for mark in marks if mark.at is not None), 2):
        assert one.at is not None
        assert other.at is not None
        assert one.fixed is not None
        assert other.fixed is not None
        apart = abs(one.fixed - other.fixed) > SAME_HEIGHT_MM
        if apart and distance(one.at, other.at) <= SAME_PLACE_MM:
            yield words.two_heights_sentence(one, other, plan)
