"""The tools of the plan, read top to bottom: a new tool is one line here."""

from msgspec import Struct

from drainsketch.desk.tools.drains import BASIN_CHOICES, OUTFALL_CHOICES, PIPE_CHOICES, run_tool, structure_tool
from drainsketch.desk.tools.follow import HINT as FOLLOW_HINT
from drainsketch.desk.tools.follow import follow
from drainsketch.desk.tools.gesture import StartTool
from drainsketch.desk.tools.measure import measure
from drainsketch.desk.tools.place import HINT as PLACE_HINT
from drainsketch.desk.tools.place import place
from drainsketch.desk.tools.select import select
from drainsketch.desk.tools.yard import (
    BREAKLINE_CHOICES,
    SERVICE_CHOICES,
    TRUNK_CHOICES,
    boundary,
    breakline,
    fence,
    heap_tool,
    new_downspout,
    new_tree,
    new_well,
    outline_tool,
    point_tool,
    service,
    shot,
)


class ToolSpec(Struct, frozen=True):
    """One tool: its stable name, its label, its key, its group, its icon, the first thing it tells, how it starts.

    ``choices`` are what the tool can draw, the first of them unless the user picks another.
    """

    name: str
    label: str
    key: str
    group: str
    hint: str
    start: StartTool
    choices: tuple[str, ...] = ()

    @property
    def icon(self) -> str:
        """The name of its icon, without the suffix."""
        return self.name


GROUPS: tuple[tuple[str, str], ...] = (
    ("point", "Point and measure"),
    ("yard", "The yard"),
    ("services", "Buried services"),
    ("levels", "Levels"),
    ("drains", "Drains"),
)


def _outline(name: str, label: str, key: str, what: str) -> ToolSpec:
    kind = next(k for k in ("building", "hardscape", "bed", "septic", "other") if k == name)
    return ToolSpec(name, label, key, "yard", f"Click the corners of the {what}.", outline_tool(kind, what))


_DOWNSPOUT = "Click where the downspout comes down."
_TREE = "Click the middle of the trunk; its size stands beside the tool."
_WELL = "Click the well."

TOOLS: tuple[ToolSpec, ...] = (
    ToolSpec("select", "Select", "S", "point", "Click something to select it, or drag a box round several.", select),
    ToolSpec("measure", "Tape", "M", "point", "Click where the tape starts.", measure),
    ToolSpec(
        "boundary", "Lot line", "L", "yard", "Click the corners of the lot; the first corner closes it.", boundary
    ),
    _outline("building", "House or shed", "H", "building"),
    _outline("hardscape", "Paving", "P", "paved area"),
    ToolSpec(
        "tree", "Tree", "T", "yard", _TREE, point_tool(new_tree, "trunk", _TREE, "Place a tree"), choices=TRUNK_CHOICES
    ),
    ToolSpec("fence", "Fence or wall", "F", "yard", "Click along the fence; Enter ends it.", fence),
    _outline("bed", "Planting bed", "B", "planting bed"),
    _outline("septic", "Septic area", "K", "septic area"),
    ToolSpec("well", "Well", "W", "yard", _WELL, point_tool(new_well, "well", _WELL, "Place a well")),
    _outline("other", "Other obstacle", "O", "obstacle"),
    ToolSpec(
        "downspout",
        "Downspout",
        "V",
        "yard",
        _DOWNSPOUT,
        point_tool(new_downspout, "downspout", _DOWNSPOUT, "Place a downspout"),
    ),
    ToolSpec("spoil-heap", "Spoil heap", "Q", "yard", "Click the corners of the heap.", heap_tool("spoil heap")),
    ToolSpec("fill-area", "Fill area", "Z", "yard", "Click the corners of the fill area.", heap_tool("fill area")),
    ToolSpec(
        "service",
        "Buried service",
        "G",
        "services",
        "Choose the kind, then click along the marks; Enter ends the line.",
        service,
        choices=SERVICE_CHOICES,
    ),
    ToolSpec("shot", "Ground shot", "E", "levels", "Click where the rod stood, then type the level.", shot),
    ToolSpec("place-sight", "Shot from the level book", "Y", "levels", PLACE_HINT, place),
    ToolSpec(
        "breakline",
        "Breakline",
        "N",
        "levels",
        "Click from shot to shot along the foot of a wall, a curb or a swale; Enter ends it.",
        breakline,
        choices=BREAKLINE_CHOICES,
    ),
    ToolSpec("follow-drop", "Follow a drop", "A", "levels", FOLLOW_HINT, follow),
    ToolSpec(
        "basin",
        "Catch basin",
        "C",
        "drains",
        "Click where the basin goes: on open ground or on a run.",
        structure_tool("basin", "basin"),
        choices=BASIN_CHOICES,
    ),
    ToolSpec(
        "downspout-inlet",
        "Downspout inlet",
        "I",
        "drains",
        "Click at the foot of a downspout.",
        structure_tool("downspout inlet", "downspout inlet"),
    ),
    ToolSpec("fitting", "Fitting", "J", "drains", "Click where pipes join.", structure_tool("fitting", "fitting")),
    ToolSpec(
        "cleanout", "Cleanout", "U", "drains", "Click where the cleanout goes.", structure_tool("cleanout", "cleanout")
    ),
    ToolSpec(
        "outfall",
        "Outfall",
        "X",
        "drains",
        "Click where the water leaves.",
        structure_tool("outfall", "outfall"),
        choices=OUTFALL_CHOICES,
    ),
    ToolSpec(
        "drain-run",
        "Drain run (perforated, in stone)",
        "D",
        "drains",
        "Click where the run starts, its bends, and where it ends.",
        run_tool("drain"),
        choices=PIPE_CHOICES,
    ),
    ToolSpec(
        "solid-run",
        "Solid run",
        "R",
        "drains",
        "Click where the run starts, its bends, and where it ends.",
        run_tool("solid"),
        choices=PIPE_CHOICES,
    ),
)


def tool(name: str) -> ToolSpec:
    """Return the tool with that name. Raises KeyError when there is none."""
    try:
        return next(t for t in TOOLS if t.name == name)
    except StopIteration:
        raise KeyError(name) from None
