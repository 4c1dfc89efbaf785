"""What is drawn on a plan, as data: the window and the PDF paint the same marks.

Points are plan feet. Styles, symbols and letterings are names from ``look.py``. ``owner`` is the id of the thing a mark
belongs to, '' for none.
"""

from msgspec import Struct

from drainsketch.job.kinds import Point


class Stroke(Struct, frozen=True):
    """A line or outline; ``holes`` are further rings of an outline, which its fill leaves out."""

    points: tuple[Point, ...]
    style: str
    owner: str = ""
    closed: bool = False
    holes: tuple[tuple[Point, ...], ...] = ()


class Disc(Struct, frozen=True):
    """A circle of true size on the ground."""

    center: Point
    radius_ft: float
    style: str
    owner: str = ""


class Band(Struct, frozen=True):
    """A strip of true width along a line: the stone of a drain, a hand-dig zone."""

    points: tuple[Point, ...]
    width_ft: float
    style: str
    owner: str = ""


class Sign(Struct, frozen=True):
    """A symbol of fixed size on paper and screen; ``turn_deg`` is counterclockwise from east; ``text`` stands in it."""

    at: Point
    symbol: str
    owner: str = ""
    turn_deg: float = 0.0
    text: str = ""


class Label(Struct, frozen=True):
    """Words that belong to a point, or (``along``) to a leg whose direction they follow. Low rank is placed first.

    ``text`` may have several lines: the first is in ``lettering``, the others in 'level'. Along a leg with
    ``clear_pt`` 0 the words stand on the line itself.
    """

    at: Point
    text: str
    lettering: str
    owner: str = ""
    along: tuple[Point, Point] | None = None
    rank: int = 5
    clear_pt: float = 8.0  # keep this far from the anchor's symbol center
    not_of: tuple[Point, ...] | None = (
        None  # nearer to one of these, or far from its own, it is left out; None: never for that
    )


Mark = Stroke | Disc | Band | Sign | Label


def is_pipe(mark: Mark) -> bool:
    """Return whether a mark is the line of a run or a buried service."""
    return isinstance(mark, Stroke) and mark.style.startswith(("run.", "service."))


def is_tint(mark: Mark) -> bool:
    """Return whether a mark lies under a run to say how it does in the storm; words keep clear of the run itself."""
    return isinstance(mark, Stroke) and mark.style.startswith("storm.")


def is_contour(mark: Mark) -> bool:
    """Return whether a mark is a line of equal level; words may stand over it."""
    return isinstance(mark, Stroke) and mark.style.startswith("contour")


class PlanMarks(Struct, frozen=True):
    """The marks of a plan in painting order: what is on the ground, what lies in it (services too), flags, words."""

    ground: tuple[Mark, ...]
    drains: tuple[Mark, ...]
    flags: tuple[Mark, ...]
    labels: tuple[Label, ...]
