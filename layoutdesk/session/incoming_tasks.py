"""What the second process does with a drawing that comes in: reads it, proposes what becomes of it, makes the plan.

It keeps what it read last, so that another scale costs no reading. It writes no file and knows no Qt.
"""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING, Any, Final

from layoutdesk.errors import FileError
from layoutdesk.session.revising import compare_plans
from layoutdesk.session.underlay_tasks import page_facts, trace

if TYPE_CHECKING:
    from layoutdesk.importers.linework import Linework, Progress
    from layoutdesk.importers.proposal import Proposal
    from layoutdesk.plan.model import Plan

Answer = tuple[dict[str, Any], bytes]
"""What is told about the work, and the work itself."""

ROOM_BYTES: Final = 1 << 30
"""What reading a drawing may take beyond what the process has when it begins."""


class IncomingTasks:
    """Carries out the orders on drawings, files under the sheet, and newer issues: ``tasks`` has their names."""

    def __init__(self) -> None:
        self._read: tuple[tuple[object, ...], Linework] | None = None
        self._limited = False
        self.tasks: dict[str, Callable[[dict[str, Any], Progress], Answer]] = {
            "read": self._within(self._do_read),
            "propose": self._within(self._propose),
            "make": self._within(self._make),
            "compare": self._within(compare_plans),
            "page picture": self._within(self._page_picture),
            "page facts": self._within(page_facts),
            "trace": self._within(trace),
        }

    def _within(self, task: Callable[[dict[str, Any], Progress], Answer]) -> Callable[..., Answer]:
        """Return the task held within its room: a file that asks for all memory ends in a sentence."""

        def held(order: dict[str, Any], tell: Progress) -> Answer:
            if not self._limited:
                limit_memory(ROOM_BYTES)
                self._limited = True
            try:
                return task(order, tell)
            except (MemoryError, RecursionError) as error:
                self._read = None
                name = Path(order["path"]).name
                raise FileError(
                    f"{name}: it holds more than fits into memory; save only the plan that is built from"
                ) from error

        return held

    def _linework(self, order: dict[str, Any], tell: Progress) -> Linework:
        from layoutdesk.importers.reading import read_linework

        path, page, layout = Path(order["path"]), order["page"], order["layout"]
        key = (path, page, layout, _stamp(path))
        if self._read is None or self._read[0] != key:
            self._read = None  # the old one goes before the new one comes
            self._read = (key, read_linework(path, page=page, layout=layout, tell=tell))
        return self._read[1]

    def _do_read(self, order: dict[str, Any], tell: Progress) -> Answer:
        from layoutdesk.importers.linework import linework_to_bytes

        return {}, linework_to_bytes(self._linework(order, tell))

    def _propose(self, order: dict[str, Any], tell: Progress) -> Answer:
        from layoutdesk.importers.proposal import proposal_to_bytes

        proposal = self._points(order, tell) if order["points"] else self._drawing(order, tell)
        return agreement_of(_planned(proposal, "")), proposal_to_bytes(proposal)

    def _drawing(self, order: dict[str, Any], tell: Progress) -> Proposal:
        from layoutdesk.importers.proposal import ScaleGuess
        from layoutdesk.importers.recognise import propose

        said = order["scale"]
        guess = None if said is None else ScaleGuess(scale=said, why="as you said")
        return propose(self._linework(order, tell), guess)

    def _points(self, order: dict[str, Any], tell: Progress) -> Proposal:
        from layoutdesk.importers.points import read_points_file
        from layoutdesk.plan.model import Baseline

        said = order.get("baseline")
        baseline = None
        if said is not None:
            (ox, oy), (tx, ty), side = said
            baseline = Baseline(origin=(ox, oy), toward=(tx, ty), yard_side=side)
        return read_points_file(Path(order["path"]), unit=order["scale"], baseline=baseline, tell=tell)

    def _make(self, order: dict[str, Any], _: Progress) -> Answer:
        from base64 import b64decode

        from layoutdesk.importers.proposal import proposal_from_bytes
        from layoutdesk.plan.file import plan_to_json

        plan = _planned(proposal_from_bytes(b64decode(order["proposal"])), order["title"])
        return {}, plan_to_json(plan).encode()

    def _page_picture(self, order: dict[str, Any], tell: Progress) -> Answer:
        from layoutdesk.importers.pdf import page_picture

        width, height, stride, pixels = page_picture(Path(order["path"]), order["page"], order["width"], tell=tell)
        return {"width": width, "height": height, "stride": stride}, pixels


def _planned(proposal: Proposal, title: str) -> Plan:
    from layoutdesk.importers.recognise import plan_of

    return plan_of(proposal, title=title)


def agreement_of(plan: Plan) -> dict[str, Any]:
    """Return whether a drawing agrees with itself.

    ``written`` is how many dimensions it writes, ``agree`` how many of them are as drawn; ``doubts`` are the flags
    on dimensions and chains, each with its place on the ground (None for a chain that lies nowhere).
    """
    from layoutdesk.engine.derive import derive
    from layoutdesk.geometry.vector import middle

    if not plan.written and not plan.chains:
        return {"written": 0, "agree": 0, "doubts": []}
    # Only what it writes is asked about: what follows for the site is nobody's question yet.
    layout = derive(plan.with_(slabs=(), keepouts=(), bays=(), underlays=()))
    places = {c.id: middle(c.start, c.end) for c in layout.written}
    places |= {c.id: middle(c.start, c.end) for c in layout.chains if c.start and c.end}
    known = {c.id for c in layout.written} | {c.id for c in layout.chains}
    doubts = [
        {"severity": flag.severity, "title": flag.title, "text": flag.text, "at": places.get(flag.about[-1])}
        for flag in layout.flags
        if flag.about and flag.about[-1] in known
    ]
    return {"written": len(layout.written), "agree": sum(c.agrees for c in layout.written), "doubts": doubts}


def limit_memory(room: int) -> None:
    """Let this process take so many bytes more than it has, where the system can hold it to that."""
    try:
        import resource
    except ImportError:
        return  # only systems of the Unix kind have it
    # The data limit counts what is really written to; the address space would count what a library only maps.
    has = _own_data()
    _, hard = resource.getrlimit(resource.RLIMIT_DATA)
    wanted = has + room
    resource.setrlimit(
        resource.RLIMIT_DATA, (wanted if hard == resource.RLIM_INFINITY else min(wanted, hard), hard)
    )


def _own_data() -> int:
    """Return how many bytes of data the process has now, as Linux tells it; elsewhere nothing is known."""
    try:
        text = Path("/proc/self/status").read_text(encoding="ascii")
    except OSError:
        return 256 << 20
    return next((int(line.split()[1]) << 10 for line in text.splitlines() if line.startswith("VmData")), 0)


def _stamp(path: Path) -> tuple[int, int] | None:
    try:
        found = path.stat()
    except OSError:
        return None
    return found.st_mtime_ns, found.st_size
