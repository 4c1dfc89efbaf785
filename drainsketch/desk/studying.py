"""The closer look, taken off the window's thread: a little after the job came to rest, and never shown for a newer one."""

from concurrent.futures import Future, ThreadPoolExecutor

from PySide6.QtCore import QObject, QTimer, Signal

from drainsketch.desk.session import Session
from drainsketch.study import Study, study

REST_MS = 150  # a drag changes the job many times a second


class Studying(QObject):
    """Keeps the session's study up with its review. One study runs at a time; one that came too late is dropped."""

    _done = Signal(object)  # a Future; crosses from the worker's thread

    def __init__(self, session: Session, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self._worker = ThreadPoolExecutor(max_workers=1, thread_name_prefix="study")
        self._running: Future[Study] | None = None
        self._rest = QTimer(self, singleShot=True, interval=REST_MS)
        self._rest.timeout.connect(self._start)
        self._done.connect(self._take)
        session.changed.connect(self._changed)
        self._changed()

    def stop(self) -> None:
        """Let go of the worker; what it is at is finished and dropped."""
        self._rest.stop()
        self._worker.shutdown(wait=True, cancel_futures=True)

    def _changed(self) -> None:
        if not self._session.study_is_current:
            self._rest.start()

    def _start(self) -> None:
        if self._running is not None or self._session.study_is_current:
            return
        self._running = self._worker.submit(study, self._session.review, self._session.study)
        self._running.add_done_callback(self._done.emit)

    def _take(self, done: "Future[Study]") -> None:
        self._running = None
        if not done.cancelled() and done.exception() is None and done.result().review.job is self._session.job:
            self._session.take_study(done.result())
        elif done.cancelled() or done.exception() is None:
            self._changed()
        else:
            self._session.tell(f"The closer look failed and is left out: {done.exception()}")
