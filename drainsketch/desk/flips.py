"""Tells when an edit turned a crossing over: a run that went over a service now goes under it, or back."""

from PySide6.QtCore import QObject, QTimer

from drainsketch.desk.session import Session
from drainsketch.wording import Words

Key = tuple[str, str, int]  # run, what it crosses, and the how many-th time along the run
MOST = 3  # named one by one


class Flips(QObject):
    """Watches on which side each run passes. A crossing that is unknown for a while is held to the side it had before."""

    def __init__(self, session: Session, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self._sides: dict[Key, str] = {}
        self._turned: dict[Key, str] = {}  # and not told yet
        self._option = session.job.option
        self._beside = ""  # what else was told about the same edit
        self._timer = QTimer(self)  # after whoever made the edit has said what he has to say
        self._timer.setSingleShot(True)
        self._timer.timeout.connect(self._tell)
        session.told.connect(self._heard)
        session.changed.connect(self._look)
        self._look()

    def _look(self) -> None:
        now = self._now()
        option, self._option = self._option, self._session.job.option
        if (
            len(self._session.history.jobs) == 1 or option != self._option
        ):  # another job was opened, or another option drawn
            self._sides, self._turned = now, {}
            self._timer.stop()
            return
        turned = {key: side for key, side in now.items() if self._sides.get(key, side) != side}
        self._sides = self._sides | now
        if turned:
            self._turned |= turned
            self._beside = ""
            self._timer.start(0)

    def _now(self) -> dict[Key, str]:
        sides: dict[Key, str] = {}
        count: dict[tuple[str, str], int] = {}
        for c in sorted(self._session.review.crossings, key=lambda c: c.station_ft):
            pair = c.run_id, c.other
            count[pair] = count.get(pair, 0) + 1
            if c.position in ("over", "under"):
                sides[*pair, count[pair]] = c.position
        return sides

    def _heard(self, sentence: str) -> None:
        self._beside = sentence if self._timer.isActive() else ""

    def _tell(self) -> None:
        words, before = Words.of(self._session.job), self._beside
        said = [f"{run} now passes {side} {words.name(other)}" for (run, other, _), side in self._turned.items()]
        more = f", and {len(said) - MOST} more" if len(said) > MOST else ""
        self._turned = {}
        if said:
            self._session.tell(" ".join(filter(None, (f"{', '.join(said[:MOST])}{more}.", before))))
