"""Drives a tool: pointer and keys become plan events, previews come back, outcomes go to the session. No widget here."""

from msgspec import Struct
from msgspec.structs import replace
from PySide6.QtCore import QObject, Signal

from drainsketch.desk.entry import FARTHEST_FT, OPENERS, Entry
from drainsketch.desk.following import Follower
from drainsketch.desk.session import Session
from drainsketch.desk.tools.catalogue import ToolSpec, tool
from drainsketch.desk.tools.gesture import (
    Click,
    Doubled,
    Event,
    Gesture,
    Keyed,
    Moved,
    Outcome,
    Pressed,
    Preview,
    Released,
    Start,
    Typed,
)
from drainsketch.errors import LengthError
from drainsketch.job.ask import thing
from drainsketch.job.edits.move import bends
from drainsketch.job.kinds import Point, Units
from drainsketch.job.picking import Vertex, pick
from drainsketch.job.plan_index import PlanIndex, index_of
from drainsketch.job.snapping import Snap, aimed, snap
from drainsketch.job.units import parse_length_ft

TYPED_REACH_FT = 0.01  # a typed point joins what lies exactly there


Kind = type[Moved] | type[Pressed] | type[Released] | type[Doubled]


class Aim(Struct, frozen=True):
    """Where the pointer was last, ft, and how it was aiming."""

    raw: Point
    reach_ft: float
    free: bool = False  # Alt was held: nothing draws the pointer
    add: bool = False


