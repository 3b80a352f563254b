"""How designers name their layers."""

from __future__ import annotations

import random

ROLES = (
    "wall",
    "inner",
    "pier",
    "column",
    "beam",
    "text",
    "grid",
    "door",
    "window",
    "furniture",
    "plumbing",
    "tree",
    "site",
    "title",
    "slab",
    "dimension",
    "symbol",
    "hatch",
    "light",
)
_LISTED = (
    *("A-WALL", "A-WALL-PRTN", "S-FNDN", "S-COLS", "S-BEAM", "S-ANNO-TEXT", "S-GRID", "A-DOOR", "A-GLAZ", "A-FURN"),
    *("P-FIXT", "L-PLNT", "C-PROP", "A-ANNO-TTLB", "S-SLAB", "S-ANNO-DIMS", "A-ANNO-SYMB", "A-WALL-PATT", "E-LITE"),
)
_WORDS = (
    *("Walls", "Partitions", "Piers", "Columns", "Beams", "Text", "Grid", "Doors", "Windows", "Furniture"),
    *(
        "Plumbing",
        "Trees",
        "Property line",
        "Title block",
        "Concrete",
        "Dimensions",
        "Symbols",
        "Hatching",
        "Lights",
    ),
)
_OTHER = (
    *("HOUSE-OUTLINE", "HOUSE-ROOMS", "FOOTINGS", "POSTS", "FRAMING", "NOTES", "CENTRE-GRID", "HOUSE-DOOR"),
    *(
        "HOUSE-WINDOW",
        "FURNISHINGS",
        "SANITARY",
        "PLANTING",
        "BOUNDARY",
        "BORDER",
        "PAVING",
        "DIM",
        "NORTH",
        "HATCH",
    ),
    "ELECTRIC",
)


def layers_for(rng: random.Random, habits: dict[str, str]) -> dict[str, str]:
    """Return the layer of each role: by a list of the trade, in plain words, on pens, numbered, or all on one."""
    way = rng.choice(["listed", "listed", "words", "words", "other", "pens", "numbered", "one", "two"])
    habits["layers"] = way
    match way:
        case "listed":
            named = dict(zip(ROLES, _LISTED, strict=True))
            return named | ({"inner": named["wall"], "garage": named["wall"]} if rng.random() < 0.4 else {})
        case "words":
            return dict(zip(ROLES, _WORDS, strict=True))
        case "other":
            return dict(zip(ROLES, _OTHER, strict=True))
        case "pens":
            return {role: rng.choice(["0.18", "0.25", "0.35", "0.5"]) for role in ROLES}
        case "numbered":
            numbers = rng.sample(range(1, 60), len(ROLES))
            return {role: f"Layer{n}" for role, n in zip(ROLES, numbers, strict=True)}
        case "two":
            return {role: "NEW" if role in {"pier", "column", "beam", "slab"} else "EXISTING" for role in ROLES}
        case _:
            return dict.fromkeys(ROLES, "0")
