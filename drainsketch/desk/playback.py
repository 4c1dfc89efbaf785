"""The moment of the storm that is shown, and the clock that moves it on."""

from PySide6.QtCore import QElapsedTimer, QObject, QTimer, Signal

from drainsketch.desk.playing import Playing, Shown, Side

WHOLE_S = 20.0  # a storm from end to end
TICK_MS = 66


class Playback(QObject):
    """Goes through the moments of a storm, by itself or step by step, of today's ground or with the drains."""

    moved = Signal()  # another moment, or the other yard, or another storm
    turned = Signal()  # it began to play, or stopped
    ticked = Signal()  # time went on while it plays

    def __init__(self, playing: Playing, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self.playing = playing
        self.drained = True  # with the drains, or today's ground
        self.row = 0
        self.gone_s = 0.0  # since it was set going, for what moves between two moments
        self._from = 0
        self._kept_min = 0.0  # the time shown, for the storm of a changed job
        self._storm: Shown | None = None
        self._watch = QElapsedTimer()
        self._timer = QTimer(self, interval=TICK_MS)
        self._timer.timeout.connect(self._tick)
        playing.changed.connect(self._storm_changed)

    @property
    def shown(self) -> Shown | None:
        """The storm; None while there is none."""
        return self.playing.shown

    @property
    def side(self) -> Side | None:
        """The playing that is shown."""
        shown = self.shown
        if shown is None:
            return None
        return shown.after if self.drained or shown.before is None else shown.before

    @property
    def moments(self) -> int:
        """How many moments there are."""
        shown = self.shown
        return len(shown.after.played.minute) if shown is not None else 0

    @property
    def minute(self) -> float:
        """The time from the first rain to the moment shown."""
        shown = self.shown
        return float(shown.after.played.minute[self.row]) if shown is not None else 0.0

    @property
    def runs(self) -> bool:
        """Whether it plays."""
        return self._timer.isActive()

    def show_side(self, drained: bool) -> None:
        """Show the yard with its drains, or today's ground."""
        if drained != self.drained:
            self.drained = drained
            self.moved.emit()

    def go_to(self, row: int) -> None:
        """Show a moment; the first or the last beyond the ends. It plays on from there."""
        row = min(max(0, row), max(0, self.moments - 1))
        self._from = row
        self._watch.start()
        if row != self.row:
            self._show(row)

    def go_to_minute(self, minute: float) -> None:
        """Show the moment at a time from the first rain."""
        shown = self.shown
        if shown is not None:
            self.go_to(shown.after.played.moment(minute))

    def forget(self) -> None:
        """Start anew: another job is on the desk, and its storm is shown from the first rain on."""
        self.pause()
        self._kept_min, self._from, self.row = 0.0, 0, 0
        self.moved.emit()

    def play(self) -> None:
        """Set it going; from the start where it was at its end."""
        if self.moments < 2 or self.runs:
            return
        self.go_to(0 if self.row >= self.moments - 1 else self.row)
        self._timer.start()
        self.turned.emit()

    def pause(self) -> None:
        """Stop at the moment shown."""
        if self.runs:
            self._timer.stop()
            self.turned.emit()

    def toggle(self) -> None:
        """Play, or pause."""
        self.pause() if self.runs else self.play()

    def _tick(self) -> None:
        gone_s = self._watch.elapsed() / 1000
        self.gone_s = gone_s
        row = min(self.moments - 1, self._from + int(gone_s / WHOLE_S * (self.moments - 1)))
        if row != self.row:
            self._show(row)
        self.ticked.emit()
        if row >= self.moments - 1:
            self.pause()

    def _show(self, row: int) -> None:
        self.row = row
        self._kept_min = self.minute
        self.moved.emit()

    def _storm_changed(self) -> None:
        """Stop where the storm is gone or another one, which is shown at the same time from the first rain."""
        shown = self.shown
        if shown is self._storm:
            return
        self._storm = shown
        self.pause()
        if shown is not None:
            self._from = self.row = shown.after.played.moment(self._kept_min)
        self.moved.emit()
