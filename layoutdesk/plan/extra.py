"""What a plan keeps of a file though it does not know it."""

from __future__ import annotations

from typing import TypeAlias

Extra: TypeAlias = tuple[tuple[str, object], ...]
"""Keys of a file entry that this version does not know, with their JSON values, in file order.

They count when plans are compared, and not in their hash: a JSON value may be a list.
"""
