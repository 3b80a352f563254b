"""What names of layers and blocks, and words, say about what is drawn: a hint, never a proof.

The words are those that the discipline layer lists of the trade use, and plain English ones; from memory.
"""

from __future__ import annotations

import re
from functools import lru_cache
from typing import Final

_FOOTING: Final = re.compile(
    r"FNDN|FDN|FOUND|FOOT|FTG|PIER|COLS?(?![A-Z])|COLUMN|POST|CAISSON|PILE|PILING|BELL|PAD(?![A-Z])|SONO"
)
_NO_FOOTING: Final = re.compile(
    r"FURN|CHAIR|TABLE|PLMB|PLUMB|SANR|SANI|FIXT|SINK|DRAIN|EQPM|EQUIP|ELEC|LITE|LIGHT|LAMP|POWR|DOOR|GLAZ|WIND|TTLB"
    r"|TITLE|BORD|SHEET|SHBD|GRID|GRD|AXIS|BUBBLE|PLNT|PLANT|TREE|LAND|SHRUB|VEGE|NORTH|NRTH|SYMB|DIM|PATT|HATCH|APPL"
    r"|STAIR|CLNG|IDEN|DETL|SECT|CALLOUT|CTRL|CONTROL|ATTACH|CONN|CAR(?![A-Z])|VEHIC|DOWNSP|PROP|SITE|FENC|BNDY|BOUND|LOGO|STAMP|SEAL|KEEP|UTIL"
)
_WALL: Final = re.compile(r"WALL|HOUSE|BUILDING|EXST-?BLDG|BLDG")
_NO_WALL: Final = re.compile(
    r"PATT|HATCH|IDEN|FURN|FIXT|DOOR|GLAZ|WIND|TTLB|TITLE|BORD|SHEET|SHBD|GRID|AXIS|PLNT|PLANT|TREE|LAND|DIM|TEXT|NOTE"
    r"|ANNO|PROP|BNDY|BOUND|SETB|EASE|ROOF|OVHD|OVERHANG|EAVE|BEAM|JOIS|FRAM|SLAB|CONC|PAVE|PAVI|WALK|DRIV|PATIO|DECK|FENC"
    r"|CTRL|BASE(?![A-Z])|FLOR|FLOOR|STAIR|PLMB|EQPM|ELEC|SYMB|NORTH|LEAD|UTIL|KEEP|APPL|CLNG|CTR"
)
_BEAM: Final = re.compile(r"BEAM|BEM|GIRD|JOIS|FRAM|LEDG|HEADER")
_NO_BEAM: Final = re.compile(
    r"GRID|AXIS|DIM|TTLB|TITLE|BORD|SHEET|PROP|BNDY|SETB|FURN|TEXT|NOTE|LEAD|CTRL|PATT|HATCH|UTIL|FENC|ANNO|DOOR|GLAZ|PLMB"
    r"|WALL|SLAB|CONC|PAVE|PLNT|LAND"
)
_GRID: Final = re.compile(r"GRID|AXIS|AXES")
_SLAB: Final = re.compile(r"SLAB|CONC|PAVE|PAVI|PATIO")
_OPENING: Final = re.compile(r"OPNG|OPENING")
_CONTROL: Final = re.compile(r"^CONTROL|CTRL(?!-BASE)|^SURVEY")
_ATTACHMENT: Final = re.compile(r"^ATTACH|BEAM-CONN|LEDGER-?(?:CONN|POINT)")
_SLAB_WORDS: Final = re.compile(r"\bSLAB\b|\bCONC\b|\bCONC\.|\bCONCRETE\b|\bPATIO\b|\bPAVING\b", re.IGNORECASE)
_KEEP: Final = re.compile(
    r"TREE|PLNT|PLANT|LAND-|SHRUB|KEEP|UTIL|COND(?![A-Z])|MECH|HVAC|SEPT|GAS(?![A-Z])|WELL(?![A-Z])"
)
_KEEP_WORDS: Final = (
    ("tree", re.compile(r"\b(?:TREE|OAK|MAPLE|PINE|ELM|BIRCH|CEDAR|PALM|ASH|WILLOW|SHRUB)S?\b", re.IGNORECASE)),
    ("air conditioner", re.compile(r"\bA/?C\b|\bAIR COND|\bCONDENS[EO]R\b|\bHEAT PUMP\b", re.IGNORECASE)),
    (
        "utility",
        re.compile(r"\bUTILITY\b|\bGAS\b|\bSEPTIC\b|\bSEWER\b|\bMANHOLE\b|\bMETER\b|\bWELL\b", re.IGNORECASE),
    ),
)
_FOOTING_WORDS: Final = re.compile(
    r"\b(?:PIERS?|FTG|FOOTINGS?|POSTS?|COLS?|COLUMNS?|SONO|CAISSON)\b", re.IGNORECASE
)
_MARK: Final = re.compile(
    r"[A-Za-z]{1,3}[-.]?\d{1,3}[A-Za-z]?|[A-Za-z] \d{1,3}|\d{1,2}[A-Za-z]?|[A-Za-z]{1,2}"
    r"|[A-Za-z]{1,2}[-.][A-Za-z0-9]{1,2}"
)
_FIRST_MARK: Final = re.compile(r"([A-Za-z]{1,3}-?\d{1,3}[A-Za-z]?)\s*(?:[:(,]|\s-\s)?\s+\S.*")
_NO_MARK: Final = re.compile(r"(?i:N|S|E|W|NO|WC|DN|UP|TO|AT|OF|IN|ON|HW|WH|DW|REF|AC|TV|EQ|OC|UNO|SIM|TYP|CL)")


