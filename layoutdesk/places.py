"""Where the files that ship with the program are: resources, samples, published values and type."""

from __future__ import annotations

from functools import cache
from importlib.util import find_spec
from pathlib import Path

_PACKAGE = Path(__file__).resolve().parent


def _shipped(folder: str) -> Path:
    """Return a shipped folder: beside the package in a checkout, inside it in an installed wheel."""
    inside = _PACKAGE / "_data" / folder
    return inside if inside.is_dir() else _PACKAGE.parent / folder


RESOURCES = _shipped("resources")
SAMPLES = _shipped("samples")
PUBLISHED = _shipped("shared")


@cache
def typeface(weight: str) -> Path:
    """Return the font file of one weight of Lato: ``Regular``, ``SemiBold`` or ``Bold``, and so on.

    The same files serve the window and the PDF. The package is located without being imported, because
    its import would delay the first window.
    """
    spec = find_spec("fontpkg_lato")
    if spec is None or not spec.submodule_search_locations:
        raise FileNotFoundError("the package fontpkg-lato is not installed; run bootstrap.py again")
    return Path(spec.submodule_search_locations[0]) / "files" / f"Lato-{weight}.ttf"
