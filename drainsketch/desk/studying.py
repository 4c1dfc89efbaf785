"""The closer look, taken off the window's thread: a little after the job came to rest, and never shown for a newer one.

Only the job crosses over. The worker keeps reviews of its own, since prepared shapes (GEOS) break when two threads ask them
at once.
"""

from concurrent.futures import Future, ThreadPoolExecutor
from contextlib import suppress
from functools import partial
from typing import Any

from PySide6.QtCore import QObject, QTimer, Signal, SignalInstance

from drainsketch.desk.session import Session
from drainsketch.job.model import Job
from drainsketch.review import analyse
from drainsketch.study import Study, study

REST_MS = 150  # a drag changes the job many times a second
BROKE_OFF = "The closer look at the ground and the grades broke off; what else the window shows still holds."


class Studying(QObject):
    """Keeps the session's study up with its review. One study runs at a time; one that came too late is dropped."""

    _done = Signal(object)  # a Future; crosses from the worker's thread

    def __init__(self, session: Session, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self._stopped = False
        self.worker = ThreadPoolExecutor(max_workers=1, thread_name_prefix="study")
        self._running: Future[Study] | None = None
        self._looked_at = session.job  # the job that the study running is of
        self._last: Study | None = None  # the worker's own
        self._rest = QTimer(self, singleShot=True, interval=REST_MS)
        self._rest.timeout.connect(self._start)
        self._done.connect(self._take)
        session.changed.connect(self._changed)
        self.destroyed.connect(partial(self.worker.shutdown, wait=True, cancel_futures=True))
        self._changed()

    def stop(self) -> None:
        """Let go of the worker; what it is at is finished and dropped."""
        self._stopped = True
        self._rest.stop()
        self.worker.shutdown(wait=True, cancel_futures=True)

    @property
    def busy(self) -> bool:
        """Whether a study runs."""
        return self._running is not None

    def _closer(self, job: Job) -> Study:
        """Return the closer look at a job; called on the worker's thread, and on no other."""
        before = self._last
        review = analyse(job, before.review if before is not None else None)
        self._last = study(review, before)
        return self._last

    def _changed(self) -> None:
        if not self._stopped and not self._session.study_is_current and not self._session.study_failed:
            self._rest.start()

    def _start(self) -> None:
        if self._stopped or self._running is not None or self._session.study_is_current:
            return
        self._looked_at = self._session.job
        self._running = self.worker.submit(self._closer, self._looked_at)
        self._running.add_done_callback(partial(pass_on, self._done))

    def _take(self, done: "Future[Study]") -> None:
        asked, self._running = self._running, None
        if self._stopped or done is not asked or done.cancelled():
            return
        fault = done.exception()
        if fault is not None and self._looked_at is self._session.job:
            self._session.miss_study()
            self._session.tell(BROKE_OFF)
        elif fault is None and done.result().review.job is self._session.job:
            self._session.take_study(done.result())
        else:
            self._changed()


def pass_on(done: SignalInstance, future: "Future[Any]") -> None:
    """Pass what is finished on to the window's thread; a window that is gone by then wants none."""
    with suppress(RuntimeError):
        done.emit(future)


def study_of(session: Session) -> Study | None:
    """Return the study of the job as it stands, made now when it is not there yet; None where it cannot be."""
    if session.study is not None and session.study_is_current:
        return session.study
    return None if session.study_failed else study(session.plain_review)
