"""Reading without the interpreter's search for rubbish, which goes through all that was read, again and again."""

from __future__ import annotations

import gc
from collections.abc import Iterator
from contextlib import contextmanager


@contextmanager
def no_collecting() -> Iterator[None]:
    """Keep the search for rubbish in circles off meanwhile: nothing is rubbish while a drawing is read."""
    was_on = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if was_on:
            gc.enable()
