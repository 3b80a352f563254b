"""``python -m layoutdesk`` and the command ``layoutdesk``: the place that joins the commands and the desk."""

from __future__ import annotations

import gc
import os
import sys
from pathlib import Path
from typing import NoReturn

from layoutdesk.cli import main as carry_out


def main() -> NoReturn:
    """Carry out the command line and leave with its exit code."""
    # Said before numpy comes in, to the second process too: threads that fight for busy cores make small matrices
    # many times slower, and none here is large enough to gain from them.
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
    sys.exit(carry_out(sys.argv[1:], _open_desk))


def _open_desk(path: Path | None) -> int:
    # All that is made on the way to the window stays; looking for rubbish meanwhile would only delay it.
    gc.disable()
    # Here and not at the top: the other commands need no Qt.
    from layoutdesk.app import run

    return run(path)


if __name__ == "__main__":
    main()
