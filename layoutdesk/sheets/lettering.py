"""Text set in pieces: lengths with large fractions, and running text broken into lines.

Pages use it to know how much room text takes, the PDF writer to draw it: so both always agree.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import lru_cache
from typing import Final

from layoutdesk.sheets.marks import Paragraph, Weight
from layoutdesk.sheets.type import CAPITAL, DESCENT, MM_PER_POINT, printable, width
from layoutdesk.units import SUBSCRIPTS, SUPERSCRIPTS, LengthParts, write_parts

FRACTION: Final = 0.72
"""Height of a fraction's digits as a share of the figures beside them, so that 3/16 is not taken for 5/16."""
_RAISED: Final = 0.30
_LOWERED: Final = -0.04
_SLASH_ROOM: Final = 0.24
_SLASH: Final = "⁄"
_SMALL_FRACTION: Final = re.compile(f"([{SUPERSCRIPTS}]+){_SLASH}([{SUBSCRIPTS}]+)")
_PLAIN_DIGITS: Final = {ord(c): str(i % 10) for i, c in enumerate(SUPERSCRIPTS + SUBSCRIPTS)}


@dataclass(frozen=True, slots=True)
class Piece:
    """A run of text of one size: ``right`` and ``up`` in mm from where the whole starts; ``size`` in points."""

    text: str
    right: float
    up: float
    size: float


@lru_cache(maxsize=16384)
def set_line(text: str, size: float, weight: Weight) -> tuple[tuple[Piece, ...], float]:
    """Return one line of text as the pieces to print, from left to right, and its width in millimetres.

    A fraction in small digits, as lengths are written with, is set in raised and lowered plain digits that are
    much larger than those of the typeface. What the typeface lacks becomes a question mark.
    """
    em = size * MM_PER_POINT
    pieces: list[Piece] = []
    x = 0.0

    def put(run: str, up: float, run_size: float) -> None:
        nonlocal x
        if run:
            run = printable(run, weight)
            pieces.append(Piece(run, x, up, run_size))
            x += width(run, run_size, weight)

    for i, run in enumerate(_SMALL_FRACTION.split(text)):
        if i % 3 == 0:
            put(run, 0.0, size)
        elif i % 3 == 1:
            put(run.translate(_PLAIN_DIGITS), _RAISED * em, size * FRACTION)
            slash = width(_SLASH, size, weight)
            pieces.append(Piece(_SLASH, x + (_SLASH_ROOM * em - slash) / 2, 0.0, size))
            x += _SLASH_ROOM * em
        else:
            put(run.translate(_PLAIN_DIGITS), _LOWERED * em, size * FRACTION)
    return tuple(pieces), x


def text_width(text: str, size: float, weight: Weight = "regular") -> float:
    """Return how wide one line of text is printed, in millimetres of paper."""
    return set_line(text, size, weight)[1]


@lru_cache(maxsize=16384)
def measure_text(parts: LengthParts, before: str = "") -> str:
    """Return a written length as the text that :func:`set_line` sets."""
    return before + write_parts(parts, pretty=True)


def measure_width(parts: LengthParts, size: float, weight: Weight = "bold", *, before: str = "") -> float:
    """Return how wide a written length is, in millimetres of paper."""
    return text_width(measure_text(parts, before), size, weight)


def fitted(
    text: str, room: float, size: float, weight: Weight = "regular", *, least: float = 6.0
) -> tuple[str, float]:
    """Return ``text`` and the size, not over ``size`` nor under ``least``, at which it stays within ``room`` mm.

    Text that is too long even at the least size ends in an ellipsis.
    """
    wide = text_width(text, size, weight)
    if wide <= room:
        return text, size
    smaller = max(least, size * room / wide * (1 - 1e-9))
    if text_width(text, smaller, weight) <= room:
        return text, smaller
    low, high = 0, len(text)
    while low < high:
        middle = (low + high + 1) // 2
        if text_width(text[:middle].rstrip() + "…", smaller, weight) <= room:
            low = middle
        else:
            high = middle - 1
    return text[:low].rstrip() + "…", smaller


