"""Makes the sheets that the form asks for: what was looked at in the preview is what is written and printed."""

from collections.abc import Sequence
from threading import Lock

from msgspec import Struct

from drainsketch.files.firm import letterhead_in_use
from drainsketch.files.prices import prices_in_use
from drainsketch.job.model import Job
from drainsketch.review import analyse
from drainsketch.sheets.book import READERS, Audience
from drainsketch.study import Study, study
from drainsketch.water.storm.results import Storm
from drainsketch.wording import Words

PAIR = "yard-in-storm"  # the page of the owner's before and after


class SheetChoice(Struct, frozen=True):
    """How the sheets are to be made.

    A scale of None is the largest that fits, ``langs`` a language for each of ``READERS``, ``with_job`` None as the reader has it.
    """

    paper: str = "letter"
    scale_ft_per_in: float | None = None
    audience: Audience = "crew"
    contours: bool = False
    leave_out: tuple[str, ...] = ()
    langs: tuple[str, ...] = ("en",) * len(READERS)
    with_job: bool | None = None
    price: bool = True


class Made(Struct, frozen=True):
    """Sheets as made: the PDF, the name of each page, and why a wanted before and after of the storm is not among them."""

    choice: SheetChoice
    data: bytes
    names: tuple[str, ...]
    no_pair: str = ""


class SheetMaker:
    """Makes the sheets of one job. It may be asked on any thread; it keeps a review of its own, and what it made last."""

    def __init__(self, job: Job) -> None:
        self.job = job
        self._lock = Lock()
        self._closer: Study | None = None
        self._last: Made | None = None

    def made(self, choice: SheetChoice) -> Made:
        """Return the sheets.

        Raises
        ------
        DrainsketchError : they cannot be made as asked, or a file of prices that was kept cannot be read
        """
        from drainsketch.sheets.book import made_sheets  # reportlab loads when the first sheet is made
        from drainsketch.sheets.contents import contents_for

        with self._lock:
            if self._last is not None and self._last.choice == choice:
                return self._last
            closer = self._closer = self._closer or study(analyse(self.job))
            contents = contents_for(
                closer,
                choice.audience,
                prices_in_use() if choice.audience != "record" else None,
                letterhead_in_use(),
                contours=choice.contours,
                with_price=choice.price,
            )
            data, names = made_sheets(
                contents,
                paper=choice.paper,
                scale_ft_per_in=choice.scale_ft_per_in,
                audience=choice.audience,
                lang=dict(zip(READERS, choice.langs, strict=True)),
                leave_out=choice.leave_out,
                with_job=choice.with_job,
            )
            self._last = Made(choice, data.getvalue(), tuple(names), _no_pair(choice, names, contents.played))
            return self._last


def _no_pair(choice: SheetChoice, names: Sequence[str], storm: Storm | None) -> str:
    """Return why the owner's set has no before and after of the storm; '' where it has, or nobody wants it."""
    title = Words(choice.langs[READERS.index("owner")]).word("sheets.pair.title")
    if choice.audience not in ("owner", "all") or PAIR in choice.leave_out or title in names:
        return ""
    if storm is None or storm.before is None:
        return "There is no storm to show: shoot the ground and give the rain in Water."
    if not storm.after.runs:
        return "No pipe drains yet, so that there is nothing to compare."
    return "Water stands nowhere in this storm, neither today nor with the drains: there is nothing to show."
