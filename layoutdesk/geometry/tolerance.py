"""The one tolerance."""

from typing import Final

SAME_MM: Final = 1e-6
"""Two places nearer than this are the same place: a millionth of a millimetre."""
