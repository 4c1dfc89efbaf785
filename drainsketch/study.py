"""The closer look: what takes longer than a drag may, as one pure function of a review.

The window runs it off its own thread and drops what is no longer wanted; the command line runs it in line.
"""

from collections.abc import Iterable

from msgspec import Struct
from msgspec.structs import replace

from drainsketch.findings import Finding, worst_first
from drainsketch.ground.results import GroundStudy
from drainsketch.network.remedies import Cure, Reason, Spare
from drainsketch.review import Review


class Study(Struct, frozen=True):
    """What the closer look adds to a review.

    ``spare`` (by structure id) is how far levels may move before something breaks, ``odds`` (by run id) the chance that the
    run still falls given the reading error of the job; ``reasons`` and ``cures`` go by the structure that cannot drain.
    """

    review: Review
    ground: GroundStudy | None
    spare: dict[str, Spare]
    odds: dict[str, float]
    reasons: dict[str, Reason]
    cures: dict[str, tuple[Cure, ...]]
    findings: tuple[Finding, ...]

    @property
    def whole(self) -> Review:
        """The review with the findings of the closer look among its own."""
        return with_findings(self.review, self.findings)


def with_findings(review: Review, more: Iterable[Finding]) -> Review:
    """Return the review with more findings in their order among its own."""
    added = [f for f in more if f not in review.findings]
    return replace(review, findings=worst_first([*review.findings, *added])) if added else review


def study(review: Review, before: Study | None = None) -> Study:
    """Return the closer look at a review.

    Parameters
    ----------
    before : an earlier study; its stages are kept where their inputs are the same objects
    """
    return Study(review=review, ground=None, spare={}, odds={}, reasons={}, cures={}, findings=())
