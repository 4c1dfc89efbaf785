"""The grammar between a tool and the canvas.

A gesture is a generator: it yields previews, is sent plan events, and returns what came of it. Where a gesture stands is
where its code stands. Closing it takes everything back.
"""

from collections.abc import Callable, Generator
from typing import Literal

from msgspec import Struct

from drainsketch.job.kinds import Point
from drainsketch.job.model import Job
from drainsketch.job.picking import Vertex
from drainsketch.job.plan_index import PlanIndex
from drainsketch.job.snapping import Ray, Snap

OR_TYPE = " Or type east, north."  # the first step of a drawing tool


class Pointer(Struct, frozen=True):
    """Something the pointer did. ``at`` is where it was drawn to, ``raw`` where it was, ``reach_ft`` what counts as near."""

    at: Point
    raw: Point
    reach_ft: float
    snap: Snap | None = None
    add: bool = False  # Shift was held


class Moved(Pointer, frozen=True):
    """The pointer moved, pressed or not."""


class Pressed(Pointer, frozen=True):
    """The button went down, or a point was typed."""


class Released(Pointer, frozen=True):
    """The button went up."""


class Doubled(Pointer, frozen=True):
    """The button went down a second time at once; a press and a release came before."""


Key = Literal["enter", "backspace", "delete", "left", "right", "up", "down", "all"]


class Keyed(Struct, frozen=True):
    """A key with a meaning for tools; ``far`` when Shift was held."""

    key: Key
    far: bool = False


class Typed(Struct, frozen=True):
    """A number typed for a preview that wants one, in canonical units."""

    value: float


Event = Moved | Pressed | Released | Doubled | Keyed | Typed


class Trace(Struct, frozen=True):
    """A live line in a style of the look; a ``plain`` one shows no points."""

    points: tuple[Point, ...]
    style: str
    closed: bool = False
    faint: bool = False
    plain: bool = False


class Note(Struct, frozen=True):
    """Live words at a place."""

    at: Point
    text: str


class Way(Struct, frozen=True):
    """The way of a drop over the ground, and what becomes of it in a few words."""

    points: tuple[Point, ...]
    word: str


class Symbol(Struct, frozen=True):
    """A live symbol of the look."""

    at: Point
    symbol: str


class Preview(Struct, frozen=True):
    """What a gesture shows and asks for at one of its steps.

    ``anchor`` and ``before`` are the last two points: guides, typed lengths and the readout start there. ``own`` are points
    that may be met again, ``rays`` further guide lines, ``among`` the job to snap to when it is not the current one. ``ghost`` is the job as it would be; the things in ``moving`` are
    drawn from it, live. ``select`` is what is to be selected now. ``wants`` is what a typed number means.
    """

    hint: str
    traces: tuple[Trace, ...] = ()
    symbols: tuple[Symbol, ...] = ()
    notes: tuple[Note, ...] = ()
    anchor: Point | None = None
    before: Point | None = None
    own: tuple[Point, ...] = ()
    rays: tuple[Ray, ...] = ()
    among: Job | None = None
    ghost: Job | None = None
    moving: tuple[str, ...] = ()
    box: tuple[Point, Point] | None = None
    select: tuple[str, ...] | None = None
    vertex: Vertex | None = None
    wants: Literal["point", "level", ""] = "point"
    snaps: bool = True
    hovers: bool = False
    passes: frozenset[str] = frozenset()  # further things that do not draw the pointer
    readout: bool = False  # show length and direction from the anchor
    follows: bool = False  # what is shown follows the water: it is shown anew when the ground was studied again


class Click(Struct, frozen=True):
    """A click that selected something: where, and what was selected before when it went on to what lies below."""

    at: Point
    before: tuple[str, ...] = ()


class Outcome(Struct, frozen=True):
    """What came of a gesture: the job after it, what was done (for undo), what to select, a sentence to tell, a field to fill in.

    ``merge``: the next outcome of the same label and selection is part of the same step.
    """

    job: Job
    label: str = ""
    select: tuple[str, ...] | None = None
    told: str = ""
    vertex: Vertex | None = None
    merge: bool = False
    click: Click | None = None
    ask: str = ""  # the field of its details that is to be filled in next


def no_way(_at: Point) -> Way | None:
    """Return no way: the ground is not known."""
    return None


class Start(Struct, frozen=True):
    """What a gesture starts from. ``follow`` tells the way of a drop that falls on a point; None while nobody can tell."""

    job: Job
    index: PlanIndex
    choice: str = ""
    selection: tuple[str, ...] = ()
    vertex: Vertex | None = None
    click: Click | None = None  # the one just before
    follow: Callable[[Point], Way | None] = no_way
    sight: str = ""  # the sight of the level book to place first


Gesture = Generator[Preview, Event, Outcome]
Points = Generator[Preview, Event, tuple[Point, ...]]
StartTool = Callable[[Start], Gesture]
