"""Undo and redo: a history is a value that holds every job since the file was opened."""

from msgspec import Struct

from drainsketch.job.model import Job


class History(Struct, frozen=True):
    """The jobs of a sitting, oldest first, and which one is current. There is no limit: jobs share what they have in common."""

    jobs: tuple[Job, ...]
    labels: tuple[str, ...]  # what was done to reach each job; the first is ''
    at: int = 0

    @classmethod
    def of(cls, job: Job) -> "History":
        """Return the history of a job just opened."""
        return cls(jobs=(job,), labels=("",))

    @property
    def job(self) -> Job:
        """The current job."""
        return self.jobs[self.at]

    @property
    def undo_label(self) -> str | None:
        """What undo would take back; None when there is nothing."""
        return self.labels[self.at] if self.at else None

    @property
    def redo_label(self) -> str | None:
        """What redo would do again; None when there is nothing."""
        return self.labels[self.at + 1] if self.at + 1 < len(self.jobs) else None

    def done(self, job: Job, label: str) -> "History":
        """Return the history after an edit; what had been undone is gone. An edit that changed nothing leaves no step."""
        if job is self.job:
            return self
        kept = self.at + 1
        return History(jobs=(*self.jobs[:kept], job), labels=(*self.labels[:kept], label), at=kept)

    def amended(self, job: Job) -> "History":
        """Return the history with the current step gone on to another job: many small edits make one step.

        What had been undone is gone; the job that was opened is never replaced.
        """
        if job is self.job:
            return self
        if self.at == 0:
            return self.done(job, "")
        return History(jobs=(*self.jobs[: self.at], job), labels=self.labels[: self.at + 1], at=self.at)

    def dropped(self) -> "History":
        """Return the history without its current step, as if it had never been made; itself at the start."""
        if self.at == 0:
            return self
        return History(jobs=self.jobs[: self.at], labels=self.labels[: self.at], at=self.at - 1)

    def undone(self) -> "History":
        """Return the history one step back, or itself at the start."""
        return History(jobs=self.jobs, labels=self.labels, at=max(0, self.at - 1))

    def redone(self) -> "History":
        """Return the history one step on, or itself at the end."""
        return History(jobs=self.jobs, labels=self.labels, at=min(len(self.jobs) - 1, self.at + 1))
