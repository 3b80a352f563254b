"""``python -m layoutdesk`` and the command ``layoutdesk``."""

from __future__ import annotations

import sys
from typing import NoReturn

from layoutdesk.cli import main as run_command


def main() -> NoReturn:
    """Carry out the command line and leave with its exit code."""
    sys.exit(run_command(sys.argv[1:]))


if __name__ == "__main__":
    main()
