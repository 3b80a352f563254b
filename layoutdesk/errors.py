"""The one root of errors. Every message is a sentence for the person at the desk."""

from __future__ import annotations


class LayoutdeskError(Exception):
    """Something that the person can mend; ``str(error)`` is one plain sentence."""


class LengthError(LayoutdeskError, ValueError):
    """A typed length or angle that cannot be read.

    Attributes:
        text: what was typed.
        example: something that would have been read.
    """

    def __init__(self, text: str, problem: str, example: str) -> None:
        shown = text if len(text) <= 40 else text[:37] + "…"
        shown = "".join(c if c.isprintable() else "�" for c in shown)
        super().__init__(f"“{shown}” {problem}; type for example {example}")
        self.text = text
        self.example = example


class PlanError(LayoutdeskError, ValueError):
    """A plan that says something impossible.

    Attributes:
        place: where in the plan, as in ``piers[3].at``.
        problem: what is wrong there.
        file: the name of the file that says it, if any.
    """

    def __init__(self, place: str, problem: str, *, file: str = "") -> None:
        super().__init__(": ".join(part for part in (file, place, problem) if part))
        self.place = place
        self.problem = problem
        self.file = file


class EditError(LayoutdeskError, ValueError):
    """An edit that cannot be carried out on this plan; the plan is unchanged."""


class FileError(LayoutdeskError, OSError):
    """A file that cannot be read or written; ``str`` names the file, the trouble and the mend."""


class ExportError(LayoutdeskError, RuntimeError):
    """A sheet or drawing that cannot be made from this plan."""
