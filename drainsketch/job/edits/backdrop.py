"""Lay a drawing from elsewhere under the plan, show or hide it, and take it away."""

from msgspec.structs import replace

from drainsketch.errors import EditError
from drainsketch.job.edits.add import checked
from drainsketch.job.model import Backdrop, Job


def lay_under(job: Job, backdrop: Backdrop) -> Job:
    """Return the job with a drawing under its plan, in place of the one before. Raises EditError outside the model's bounds."""
    if not backdrop.lines:
        raise EditError("backdrop.lines: there is no line in it; choose a drawing with lines")
    new = checked("backdrop", backdrop)
    return job if new == job.backdrop else replace(job, backdrop=new)


def show_backdrop(job: Job, shown: bool) -> Job:
    """Return the job with the drawing under its plan shown or hidden; itself where there is none."""
    if job.backdrop is None or job.backdrop.shown == shown:
        return job
    return replace(job, backdrop=replace(job.backdrop, shown=shown))


def take_away(job: Job) -> Job:
    """Return the job without a drawing under its plan."""
    return job if job.backdrop is None else replace(job, backdrop=None)
