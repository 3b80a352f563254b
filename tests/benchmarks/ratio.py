"""How the benchmarks measure: contestants take turns in one run, and only their ratio is told.

A machine that does other work meanwhile slows all contestants alike, so ratios keep still where milliseconds
do not.
"""

from __future__ import annotations

import gc
import time
from collections.abc import Callable
from dataclasses import dataclass
from statistics import median

Work = Callable[[], object]


@dataclass(frozen=True, slots=True)
class Row:
    """One line of the table; times in ms.

    ``work`` says what was done and ``size`` how much of it; ``bare`` is the time of the bare library, or of
    the better of several, and ``against`` which one that was; ``ours`` the time of the program. ``target`` is
    the most that ours may be, as a multiple of bare; None when the figure is only reported.
    """

    work: str
    size: str
    against: str
    bare: float
    ours: float
    target: float | None

    @property
    def ratio(self) -> float:
        """Return how many times as long ours takes."""
        return self.ours / self.bare

    @property
    def verdict(self) -> str:
        """Return whether the target is met, in a word."""
        if self.target is None:
            return "–"
        return "met" if self.ratio <= self.target else "**missed**"


def race(*contestants: Work, rounds: int = 9, at_least: float = 0.02) -> list[float]:
    """Return the median time of each contestant in ms; all run in every round, one after the other.

    Args:
        contestants: what to time; each is run once beforehand.
        rounds: how many times each is timed.
        at_least: seconds that one timing should take; short work is repeated to fill them.
    """
    repeats = []
    for work in contestants:
        work()
        repeats.append(max(1, round(at_least / max(_seconds(work, 1), 1e-7))))
    times: list[list[float]] = [[] for _ in contestants]
    for turn in range(rounds):
        order = range(len(contestants)) if turn % 2 else reversed(range(len(contestants)))
        for k in order:
            times[k].append(_seconds(contestants[k], repeats[k]) * 1000)
    return [median(taken) for taken in times]


def _seconds(work: Work, repeats: int) -> float:
    gc.collect()
    start = time.perf_counter()
    for _ in range(repeats):
        work()
    return (time.perf_counter() - start) / repeats


def table(rows: list[Row]) -> str:
    """Return rows as a Markdown table."""
    lines = [
        "| work | size | bare library | bare, ms | ours, ms | ratio | target | |",
        "| --- | ---: | --- | ---: | ---: | ---: | ---: | --- |",
    ]
    for row in rows:
        target = "report" if row.target is None else f"≤ {row.target:g}"
        lines.append(
            f"| {row.work} | {row.size} | {row.against} | {_digits(row.bare)} | {_digits(row.ours)} "
            f"| {row.ratio:.2f} | {target} | {row.verdict} |"
        )
    return "\n".join(lines)


def _digits(value: float) -> str:
    """Return a time with three digits that count."""
    return f"{value:.3g}" if value < 1000 else f"{value:.0f}"
