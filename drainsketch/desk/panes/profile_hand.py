"""What the user does to the inverts of a profile: take one in hand, drag, nudge, type, release. No widget here."""

from PySide6.QtCore import QObject, QPointF, Signal

from drainsketch.desk.panes.profile_frame import ProfileFrame
from drainsketch.desk.panes.profile_pins import Handle, Limits, handles, limits, pin, release, snapped, step_ft
from drainsketch.desk.session import Session
from drainsketch.errors import EditError, LengthError
from drainsketch.job.units import parse_length_ft
from drainsketch.sheets.pathway import Pathway
from drainsketch.wording import Words

REACH_PX = 11.0
ASIDE_PX = 7.0  # handles stand this far beside their structure, each on the side of its pipe


class ProfileHand(QObject):
    """Holds which invert is chosen and the drag that is going on; edits go to the session, each drag as one step."""

    changed = Signal()  # what is chosen or dragged

    def __init__(self, session: Session, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self._path: Pathway | None = None
        self._key: tuple[str, str] | None = None
        self.handles: tuple[Handle, ...] = ()
        self.dragging = False
        self.limits: Limits | None = None  # of the drag

    @property
    def chosen(self) -> Handle | None:
        """The invert that keys and the level field work on."""
        return next((h for h in self.handles if h.key == self._key), None)

    def take(self, path: Pathway | None) -> None:
        """Take the path that is shown now."""
        self._path = path
        self.handles = handles(path, self._session.job) if path is not None else ()
        self.changed.emit()

    def near(self, at: QPointF, frame: ProfileFrame) -> Handle | None:
        """Return the handle under a pixel."""
        found = [(abs(p.x() - at.x()) + abs(p.y() - at.y()), i) for i, p in enumerate(spots(self.handles, frame))]
        off, i = min(found, default=(REACH_PX + 1, 0))
        return self.handles[i] if off <= REACH_PX else None

    def choose(self, handle: Handle | None) -> None:
        """Choose an invert, or none."""
        self._key = handle.key if handle is not None else None
        self.changed.emit()

    def step(self, by: int) -> Handle | None:
        """Choose the next invert upstream (1) or downstream (-1); return it."""
        if not self.handles:
            return None
        keys = [h.key for h in self.handles]
        at = keys.index(self._key) + by if self._key in keys else (0 if by > 0 else len(keys) - 1)
        self.choose(self.handles[max(0, min(len(keys) - 1, at))])
        return self.chosen

    def grab(self, handle: Handle) -> None:
        """Begin a drag."""
        self._end_step()
        self.choose(handle)
        self.dragging = True
        if self._path is not None:
            self.limits = limits(self._path, self._session.review, handle)
        self.changed.emit()

    def drag_to(self, level_ft: float) -> None:
        """Move the invert in hand; the rest of the pipe follows."""
        self._set(snapped(level_ft, self._session.job.header.units))

    def drop(self, *, give_up: bool = False) -> None:
        """End the drag: keep what it made of the job, or take all of it back."""
        self.dragging, self.limits = False, None
        if give_up:
            self._session.drop_step()
        self._end_step()
        self.changed.emit()

    def nudge(self, steps: int) -> None:
        """Move the chosen invert by steps of the fineness of levels; presses in a row are one step of undo."""
        handle, units = self.chosen, self._session.job.header.units
        if handle is not None:
            self._set(snapped(snapped(handle.level_ft, units) + steps * step_ft(units), units))

    def type_level(self, text: str) -> bool:
        """Pin the chosen invert at a typed level; return whether it could be read."""
        try:
            level_ft = parse_length_ft(text, self._session.job.header.units)
        except LengthError as fault:
            self._session.tell(str(fault))
            return False
        self._end_step()
        return self._set(level_ft, merge=False)

    def release(self) -> None:
        """Give the chosen invert back to the program."""
        handle = self.chosen
        if handle is None:
            return
        job = release(self._session.job, handle)
        if job is self._session.job:
            self._session.tell(f"The invert at {handle.structure} is not pinned.")
        else:
            self._session.apply(job, f"Release the invert at {handle.structure}")

    def _set(self, level_ft: float, *, merge: bool = True) -> bool:
        handle = self.chosen
        if handle is None:
            return False
        try:
            job = pin(self._session.job, handle, level_ft)
        except EditError as fault:
            self._session.tell(str(fault))
            return False
        self._session.apply(job, f"Pin the invert at {handle.structure}", merge=merge)
        words = Words(units=self._session.job.header.units)
        self._session.tell(f"Invert of {handle.run} at {handle.structure} pinned at {words.level(level_ft)}.")
        return True

    def _end_step(self) -> None:
        """See to it that the next edit is a step of its own."""
        self._session.apply(self._session.job, "")


def spots(found: tuple[Handle, ...], frame: ProfileFrame) -> list[QPointF]:
    """Return where handles stand, pixels: on their invert, a little to the side of their pipe."""
    return [frame.at(h.at_ft, h.level_ft) + QPointF(h.side * ASIDE_PX, 0.0) for h in found]
