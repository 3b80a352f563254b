"""The library that reads PDF files, loaded when it is first asked for: it must not delay the first window."""

from __future__ import annotations

from functools import cache
from importlib import import_module
from typing import Any


@cache
def calls() -> Any:
    """Return PDFium's own functions and constants; they carry no types."""
    return import_module("pypdfium2.raw")