@lru_cache(maxsize=4096)
def footing_hint(name: str) -> int:
    """Return 1 when a layer or block is called like one of footings, -1 when like one of something else, else 0."""
    name = name.upper()
    if _FOOTING.search(name):
        return -1 if re.search(r"IDEN|TABLE|FURN|GRID|DIM|TEXT", name) else 1
    return -1 if _NO_FOOTING.search(name) else 0


@lru_cache(maxsize=4096)
def wall_hint(name: str) -> int:
    """Return 1 when a layer is called like one of walls, -1 when like one of something else, else 0."""
    name = name.upper()
    if _NO_WALL.search(name):
        return -1
    return 1 if _WALL.search(name) else -int(footing_hint(name) == 1)


@lru_cache(maxsize=4096)
def beam_hint(name: str) -> int:
    """Return 1 when a layer is called like one of beams, -1 when like one of something else, else 0."""
    name = name.upper()
    if _BEAM.search(name):
        return 1
    return -1 if _NO_BEAM.search(name) else 0


def is_grid(name: str) -> bool:
    """Return whether a layer is called like one of grid lines."""
    return _GRID.search(name.upper()) is not None


def is_slab(name: str) -> bool:
    """Return whether a layer is called like one of slabs."""
    return _SLAB.search(name.upper()) is not None


def is_opening(name: str) -> bool:
    """Return whether a layer is called like one of openings in something: neither a footing nor a slab is on it."""
    return _OPENING.search(name.upper()) is not None


def is_control(name: str) -> bool:
    """Return whether a block or layer is called like control points."""
    return _CONTROL.search(name.upper()) is not None


def is_attachment(name: str) -> bool:
    """Return whether a block or layer is called like the places where beams meet the house."""
    return _ATTACHMENT.search(name.upper()) is not None


def says_slab(text: str) -> bool:
    """Return whether a text names a slab."""
    return _SLAB_WORDS.search(text) is not None


def says_footing(text: str) -> bool:
    """Return whether a text names footings."""
    return _FOOTING_WORDS.search(text) is not None


def kept_out(text: str) -> str:
    """Return what kind of keep-out a text names, empty when none."""
    return next((kind for kind, words in _KEEP_WORDS if words.search(text)), "")


def kept_out_layer(name: str) -> str:
    """Return what kind of keep-out a layer is of, empty when of none."""
    name = name.upper()
    if not _KEEP.search(name):
        return ""
    if re.search(r"TREE|PLNT|PLANT|LAND|SHRUB", name):
        return "tree"
    return "air conditioner" if re.search(r"COND|MECH|HVAC", name) else "other" if "KEEP" in name else "utility"


def mark_of(text: str) -> str:
    """Return the mark that a text is or begins with, empty when it is none."""
    text = text.strip()
    if _MARK.fullmatch(text) and not _NO_MARK.fullmatch(text):
        return text
    first = _FIRST_MARK.fullmatch(text)
    return first.group(1) if first and not re.match(r"(?i)(?:NO|SEE|TYP)\b", text) else ""


def family_of(mark: str) -> str:
    """Return the sort of mark that this is: its letters, without its number."""
    return re.sub(r"\d+[A-Za-z]?$", "#", mark.upper()) if mark[-1:].isdigit() or mark[:1].isalpha() else "#"
