"""JSON text to plain objects, strictly: what is no JSON, or JSON in two minds, is refused with a sentence."""

from __future__ import annotations

import json
import math
from collections import Counter
from typing import Any, Final, NoReturn

from layoutdesk.errors import FileError

MOST_DEEP: Final = 60
"""How deep entries may be nested; a plan needs five."""


class _RefusedError(ValueError):
    """What a hook of the JSON reader found; becomes a FileError that names the file."""


def read_json(text: str | bytes, name: str) -> Any:
    """Return what JSON text says, as dicts, lists, str, int, float, bool and None.

    Args:
        text: the text; bytes must be UTF-8; a byte order mark is passed over.
        name: what to call the text in a sentence: usually the file's name.

    Raises:
        FileError: when the text is empty, no UTF-8, no JSON, cut off, nested too deep, gives a key twice, or holds
            a number that no plan can hold.
    """
    plain = _decoded(text, name).removeprefix("\ufeff")
    if not plain.strip():
        raise FileError(f"{name} is empty; open an earlier copy")
    try:
        data = json.loads(plain, object_pairs_hook=_once, parse_constant=_no_constant)
        _check_depth(data)
    except json.JSONDecodeError as error:
        raise FileError(f"{name} {_where(error, plain)}") from None
    except _RefusedError as error:
        raise FileError(f"{name}: {error}") from None
    except RecursionError:
        raise FileError(f"{name} is nested too deep for a plan; open an earlier copy") from None
    except MemoryError:
        raise FileError(f"{name} needs more memory than there is; open an earlier copy") from None
    except ValueError:  # Python refuses to read whole numbers of more than 4300 digits
        raise FileError(f"{name} holds a number with thousands of digits; mend that number") from None
    return data


def _decoded(text: str | bytes, name: str) -> str:
    if isinstance(text, str):
        return text
    try:
        return text.decode("utf-8")
    except UnicodeDecodeError as error:
        raise FileError(
            f"{name} is neither a plan nor a drawing that can be read, or it is damaged (byte {error.start + 1} "
            "is no text); choose a plan, a DXF, a PDF, a picture or a table of points"
        ) from None


def _where(error: json.JSONDecodeError, text: str) -> str:
    """Return what is wrong with JSON that cannot be read, and where."""
    if error.pos >= len(text.rstrip()) or error.msg.startswith("Unterminated string"):
        return f"is cut off at line {error.lineno}; open an earlier copy"
    return (
        f"is no JSON at line {error.lineno}, column {error.colno} ({error.msg}); "
        "mend that line or open an earlier copy"
    )


def _once(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    """Return an entry as a dict; a key that stands twice would silently lose one of its values."""
    entry = dict(pairs)
    if len(entry) < len(pairs):
        twice = Counter(key for key, _ in pairs).most_common(1)[0][0]
        who = f" of {entry['id']}" if isinstance(entry.get("id"), str) else ""
        raise _RefusedError(f"the key “{twice[:40]}” stands twice in the entry{who}; take one of them out")
    return entry


def _no_constant(word: str) -> NoReturn:
    raise _RefusedError(f"{word} is no number that a plan can hold; put a finite number in its place")


def _check_depth(data: Any) -> None:
    """Refuse what nests too deep to be written again, and numbers too large for a float, wherever they stand."""
    layer = [data]
    for _ in range(MOST_DEEP):
        below: list[Any] = []
        for value in layer:
            if isinstance(value, dict):
                below += value.values()
            elif isinstance(value, list):
                below += value
            elif isinstance(value, float) and not math.isfinite(value):
                raise _RefusedError("a number is too large; put a finite number in its place")
        if not below:
            return
        layer = below
    raise _RefusedError(f"entries are nested more than {MOST_DEEP} deep; a plan needs five")
