"""The sitting at the desk: the job with its history, its review and what is selected. Panes and canvas listen to it."""

from collections.abc import Iterable

from PySide6.QtCore import QObject, Signal

from drainsketch.job.ask import thing, things
from drainsketch.job.history import History
from drainsketch.job.model import Job
from drainsketch.review import Review, analyse
from drainsketch.study import Study, with_findings


class Session(QObject):
    """Holds values and says when they changed; it edits nothing itself."""

    changed = Signal()  # the job and its review
    studied = Signal()  # the closer look arrived
    selected = Signal()  # the selection
    told = Signal(str)  # a sentence for the status line

    def __init__(self, job: Job | None = None, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._history = History.of(job or Job())
        self._saved: Job | None = self._history.job  # None: what is on the desk was never saved
        self._plain = self._review = analyse(self._history.job)
        self._study: Study | None = None
        self._study_failed_for: Job | None = None
        self._selection: tuple[str, ...] = ()
        self._step: tuple[str, tuple[str, ...]] | None = None  # label and selection that the next edit may go on with

    @property
    def job(self) -> Job:
        """The current job."""
        return self._history.job

    @property
    def review(self) -> Review:
        """The review of the current job."""
        return self._review

    @property
    def plain_review(self) -> Review:
        """The review of the current job by itself, without what a closer look found."""
        return self._plain

    @property
    def study(self) -> Study | None:
        """The latest closer look; it may belong to an earlier review."""
        return self._study

    @property
    def study_is_current(self) -> bool:
        """Whether the closer look belongs to the job as it stands."""
        return self._study is not None and self._study.review.job is self.job

    @property
    def study_is_of_option(self) -> bool:
        """Whether the closer look belongs to the option that is drawn, be it as it stands or an earlier one of it."""
        return self._study is not None and self._study.review.job.option == self.job.option

    @property
    def study_failed(self) -> bool:
        """Whether the closer look at the job as it stands broke off."""
        return self._study_failed_for is self.job

    def miss_study(self) -> None:
        """Note that the closer look at the present job broke off; what the one before found stays."""
        self._study_failed_for = self.job
        self.studied.emit()

    def take_study(self, study: Study) -> None:
        """Take a closer look at the present job that arrived; its findings join those of the review.

        The review it was made from stays with the thread that made it: see ``studying.py``.
        """
        self._study = study
        self._review = with_findings(self._plain, study.findings)
        self.studied.emit()

    @property
    def history(self) -> History:
        """Every job of this sitting."""
        return self._history

    @property
    def selection(self) -> tuple[str, ...]:
        """Ids of what is selected, in the order of selecting."""
        return self._selection

    @property
    def modified(self) -> bool:
        """Whether the job differs from what was opened or saved last."""
        return self._saved is None or (self.job is not self._saved and self.job != self._saved)

    def open(self, job: Job, *, saved: bool = True) -> None:
        """Start over with a job from a file, or an empty one; one that is not ``saved`` counts as unsaved work."""
        self._saved, self._step = job if saved else None, None
        self._study = None
        self.select(())
        self._set(History.of(job))

    def mark_saved(self) -> None:
        """Note that the current job is on disk."""
        self._saved, self._step = self.job, None
        self.changed.emit()

    def apply(self, job: Job, label: str, *, merge: bool = False) -> None:
        """Take an edited job as the next step of the history.

        Parameters
        ----------
        label : what was done, for undo
        merge : the edit goes on with the one before, in one step, when that was made to merge too, has the same label and
            selection, and nothing was done in between
        """
        step = (label, self._selection) if merge else None
        goes_on, self._step = step is not None and step == self._step, step
        if job is not self.job:
            self._set(self._history.amended(job) if goes_on else self._history.done(job, label))

    def drop_step(self) -> None:
        """Take back the step that merged edits are still going on with, as if it had never been begun."""
        if self._step is not None:
            self._step = None
            self._set(self._history.dropped())

    def undo(self) -> None:
        """Go one step back."""
        label, self._step = self._history.undo_label, None
        self._set(self._history.undone())
        if label is not None:
            self.tell(f"Undid: {label}" if label else "Undid the last step")

    def redo(self) -> None:
        """Go one step on."""
        label, self._step = self._history.redo_label, None
        self._set(self._history.redone())
        if label is not None:
            self.tell(f"Did again: {label}" if label else "Did the last step again")

    def select(self, ids: Iterable[str]) -> None:
        """Select these things and no others."""
        chosen = tuple(dict.fromkeys(ids))
        if chosen != self._selection:
            self._selection, self._step = chosen, None
            self.selected.emit()

    def tell(self, sentence: str) -> None:
        """Show a sentence in the status line."""
        self.told.emit(sentence)

    def _set(self, history: History) -> None:
        self._history = history
        self._plain = self._review = analyse(history.job, self._plain)
        if self.study_is_of_option:  # what it found stays in the list until the next one arrives
            assert self._study is not None
            there = {t.id for t in things(history.job)}
            self._review = with_findings(
                self._plain, [f for f in self._study.findings if there.issuperset(f.place.ids)]
            )
        kept = tuple(i for i in self._selection if thing(history.job, i) is not None)
        lost, self._selection = kept != self._selection, kept
        self.changed.emit()
        if lost:
            self.selected.emit()