@dataclass(frozen=True, slots=True)
class Word:
    """A stretch of one line in one weight, ``right`` millimetres from the start of the line."""

    text: str
    right: float
    weight: Weight


@lru_cache(maxsize=2048)
def broken(text: str, size: float, room: float) -> tuple[tuple[Word, ...], ...]:
    """Return running text as lines no wider than ``room`` mm; ``**bold**`` is the only markup.

    A word that is wider than the room is broken where it must be. A line break in the text stays one.
    """
    lines: list[tuple[Word, ...]] = []
    for paragraph in text.split("\n"):
        lines += _lines(paragraph, size, room)
    return tuple(lines)


def _lines(text: str, size: float, room: float) -> list[tuple[Word, ...]]:
    lines: list[list[tuple[str, Weight]]] = [[]]
    x = 0.0
    for word in _words(text, size, room):
        wide = sum(text_width(t, size, w) for t, w in word)
        gap = text_width(" ", size) if lines[-1] else 0.0
        if lines[-1] and x + gap + wide > room + 1e-9:
            lines.append([])
            x = gap = 0.0
        if gap:
            lines[-1].append((" ", "regular"))
        lines[-1] += word
        x += gap + wide
    return [_joined(line, size) for line in lines]


def _words(text: str, size: float, room: float) -> list[list[tuple[str, Weight]]]:
    """Return the words of a paragraph, each as stretches of one weight; over-long ones are broken."""
    words: list[list[tuple[str, Weight]]] = [[]]
    for i, stretch in enumerate(text.split("**")):
        weight: Weight = "bold" if i % 2 else "regular"
        for k, part in enumerate(re.split(r"[ \t]+", printable(stretch, weight))):
            if k:
                words.append([])
            if part:
                words[-1].append((part, weight))
    out: list[list[tuple[str, Weight]]] = []
    for word in words:
        if word:
            out += _chopped(word, size, room)
    return out


def _chopped(word: list[tuple[str, Weight]], size: float, room: float) -> list[list[tuple[str, Weight]]]:
    if sum(text_width(t, size, w) for t, w in word) <= room:
        return [word]
    pieces: list[list[tuple[str, Weight]]] = [[]]
    x = 0.0
    for text, weight in word:
        for c in text:
            wide = text_width(c, size, weight)
            if pieces[-1] and x + wide > room:
                pieces.append([])
                x = 0.0
            if pieces[-1] and pieces[-1][-1][1] == weight:
                pieces[-1][-1] = (pieces[-1][-1][0] + c, weight)
            else:
                pieces[-1].append((c, weight))
            x += wide
    return pieces


def _joined(line: list[tuple[str, Weight]], size: float) -> tuple[Word, ...]:
    words: list[Word] = []
    x = 0.0
    for text, weight in line:
        if words and words[-1].weight == weight:
            words[-1] = Word(words[-1].text + text, words[-1].right, weight)
        else:
            words.append(Word(text, x, weight))
        x += text_width(text, size, weight)
    return tuple(words)


def paragraph_lines(mark: Paragraph) -> tuple[tuple[Word, ...], ...]:
    """Return the lines of a paragraph."""
    return broken(mark.text, mark.size, mark.width)


def line_height(size: float, leading: float = 1.35) -> float:
    """Return the distance from one line of running text to the next, in millimetres."""
    return size * leading * MM_PER_POINT


def paragraph_height(text: str, size: float, room: float, leading: float = 1.35) -> float:
    """Return how high running text stands when it is wrapped at ``room`` mm."""
    return len(broken(text, size, room)) * line_height(size, leading)


def first_baseline(size: float, leading: float = 1.35) -> float:
    """Return how far below its top the first line of a paragraph stands, in millimetres.

    Letters and their tails lie in the middle of the height of a line.
    """
    return (leading + CAPITAL - DESCENT) / 2 * size * MM_PER_POINT
