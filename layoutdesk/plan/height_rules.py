"""What benchmarks, readings and the rules for heights may say: shared by the file reader and the edits.

A reading that no rod can show, such as millimetres typed as metres, is no broken rule: the level book says what it
probably was.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from layoutdesk.plan.heights import (
    Benchmark,
    ColumnRule,
    HeightSettings,
    LineHeights,
    PierHeights,
    Reading,
    Setup,
    SpotHeight,
)
from layoutdesk.plan.model import Plan
from layoutdesk.plan.rules import wrong_name, wrong_number, wrong_place

LEAST_DEVIATION_MM: Final = 0.01
MOST_DEVIATION_MM: Final = 1000.0
"""The least and the most that one standard deviation of a reading, or a misclosure, may be."""
STEEPEST: Final = 1.0
"""No beam falls more than it is long."""
WIDEST_COLUMN_MM: Final = 2000.0
LONGEST_COLUMN_MM: Final = 50_000.0
"""The most of a length that belongs to a column: its stock, its margin, its stand-off."""
DEEPEST_FROST_MM: Final = 10_000.0
MOST_STOCK: Final = 100
HEAVIEST_LINE: Final = 1000.0
"""Grams per metre of a mason's line, and newtons of its pull."""
WIDEST_GAP_MM: Final = 1000.0
LEAST_CONTOUR_MM: Final = 1.0
MOST_EXAGGERATION: Final = 100.0
MOST_SETUP: Final = 1_000_000
MOST_SETUPS: Final = 1000
MOST_READINGS: Final = 20_000
"""More setups and readings than this are no level book of one job."""

Wrong = tuple[str, str]
"""The field that is wrong, and the rest of a sentence about it."""

_CALLED: Final = {
    "at": "place",
    "line_mass": "weight of the line",
    "line_pull": "pull on the line",
    "line_gap": "gap between crossing strings",
    "board_clear": "distance of the boards from the digging",
    "frost": "frost depth",
    "contour": "step of the contours",
    "pier_top": "height of the pier tops",
    "foot": "stand-off of the column",
    "cap": "height of the cap",
    "margin": "margin for the last cut",
    "kerf": "width of the saw cut",
    "stock": "stock lengths",
    "support": "height of the supports",
    "seat": "seat of the beam",
    "fall": "fall of the beam",
    "string": "height of the string",
}


def called(field: str) -> str:
    """Return what a sentence calls a field, without an article."""
    return _CALLED.get(field, field.replace("_", " "))


def wrong_benchmark(mark: Benchmark) -> Wrong | None:
    """Return what is wrong with a benchmark by itself."""
    if trouble := wrong_name(mark.id):
        return "id", trouble
    if trouble := wrong_number(mark.elevation):
        return "elevation", trouble
    if mark.at is not None and (trouble := wrong_place(mark.at)):
        return "at", trouble
    return None


def wrong_reading(reading: Reading) -> Wrong | None:
    """Return what is wrong with a reading by itself; its point may be called anything."""
    if trouble := wrong_name(reading.point):
        return "point", trouble
    if trouble := wrong_number(reading.reading):
        return "reading", trouble
    return _wrong_setup_number(reading.setup)


def wrong_setup(setup: Setup) -> Wrong | None:
    """Return what is wrong with what is said of a setup."""
    if wrong := _wrong_setup_number(setup.setup):
        return wrong
    return None if setup.deviation is None else _between("deviation", setup.deviation, *_DEVIATIONS)


def wrong_spot(spot: SpotHeight) -> Wrong | None:
    """Return what is wrong with a spot by itself, its id and its place apart."""
    return _numbers(spot, "elevation")


def wrong_line_heights(line: LineHeights) -> Wrong | None:
    """Return what is wrong with the heights of a beam line; whether there is such a line is asked elsewhere."""
    if wrong := _numbers(line, "seat", "pier_top", "string"):
        return wrong
    if not -STEEPEST <= line.fall <= STEEPEST:
        return "fall", "must be a slope from -1 to 1; 1/48 falls 1/4 in in a foot"
    return None


def wrong_pier_heights(pier: PierHeights) -> Wrong | None:
    """Return what is wrong with the heights of a pier; whether there is such a pier is asked elsewhere."""
    return _numbers(pier, "ground", "top", "support")


def wrong_columns(columns: ColumnRule) -> Wrong | None:
    """Return what is wrong with the rule for columns."""
    for field in ("width", "depth"):
        if not 0 < getattr(columns, field) <= WIDEST_COLUMN_MM:
            return field, f"must be more than 0 and at most {WIDEST_COLUMN_MM:g} mm"
    for field, least in (
        ("foot", -LONGEST_COLUMN_MM),
        ("cap", 0.0),
        ("margin", 0.0),
        ("support", -LONGEST_COLUMN_MM),
    ):
        if wrong := _between(field, getattr(columns, field), least, LONGEST_COLUMN_MM):
            return wrong
    if wrong := _between("kerf", columns.kerf, 0.0, WIDEST_GAP_MM):
        return wrong
    if len(columns.stock) > MOST_STOCK:
        return "stock", f"has more than {MOST_STOCK} lengths"
    for n, length in enumerate(columns.stock):
        if not 0 < length <= LONGEST_COLUMN_MM:
            return f"stock[{n}]", f"must be more than 0 and at most {LONGEST_COLUMN_MM:g} mm"
    return None


