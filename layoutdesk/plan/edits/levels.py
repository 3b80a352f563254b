"""The level book: benchmarks, readings and setups."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from typing import Final, TypedDict, Unpack

from layoutdesk.errors import EditError
from layoutdesk.geometry.vector import Vector
from layoutdesk.plan.edits import checks
from layoutdesk.plan.edits.levels_names import BookedNames
from layoutdesk.plan.height_rules import (
    MOST_READINGS,
    MOST_SETUPS,
    Wrong,
    called,
    wrong_benchmark,
    wrong_reading,
    wrong_setup,
)
from layoutdesk.plan.model import SETUP_METHODS, Benchmark, Levels, Plan, Reading, ReadingKind, Setup, SetupMethod

READING_KINDS: Final[tuple[ReadingKind, ...]] = ("back", "fore")


class BenchmarkFields(TypedDict, total=False):
    """What can be said of a benchmark: its elevation, and its place where no piece has its id; mm."""

    elevation: float
    at: Vector | None


class SetupFields(TypedDict, total=False):
    """What can be said of a setup: its method, and a standard deviation of a reading (None: the usual one), mm."""

    method: SetupMethod
    deviation: float | None


def set_benchmark(plan: Plan, mark_id: str, **fields: Unpack[BenchmarkFields]) -> Plan:
    """Give a benchmark its height, or its place; a new one is added, at 0 when no height is said.

    It may have the id of a point of the plan, and then lies there.

    Raises:
        EditError: when its name, its height or its place cannot be.
    """
    name = checks.name(mark_id, "the name of the benchmark")
    levels = plan.levels
    before = next((mark for mark in levels.benchmarks if mark.id == name), None)
    mark = before or Benchmark(id=name, elevation=0.0)
    mark = replace(mark, **fields)
    mark = replace(mark, elevation=float(mark.elevation), at=mark.at and checks.place(mark.at))
    _refuse(wrong_benchmark(mark), f"of the benchmark {name}")
    if mark == before:
        return plan
    new = [mark if b is before else b for b in levels.benchmarks] if before else [*levels.benchmarks, mark]
    return _with(plan, replace(levels, benchmarks=tuple(new)))


def remove_benchmark(plan: Plan, mark_id: str) -> Plan:
    """Take a benchmark away; readings on it stay in the book, as those of a point without a fixed height.

    Raises:
        EditError: when there is no such benchmark.
    """
    left = tuple([mark for mark in plan.levels.benchmarks if mark.id != mark_id])
    if len(left) == len(plan.levels.benchmarks):
        raise EditError(f"there is no benchmark {mark_id[:40]} in this plan")
    return _with(plan, replace(plan.levels, benchmarks=left))


def add_reading(plan: Plan, reading: Reading, *, index: int | None = None) -> Plan:
    """Book a reading, after those that are there, or before the one at ``index``, which counts from 0.

    Its point may be written as an id, as the mark of a pier, with `` top`` or `` support`` behind either; any other
    name is that of a turning point.

    Raises:
        EditError: when the reading cannot be, or when several piers are called as its point.
    """
    return add_readings(plan, [reading], index=index)


def add_readings(plan: Plan, readings: Iterable[Reading], *, index: int | None = None) -> Plan:
    """Book several readings in their order, as :func:`add_reading` does one: those of a table that was pasted.

    Raises:
        EditError: when one of them cannot be, or when the book would be longer than a book can be.
    """
    names = BookedNames(plan)
    new = [sound_reading(reading, names) for reading in readings]
    if not new:
        return plan
    there = plan.levels.readings
    at = len(there) if index is None else index
    if not 0 <= at <= len(there):
        raise EditError(f"there is no reading number {at + 1} to book before")
    book = (*there[:at], *new, *there[at:])
    if len(book) > MOST_READINGS or len({reading.setup for reading in book}) > MOST_SETUPS:
        raise EditError(f"a level book has at most {MOST_READINGS} readings from {MOST_SETUPS} setups")
    return _with(plan, replace(plan.levels, readings=book))


def replace_reading(plan: Plan, index: int, reading: Reading) -> Plan:
    """Book a reading anew, in the place of the one at ``index``, which counts from 0.

    Raises:
        EditError: when there is no such reading, or when the new one cannot be.
    """
    there = plan.levels.readings
    _refuse_unknown(plan, [index])
    sound = sound_reading(reading, BookedNames(plan))
    if sound == there[index]:
        return plan
    return _with(plan, replace(plan.levels, readings=(*there[:index], sound, *there[index + 1 :])))


def remove_readings(plan: Plan, indices: Iterable[int]) -> Plan:
    """Strike out readings by their places in the book, which count from 0.

    Raises:
        EditError: when there is no such reading.
    """
    gone = set(indices)
    _refuse_unknown(plan, gone)
    if not gone:
        return plan
    left = tuple([r for n, r in enumerate(plan.levels.readings) if n not in gone])
    return _with(plan, replace(plan.levels, readings=left))


def set_setup(plan: Plan, number: int, **fields: Unpack[SetupFields]) -> Plan:
    """Say by which method a setup was read, and how exactly; what is not said stays as it is.

    Raises:
        EditError: when the method is unknown, or a number cannot be.
    """
    levels = plan.levels
    before = next((setup for setup in levels.setups if setup.setup == number), None)
    setup = replace(before or Setup(setup=int(number)), **fields)
    deviation = None if setup.deviation is None else float(setup.deviation)
    method = checks.one_of(setup.method, SETUP_METHODS, "the method")
    setup = replace(setup, method=method, deviation=deviation)
    _refuse(wrong_setup(setup), f"of setup {setup.setup}")
    if setup == (before or Setup(setup=setup.setup)):
        return plan
    others = [s for s in levels.setups if s is not before]
    if setup == Setup(setup=setup.setup):
        return _with(plan, replace(levels, setups=tuple(others)))
    new = sorted([*others, setup], key=lambda s: s.setup)
    return _with(plan, replace(levels, setups=tuple(new)))


def sound_reading(reading: Reading, names: BookedNames) -> Reading:
    """Return a reading with its point by id and its number as a float, when it can be.

    Raises:
        EditError: when it cannot be, or when several piers are called as its point.
    """
    point = checks.name(names.id_of(reading.point), "the point")
    sound = replace(
        reading,
        setup=int(reading.setup),
        point=point,
        kind=checks.one_of(reading.kind, READING_KINDS, "the kind of sight"),
        reading=float(reading.reading),
    )
    _refuse(wrong_reading(sound), f"at {point}")
    return sound


def _refuse(wrong: Wrong | None, whose: str) -> None:
    if wrong is not None:
        raise EditError(f"the {called(wrong[0])} {whose} {wrong[1]}")


def _refuse_unknown(plan: Plan, indices: Iterable[int]) -> None:
    count = len(plan.levels.readings)
    for index in indices:
        if not 0 <= index < count:
            raise EditError(f"there is no reading number {index + 1} in the book")


def _with(plan: Plan, levels: Levels) -> Plan:
    return plan.with_(levels=levels)