class Driver(QObject):
    """Holds the tool in hand, its gesture, the pointer and what is being typed; the canvas shows them."""

    shown = Signal()  # what the canvas shows of the gesture changed
    hint_changed = Signal(str)
    entry_changed = Signal(str)
    tool_changed = Signal(str)
    field_asked = Signal(str)  # a field of the details of what was drawn, to be filled in next
    point_typed = Signal(float, float)  # plan feet

    def __init__(self, session: Session, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self.session = session
        self.spec: ToolSpec = tool("select")
        self.preview = Preview(hint="")
        self.entry: Entry | None = None
        self.fault = ""  # why what is typed cannot be read
        self.toward: Point | None = None  # where a leg goes whose length alone is typed
        self.snap: Snap | None = None
        self.at: Point | None = None  # where the pointer was drawn to
        self.hovered = ""
        self.index: PlanIndex = index_of(session.job)
        self._choices: dict[str, str] = {}
        self._sight = ""
        self._gesture: Gesture | None = None
        self._follower = Follower(session)
        self._start = Start(session.job, self.index)
        self._aim: Aim | None = None
        self._outside = False  # the pointer left the plan
        self._vertex: Vertex | None = None
        self._click: Click | None = None
        self._hint = ""
        self._sent: list[Event] = []  # what made the gesture what it is
        session.changed.connect(self._session_changed)
        session.selected.connect(self._session_selected)
        session.studied.connect(self._session_studied)
        self.restart()

    # -- the tool in hand

    def set_tool(self, name: str) -> None:
        """Take a tool in hand; what was begun is dropped. Raises KeyError for an unknown name."""
        spec = tool(name)
        changed = spec is not self.spec
        self.spec = spec
        self._vertex = self._click = None
        self.restart()
        if changed:
            self.tool_changed.emit(name)

    def choice_of(self, name: str) -> str:
        """Return what a tool is set to draw; '' for a tool without choices."""
        choices = tool(name).choices
        return self._choices.get(name, choices[0]) if choices else ""

    def set_choice(self, name: str, choice: str) -> None:
        """Set what a tool draws; a choice it does not have is ignored. A line that is begun goes on as the new choice."""
        if choice in tool(name).choices and choice != self.choice_of(name):
            self._choices[name] = choice
            if name == self.spec.name:
                sent = tuple(self._sent)
                self.restart()
                for event in sent:
                    self.send(event)

    def set_sight(self, sight_id: str) -> None:
        """Set which sight of the level book is placed first; a line that is begun goes on."""
        if sight_id != self._sight:
            self._sight = sight_id
            if not self.begun:
                self.restart()

    def restart(self) -> None:
        """Begin the tool's gesture anew; what was begun is dropped."""
        if self._gesture is not None:
            self._gesture.close()
        self._set_entry(None)
        job = self.session.job
        self.index = index_of(job, self.index)
        if self._vertex is not None:
            owner = thing(job, self._vertex.id)
            if owner is None or owner.id not in self.session.selection or self._vertex.index >= len(bends(owner)):
                self._vertex = None
        choice = self.choice_of(self.spec.name)
        self._start = Start(
            job, self.index, choice, self.session.selection, self._vertex, self._click, self._follower.way, self._sight
        )
        self._gesture = self.spec.start(self._start)
        self._sent.clear()
        self._show(next(self._gesture))
        if self._aim is not None:
            self._point(Moved, self._aim)

    def cancel(self) -> None:
        """Go one step back towards rest: the entry, the gesture, the selection, the tool."""
        if self.entry is not None:
            self._set_entry(None)
            self._hint_now(self.preview.hint)
        elif self.begun:
            self.restart()
        elif self.spec.name != "select":
            self.set_tool("select")
        else:
            self.session.select(())

    @property
    def begun(self) -> bool:
        """Whether there is something of a gesture to take back."""
        shown = self.preview
        return shown.anchor is not None or shown.box is not None or shown.ghost is not None

    @property
    def dragging(self) -> bool:
        """Whether the pointer drags something, a box included."""
        return self.preview.box is not None or self.preview.ghost is not None

    # -- what the user does

    def point(self, kind: Kind, aim: Aim) -> None:
        """Send a pointer event to the gesture; ``kind`` is Moved, Pressed, Released or Doubled."""
        self._outside = False
        self._point(kind, aim)

    def _point(self, kind: Kind, aim: Aim) -> None:
        self._aim = aim
        if self.entry is not None:
            if kind is Moved:
                self._aim_entry()
                return
            if kind is Pressed:  # a click takes the typed text back
                self._set_entry(None)
        self._take_aim(aim)
        assert self.at is not None  # an aim was taken
        self.send(kind(at=self.at, raw=aim.raw, reach_ft=aim.reach_ft, snap=self.snap, add=aim.add))

    def left(self) -> None:
        """Note that the pointer left the plan."""
        self.hovered, self.snap, self._outside = "", None, True
        self.shown.emit()

    def key(self, key: Keyed) -> None:
        """Take a key that has a meaning: to the entry while one is open, else to the gesture."""
        if self.entry is None:
            self.send(key)
        elif key.key == "enter":
            self._commit_entry()
        elif key.key == "backspace":
            self._set_entry(self.entry.erased())
            self._aim_entry()

    def type_text(self, text: str) -> bool:
        """Take a typed character; return whether it was for an entry."""
        if self.entry is None:
            if not self.preview.wants or not text or text not in OPENERS:
                return False
            if text == "@" and (self.preview.wants != "point" or self.preview.anchor is None):
                return False
            self._set_entry(Entry())
        assert self.entry is not None  # it was just opened
        self._set_entry(self.entry.typed(text))
        self._aim_entry()
        return True

    def turn_entry(self) -> bool:
        """Go on to the direction, or back to the length; return whether there was a line to turn."""
        if self.preview.wants != "point" or self.preview.anchor is None:
            return False
        self._set_entry((self.entry or Entry()).turned())
        return True

    def send(self, event: Event) -> None:
        """Send a plan event to the gesture and take what comes of it."""
        assert self._gesture is not None  # restart leaves one
        if not isinstance(event, Moved):
            self._sent.append(event)
        outcome: Outcome | None = None
        try:
            shown = self._gesture.send(event)
        except StopIteration as end:
            outcome = end.value
        if outcome is None:
            self._show(shown)
            return
        self._gesture = None
        try:
            self._finish(outcome)
        finally:
            if self._gesture is None:  # neither job nor selection changed
                self.restart()

    # -- inside

    def _finish(self, outcome: Outcome) -> None:
        self._vertex, self._click = outcome.vertex, outcome.click
        self.session.apply(outcome.job, outcome.label, merge=outcome.merge)
        if outcome.select is not None:
            self.session.select(outcome.select)
        if outcome.told:
            self.session.tell(outcome.told)
        if outcome.ask:
            self.field_asked.emit(outcome.ask)

    def _show(self, preview: Preview) -> None:
        self.preview = preview
        if preview.select is not None and preview.select != self.session.selection:
            self._start = replace(self._start, selection=preview.select, vertex=None, click=None)
            self.session.select(preview.select)
        self._hint_now(preview.hint)
        self.shown.emit()

    def _take_aim(self, aim: Aim) -> None:
        shown = self.preview
        hovers = shown.hovers and not self._outside
        self.hovered = next(iter(pick(self.index, aim.raw, aim.reach_ft)), "") if hovers else ""
        self.snap = None
        if shown.snaps and not aim.free:
            self.snap = snap(
                self._snap_index(),
                aim.raw,
                aim.reach_ft,
                anchor=shown.anchor,
                before=shown.before,
                own=shown.own,
                rays=shown.rays,
                skip=shown.passes.union(shown.moving),
            )
        x, y = self.snap.point if self.snap is not None else (round(aim.raw[0], 2), round(aim.raw[1], 2))
        self.at = (_held(round(x, 6)), _held(round(y, 6)))

    def _aim_entry(self) -> None:
        """Show the line as typed, as far as it can be read."""
        if self.entry is None:
            return
        units, anchor = self.session.job.header.units, self.preview.anchor
        self.fault = unreadable(self.entry, units)
        if self.preview.wants != "point" or anchor is None:
            self.shown.emit()
            return
        self._take_toward()
        self.snap = None
        try:
            end = self.at = self.entry.target(anchor, self.toward, units)
        except LengthError:
            end = anchor  # no leg until all of it can be read
        self.send(Moved(at=end, raw=end, reach_ft=TYPED_REACH_FT))

    def _take_toward(self) -> None:
        """Take where the leg goes for which no direction is typed."""
        aim, anchor = self._aim, self.preview.anchor
        if aim is not None:
            self._take_aim(aim)
        self.toward = self.at
        if aim is not None and anchor is not None and not aim.free:
            x, y = aimed(self._snap_index(), self.snap, anchor, self.preview.before, aim.raw, aim.reach_ft)
            self.toward = (_held(round(x, 6)), _held(round(y, 6)))

    def _snap_index(self) -> PlanIndex:
        among = self.preview.among
        return self.index if among is None else index_of(among, self.index)

    def _commit_entry(self) -> None:
        assert self.entry is not None  # the caller looked
        units = self.session.job.header.units
        try:
            if self.preview.wants == "level":
                event: Event = Typed(parse_length_ft(self.entry.length, units))
            else:
                self._take_toward()
                event = self._typed_point(self.entry.target(self.preview.anchor, self.toward, units))
        except LengthError as fault:
            self.fault = str(fault)
            self._hint_now(self.fault)
            self.shown.emit()
            return
        self._set_entry(None)
        self.send(event)
        if isinstance(event, Pressed):
            self.point_typed.emit(*event.at)
        if self._aim is not None and self._gesture is not None:
            self._point(Moved, self._aim)

    def _typed_point(self, at: Point) -> Pressed:
        found = snap(self._snap_index(), at, TYPED_REACH_FT, own=self.preview.own)
        return Pressed(at=found.point if found else at, raw=at, reach_ft=TYPED_REACH_FT, snap=found)

    def _set_entry(self, entry: Entry | None) -> None:
        if entry != self.entry:
            self.entry, self.fault = entry, ""
            self.entry_changed.emit("" if entry is None else getattr(entry, entry.field))
            self.shown.emit()

    def _hint_now(self, hint: str) -> None:
        if hint != self._hint:
            self._hint = hint
            self.hint_changed.emit(hint)

    def _session_changed(self) -> None:
        if self.session.job is not self._start.job or self._gesture is None:
            self.restart()

    def _session_studied(self) -> None:
        if self.preview.follows and self._aim is not None:
            self._point(Moved, self._aim)

    def _session_selected(self) -> None:
        if self.session.selection != self._start.selection or self._gesture is None:
            self.restart()


def unreadable(entry: Entry, units: Units) -> str:
    """Return why a typed length cannot be read; '' while it can, or may only not be finished."""
    text = entry.length.strip()
    if entry.field != "length" or not text or "," in text or not text[-1].isdigit():
        return ""
    try:
        parse_length_ft(text, units)
    except LengthError as fault:
        return "" if "'" in text and _is_length(f"{text}/64", units) else str(fault)  # 6' 3 1 goes on to 6' 3 1/2
    return ""


def _is_length(text: str, units: Units) -> bool:
    try:
        parse_length_ft(text, units)
    except LengthError:
        return False
    return True


def _held(feet: float) -> float:
    return min(FARTHEST_FT, max(-FARTHEST_FT, feet))
