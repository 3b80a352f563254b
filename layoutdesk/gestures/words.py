"""The gestures by name, in the order of the buttons: all that the first window needs to know of them."""

from __future__ import annotations

from typing import Final, NamedTuple


class GestureWords(NamedTuple):
    """The word on a gesture's button, its letter key, and what it is for."""

    name: str
    key: str
    tip: str


PICTURE_WORDS: Final = (
    GestureWords("Move the picture", "V", "Move what lies under the sheet to be traced"),
    GestureWords("Scale by two points", "X", "Give what lies under the sheet its scale by a written distance"),
    GestureWords("Turn square to a wall", "T", "Turn what lies under the sheet until its line runs along a wall"),
    GestureWords("Straighten a photograph", "Y", "Take the slant out of a photograph by four measured points"),
)
"""What is done with a picture under the sheet: offered while there is one."""

WORDS: Final = (
    GestureWords("Pick", "K", "Select, move and reshape what is on the sheet"),
    GestureWords("Wall", "W", "Draw a face of the existing house"),
    GestureWords("Attachment", "A", "Mark where a beam meets the house"),
    GestureWords("Beam line", "L", "Draw the straight line of a row"),
    GestureWords("Pier", "P", "Set one footing"),
    GestureWords("Row of piers", "R", "Set a row at equal or listed spacings"),
    GestureWords("Grid of piers", "G", "Set several rows side by side"),
    GestureWords("Chain", "N", "Type the numbers of a paper plan: they lay out a row, a wall or points"),
    GestureWords("Control point", "C", "Mark a point that can be found again and taped from"),
    GestureWords("Baseline", "B", "Draw the line that stations and offsets are read from"),
    GestureWords("Slab", "S", "Outline existing concrete"),
    GestureWords("Keep-out", "O", "Outline what neither auger nor tape may cross"),
    GestureWords("Move baseline origin", "Z", "Choose where station 0 is"),
    GestureWords("Copy", "D", "Copy what is picked, once or several times"),
    GestureWords("Mirror", "M", "Mirror what is picked in a line"),
    GestureWords("Bay", "Q", "Name four points whose diagonals are to be checked"),
    GestureWords("Tape", "E", "Take down what was measured on site, from point to point"),
    GestureWords("Spot", "I", "Mark where a ground height is taken, or a benchmark"),
    *PICTURE_WORDS,
)
