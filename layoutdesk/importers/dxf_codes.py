"""Text of a DXF as a reader sees it: formatting codes taken out, signs put in, stacked fractions made plain.

The codes are those of the published DXF reference and of the library's documentation.
"""

from __future__ import annotations

import re
from typing import Final

_SIGNS: Final = {"c": "Ø", "d": "°", "p": "±", "%": "%", "u": "", "o": "", "k": ""}
_PERCENT: Final = re.compile(r"%%(?:([cCdDpP%uUoOkK])|(\d{3}))")
_UNICODE: Final = re.compile(r"\\[Uu]\+([0-9A-Fa-f]{4})")
_CARET: Final = re.compile(r"\^(.)")
_FORMAT: Final = re.compile(
    r"\\(?:"
    r"(?P<sign>[\\{}])|(?P<line>[PXN])|(?P<gap>~)|(?P<code>[Uu]\+[0-9A-Fa-f]{4})"
    r"|S(?P<stack>(?:\\.|[^;\\])*);?"
    r"|[LlOoKk]"
    r"|[ACcHTQWfFp][^;\\{}]*;?"
    r")|(?P<caret>\^.)|(?P<brace>[{}])"
)
_STACK: Final = re.compile(r"(?P<over>(?:\\.|[^/#^\\])*)(?P<sign>[/#^])(?P<under>.*)", re.DOTALL)

_FRACTION: Final = "\ue000"
"""Stands before a stacked fraction until it is known whether a number stands before that."""


def whole(name: str) -> str:
    """Return a name without halves of pairs of signs, which no file or process could pass on."""
    return name if name.isascii() else name.encode("utf-8", "replace").decode("utf-8")


def plain_line(text: str) -> str:
    """Return the text of a TEXT or an attribute."""
    if "%%" in text:
        text = _PERCENT.sub(_percent, text)
    if "\\" in text:
        text = _UNICODE.sub(lambda m: _letter(int(m[1], 16)), text)
    if "^" in text:
        text = _CARET.sub(_caret, text)
    return _one_line(text)


def plain_lines(text: str) -> list[str]:
    """Return the lines of an MTEXT, or of a text typed over a dimension; empty ones stay, to keep their room."""
    if "%%" in text:
        text = _PERCENT.sub(_percent, text)
    if "\\" in text or "{" in text or "^" in text or "}" in text:
        text = _FORMAT.sub(_format, text)
        text = re.sub(rf"(?<=[\d.])\s*{_FRACTION}", " ", text).replace(_FRACTION, "")
    return [_one_line(line) for line in text.splitlines()]


def _one_line(text: str) -> str:
    return "".join(c if c.isprintable() else " " for c in text).strip() if not text.isprintable() else text.strip()


def _letter(number: int) -> str:
    """Return a sign by its number; halves of pairs and what is not to be shown become a blank."""
    letter = chr(number) if number < 0xD800 or 0xDFFF < number <= 0xFFFF else " "
    return letter if letter.isprintable() else " "


def _percent(match: re.Match[str]) -> str:
    return _SIGNS[match[1].lower()] if match[1] else _letter(int(match[2]))


def _caret(match: re.Match[str]) -> str:
    return {" ": "^", "J": "\n", "M": "", "I": " "}.get(match[1], " ")


def _format(match: re.Match[str]) -> str:
    if match["sign"]:
        return match["sign"]
    if match["line"]:
        return "\n"
    if match["gap"]:
        return " "
    if match["code"]:
        return _letter(int(match["code"].lstrip("Uu+"), base=16))
    if match["caret"]:
        return {"^ ": "^", "^J": "\n", "^M": "", "^I": " "}.get(match["caret"], " ")
    if match["stack"] is not None:
        return _stacked(match["stack"])
    return ""


def _stacked(text: str) -> str:
    """Return stacked text in one line: a fraction with its slash, limits of a size one after the other."""
    parts = _STACK.fullmatch(text)
    if parts is None:
        return re.sub(r"\\(.)", r"\1", text)
    over, under = (re.sub(r"\\(.)", r"\1", parts[name]).strip() for name in ("over", "under"))
    if not under:
        return over
    if parts["sign"] != "^" or (over.isdigit() and under.isdigit()):
        return f"{_FRACTION}{over}/{under}"
    return f" {over} {under}".rstrip()