def wrong_heights(settings: HeightSettings) -> Wrong | None:
    """Return what is wrong with how heights are judged and drawn."""
    if settings.frost is not None and (wrong := _between("frost", settings.frost, 0.0, DEEPEST_FROST_MM)):
        return wrong
    if settings.contour is not None and (
        wrong := _between("contour", settings.contour, LEAST_CONTOUR_MM, DEEPEST_FROST_MM)
    ):
        return wrong
    for field, value, least, most in (
        ("deviation", settings.deviation, *_DEVIATIONS),
        ("misclosure", settings.misclosure, *_DEVIATIONS),
        ("board_clear", settings.board_clear, 0.0, LONGEST_COLUMN_MM),
        ("line_mass", settings.line_mass, 0.0, HEAVIEST_LINE),
        ("line_pull", settings.line_pull, 1e-3, HEAVIEST_LINE),
        ("line_gap", settings.line_gap, 0.0, WIDEST_GAP_MM),
        ("exaggeration", settings.exaggeration, 1.0, MOST_EXAGGERATION),
    ):
        if wrong := _between(field, value, least, most):
            return wrong
    return None


def wrong_levels(plan: Plan) -> Iterator[Wrong]:
    """Yield what is wrong with the heights of a plan: a place in the file, and the rest of a sentence."""
    levels = plan.levels
    for key, count, most in (
        ("readings", len(levels.readings), MOST_READINGS),
        ("readings", len({reading.setup for reading in levels.readings}), MOST_SETUPS),
    ):
        if count > most:
            yield f"levels.{key}", f"has more than {most} {'readings' if most == MOST_READINGS else 'setups'}"
    seen: dict[object, str] = {}
    for index, mark in enumerate(levels.benchmarks):
        yield from _at(f"levels.benchmarks[{index}]", wrong_benchmark(mark))
        yield from _once(f"levels.benchmarks[{index}].id", mark.id, mark.id, seen)
    for index, reading in enumerate(levels.readings):
        yield from _at(f"levels.readings[{index}]", wrong_reading(reading))
    seen = {}
    for index, setup in enumerate(levels.setups):
        yield from _at(f"levels.setups[{index}]", wrong_setup(setup))
        yield from _once(f"levels.setups[{index}].setup", setup.setup, f"setup {setup.setup}", seen)
    yield from _at("levels.columns", wrong_columns(levels.columns))
    yield from _at("levels.settings", wrong_heights(levels.settings))
    for index, spot in enumerate(plan.spots):
        yield from _at(f"spots[{index}]", wrong_spot(spot))
    yield from _wrong_belongings(plan)


def _wrong_belongings(plan: Plan) -> Iterator[Wrong]:
    """Yield what is wrong with the heights of beam lines and piers, and where there is no such piece."""
    lines, piers = {line.id for line in plan.lines}, {pier.id for pier in plan.piers}
    seen: dict[object, str] = {}
    for index, line in enumerate(plan.levels.lines):
        place = f"levels.lines[{index}]"
        yield from _at(place, wrong_line_heights(line))
        yield from _known(f"{place}.line", line.line, lines, "beam line")
        yield from _once(f"{place}.line", line.line, line.line, seen)
    seen = {}
    for index, pier in enumerate(plan.levels.piers):
        place = f"levels.piers[{index}]"
        yield from _at(place, wrong_pier_heights(pier))
        yield from _known(f"{place}.pier", pier.pier, piers, "pier")
        yield from _once(f"{place}.pier", pier.pier, pier.pier, seen)


def _at(place: str, wrong: Wrong | None) -> Iterator[Wrong]:
    if wrong is not None:
        yield f"{place}.{wrong[0]}", wrong[1]


def _known(place: str, name: str, known: set[str], what: str) -> Iterator[Wrong]:
    if name not in known:
        yield place, f"there is no {what} {name[:40]}" if name.isprintable() else f"names no {what}"


def _once(place: str, key: object, name: str, seen: dict[object, str]) -> Iterator[Wrong]:
    """Yield that something is there twice; ``seen`` holds the place of each."""
    if key in seen:
        yield place, f"{name} is used twice, also at {seen[key]}"
    seen.setdefault(key, place)


_DEVIATIONS: Final = (LEAST_DEVIATION_MM, MOST_DEVIATION_MM)
_UNITS: Final = {"line_mass": " g/m", "line_pull": " N", "exaggeration": ""}


def _wrong_setup_number(setup: int) -> Wrong | None:
    return None if 0 <= setup <= MOST_SETUP else ("setup", "must be a whole number from 0 to 1 000 000")


def _between(field: str, value: float, least: float, most: float) -> Wrong | None:
    """Return that a number is not between two bounds; one that is no number is not."""
    unit = _UNITS.get(field, " mm")
    return None if least <= value <= most else (field, f"must be from {least:g} to {most:g}{unit}")


def _numbers(thing: SpotHeight | LineHeights | PierHeights, *fields: str) -> Wrong | None:
    """Return the first of some fields, None or a number, that is no height."""
    for field in fields:
        value: float | None = getattr(thing, field)
        if value is not None and (trouble := wrong_number(value)):
            return field, trouble
    return None
