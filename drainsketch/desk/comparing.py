"""Options held against each other, off the window's thread while somebody looks at them; dropped when the job moved on."""

from concurrent.futures import Future, ThreadPoolExecutor
from functools import partial

from msgspec import Struct
from msgspec.structs import replace
from PySide6.QtCore import QObject, QTimer, Signal

from drainsketch.desk.session import Session
from drainsketch.desk.studying import pass_on
from drainsketch.errors import DrainsketchError
from drainsketch.files.prices import prices_in_use
from drainsketch.job.model import Job
from drainsketch.options import Variant, compared
from drainsketch.sheets.option_table import OptionTable, option_table
from drainsketch.wording import Words

PATIENCE_MS = 500  # a comparison that takes longer is said to be in work


class Shown(Struct, frozen=True):
    """The options of a job held against each other; ``fault`` is why there are no prices."""

    job: Job
    table: OptionTable
    fault: str = ""


class Comparing(QObject):
    """Keeps the comparison up with the job, as long as it is wanted and there is something to compare.

    It starts once the study of the job is there, on the same worker, so that no two threads ask the same prepared shapes.
    """

    changed = Signal()  # a comparison came, or how it stands with it
    _done = Signal(object)  # a Future; crosses from the worker's thread

    def __init__(self, session: Session, worker: ThreadPoolExecutor, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._session, self._worker = session, worker
        self._wanted = False
        self._running: Future[Shown] | None = None
        self._of: Job | None = None  # what was compared last, or is being compared
        self._last: tuple[Variant, ...] = ()  # the worker's own
        self.shown: Shown | None = None  # it may be of an earlier job
        self.failed = False
        self._patience = QTimer(self, singleShot=True, interval=PATIENCE_MS)
        self._patience.timeout.connect(self.changed)
        self._done.connect(self._take)
        session.changed.connect(self._look)
        session.studied.connect(self._look)

    @property
    def is_current(self) -> bool:
        """Whether what is shown is of the job as it stands."""
        return self.shown is not None and self.shown.job is self._session.job

    @property
    def is_late(self) -> bool:
        """Whether what is shown is of an earlier job, and has been for a while."""
        return self._wanted and not self.is_current and not self._patience.isActive()

    def want(self, wanted: bool) -> None:
        """Say whether somebody looks at it."""
        self._wanted = wanted
        self._look()

    def forget(self) -> None:
        """Drop what belongs to the job before: another one is on the desk."""
        self.shown, self._running, self._of, self.failed = None, None, None, False
        self._patience.stop()
        self._look()

    def look_again(self) -> None:
        """Compare anew, since the prices for all jobs may be others; what was studied is kept."""
        self._running, self._of, self.failed = None, None, False
        if self.shown is not None:
            self.shown = replace(self.shown, job=Job())  # of the prices before
        self._look()

    def _look(self) -> None:
        """Compare the options of a job that came to rest."""
        session = self._session
        if self.is_current or not session.job.aside:
            self._patience.stop()
        elif self._wanted:
            if not self._patience.isActive() and not self.failed and self._of is not session.job:
                self._patience.start()
            rested = session.study_is_current or session.study_failed
            if rested and self._running is None and self._of is not session.job:
                self._start(session.job)
        self.changed.emit()

    def _start(self, job: Job) -> None:
        try:
            self._running = self._worker.submit(self._compare, job)
        except RuntimeError:  # the window is going
            return
        self._of, self.failed = job, False
        self._running.add_done_callback(partial(pass_on, self._done))

    def _compare(self, job: Job) -> Shown:
        """Return the options compared; called on the worker's thread, and on no other."""
        prices, fault = None, ""
        try:
            prices = prices_in_use()
        except DrainsketchError as wrong:
            fault = str(wrong)
        self._last = compared(job, prices, played=True, before=self._last)
        return Shown(job, option_table(self._last, Words.of(job)), fault)

    def _take(self, done: "Future[Shown]") -> None:
        if done is not self._running or done.cancelled():
            return
        self._running = None
        self.failed = done.exception() is not None and self._of is self._session.job
        if done.exception() is None:
            self.shown = done.result()  # one of an earlier job is nearer than the one before it
        self._look()
