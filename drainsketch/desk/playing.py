"""The storm of the job, played off the window's thread while somebody looks at it; dropped when the job moved on."""

from collections.abc import Callable
from concurrent.futures import Future, ThreadPoolExecutor
from functools import partial

from msgspec import Struct
from PySide6.QtCore import QObject, Signal

from drainsketch.desk.session import Session
from drainsketch.desk.studying import pass_on
from drainsketch.study import Study, play
from drainsketch.water.rain import lacking
from drainsketch.water.storm.facts import Standing, standing_of
from drainsketch.water.storm.results import Played, Storm


class Side(Struct, frozen=True):
    """One playing with what it comes to; ``volume_ft3`` is what stands in all hollows at each moment."""

    played: Played
    standing: Standing
    volume_ft3: tuple[float, ...]


class Shown(Struct, frozen=True):
    """A storm that was played, and the study it was played from. ``before`` is None where nobody knows how the ground lies."""

    study: Study
    storm: Storm
    before: Side | None
    after: Side


def shown_of(study: Study) -> Shown | None:
    """Return the storm of a study, played; None where there is nothing to play."""
    storm = play(study)
    if storm is None:
        return None
    before = _side(storm.before) if storm.before is not None else None
    return Shown(study, storm, before, _side(storm.after))


class Playing(QObject):
    """Keeps the storm up with the study, as long as it is wanted.

    It shares the worker of the study, so that no two threads ask the same prepared shapes.
    """

    changed = Signal()  # a storm came or went, or how it stands with it
    _done = Signal(object)  # a Future; crosses from the worker's thread

    def __init__(self, session: Session, worker: ThreadPoolExecutor, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._session, self._worker = session, worker
        self._wanted = False
        self._running: Future[Shown | None] | None = None
        self._of: Study | None = None  # what was played last, or is being played
        self._shown: Shown | None = None
        self.failed = False
        self._done.connect(self._take)
        session.changed.connect(self._look)
        session.studied.connect(self._look)

    @property
    def shown(self) -> Shown | None:
        """The storm of the job as it stands; None while there is none."""
        return self._shown if self._is_current else None

    @property
    def empty(self) -> bool:
        """Whether the storm was to be played, and there was nothing to play."""
        return self._is_current and self._running is None and self._shown is None and not self.failed

    @property
    def is_due(self) -> bool:
        """Whether a storm is shown to somebody, or about to be."""
        return self._wanted and not (
            self.empty or self.failed or self._session.study_failed or lacking(self._session.job.rain)
        )

    def want(self, wanted: bool) -> None:
        """Say whether somebody looks at it."""
        self._wanted = wanted
        self._look()

    @property
    def _is_current(self) -> bool:
        return self._session.study_is_current and self._of is self._session.study

    def _look(self) -> None:
        """Play the storm of a study that came, and let go of one that is over."""
        if not self._is_current:
            self._shown, self.failed = None, False
            if self._wanted and self._running is None and self._session.study_is_current:
                self._start()
        self.changed.emit()

    def _start(self) -> None:
        study = self._session.study
        assert study is not None  # it is current
        task: Callable[[], Shown | None] = partial(shown_of, study)
        try:
            self._running = self._worker.submit(task)
        except RuntimeError:  # the window is going
            return
        self._of = study
        self._running.add_done_callback(partial(pass_on, self._done))

    def _take(self, done: "Future[Shown | None]") -> None:
        asked, self._running = self._running, None
        if done is not asked or done.cancelled():
            return
        if self._is_current:
            self.failed = done.exception() is not None
            self._shown = None if self.failed else done.result()
        else:
            self._of = None
        self._look()


def _side(played: Played) -> Side:
    volumes = tuple(played.volumes_ft3().tolist())
    return Side(played, standing_of(played), volumes)
