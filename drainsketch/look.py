"""The look: palette, line styles, symbols and names, settled once. Every screen and every sheet draws from here.

Where it comes from:
- buried services: the uniform color code (APWA / ANSI Z535 colors; green is sewers and drain lines);
- new drain pipe: dark ink, since no service color may be taken; perforated pipe broken, solid pipe unbroken, as drafting
  practice draws them; the stone round a drain as a pale band;
- lot line: long dash with two short ones, hidden and overhead things dashed (drafting practice);
- everything else: our own choice, quiet, so that pipe and services stand out, and legible in black and white.

Widths and dashes are points (1/72 in) on paper and device-independent pixels on screen. Symbols are strokes in a square
from -1 to 1, y up, so that the window, the sheets and the icons draw the same ones.
"""

from msgspec import Struct

INK = "#1d2733"  # new pipe, text
QUIET = "#6b7683"  # dimensions, small text
PAPER = "#ffffff"
GRID = "#e6eaee"
STONE = "#cfc7b8"
SELECTED = "#b0127b"  # magenta: no service and no ground thing has it
SNAP = "#0a7a6c"
OVERLAND = "#2f5d78"  # water on its way over the ground
LEVEL_COLORS = {"stop": "#b3261e", "settle": "#a65f00", "note": "#44546a"}
LEVEL_SIGNS = {"stop": "octagon", "settle": "triangle", "note": "disc"}  # never by color alone

SERVICE_COLORS = {
    "electric": "#d6201f",
    "gas": "#f2c200",
    "communication": "#f07800",
    "water": "#1769d2",
    "irrigation": "#7a2fa0",
    "sewer": "#1e8a3c",
    "drain line": "#1e8a3c",
    "unidentified": "#555555",
}
SERVICE_LETTERS = {
    "electric": "E",
    "gas": "G",
    "communication": "C",
    "water": "W",
    "irrigation": "I",
    "sewer": "S",
    "drain line": "D",
    "unidentified": "?",
}


class Style(Struct, frozen=True):
    """How a line or area is drawn; None means not drawn. ``casing`` is a wider line under it, for pale colors."""

    stroke: str | None = None
    width_pt: float = 1.0
    dash_pt: tuple[float, ...] = ()
    fill: str | None = None
    casing: str | None = None
    casing_pt: float = 0.0
    opacity: float = 1.0  # of the fill


WATER_SHADES = (  # of standing water at so many feet of depth: a gray blue, far from the color of the water service
    (0.0, "#cad7df"),
    (1 / 12, "#a3b9c6"),
    (3 / 12, "#7696a8"),
    (6 / 12, "#466e85"),
)
AREA_TINTS = ("#d3bd7a", "#acc394", "#d0acb2", "#b6b0d0", "#a5c5b9", "#d8b290")  # of the ground that reaches an inlet

STYLES: dict[str, Style] = {
    "backdrop": Style(stroke="#8b949e", width_pt=0.8),
    "boundary": Style(stroke=INK, width_pt=1.4, dash_pt=(14, 3, 2, 3, 2, 3)),
    "building": Style(stroke="#3d4650", width_pt=1.6, fill="#d9dde2"),
    "hardscape": Style(stroke="#9aa3ad", width_pt=0.8, fill="#eff0f2"),
    "bed": Style(stroke="#8a9a5b", width_pt=0.8, dash_pt=(4, 2), fill="#f1f4e6"),
    "septic": Style(stroke="#7a4a1e", width_pt=1.2, dash_pt=(6, 3), fill="#f3e9df"),
    "other": Style(stroke="#7b8490", width_pt=1.0, dash_pt=(3, 2), fill="#f3f4f6"),
    "spoil heap": Style(stroke="#7c5a34", width_pt=1.3, dash_pt=(1.5, 2.5), fill="#e8dac6"),
    "fill area": Style(stroke="#7c6a34", width_pt=1.0, dash_pt=(9, 3, 2, 3), fill="#f0ead3"),
    "fence": Style(stroke="#6d5f4b", width_pt=1.0, dash_pt=(9, 3)),
    "breakline": Style(stroke="#7d5a3c", width_pt=0.9, dash_pt=(7, 2, 1, 2)),
    "contour": Style(stroke="#998b74", width_pt=0.8),
    "contour.index": Style(stroke="#85755b", width_pt=1.4),
    "standing water": Style(stroke="#6d8796", width_pt=1.0, dash_pt=(5, 2), fill="#9fb6c3", opacity=0.5),
    "inlet area": Style(stroke="#85795a", width_pt=1.0, dash_pt=(2, 3), fill="#f3efe2"),
    "fall arrow": Style(stroke="#74808b", width_pt=1.2),
    "root zone": Style(stroke="#5d7d4a", width_pt=0.7, dash_pt=(2, 3)),
    "trunk": Style(stroke="#4d5b34", width_pt=1.0, fill="#a8b48f"),
    "well": Style(stroke="#26506e", width_pt=1.2, fill=PAPER),
    "stone band": Style(fill=STONE),
    "pit": Style(stroke=INK, width_pt=1.1, dash_pt=(5, 3)),
    "run.drain": Style(stroke=INK, width_pt=2.2, dash_pt=(10, 3)),
    "run.solid": Style(stroke=INK, width_pt=2.2),
    "run.unshot": Style(stroke=QUIET, width_pt=1.6, dash_pt=(2, 3)),
    "hand-dig zone": Style(fill="#fff0d6", stroke="#c98a2b", width_pt=0.5, dash_pt=(2, 2)),
    "leader": Style(stroke=QUIET, width_pt=0.5),
    "ground line": Style(stroke="#6d5f4b", width_pt=1.3),
    "ground guess": Style(stroke="#6d5f4b", width_pt=1.3, dash_pt=(3, 3)),
    "trench line": Style(stroke="#9a8b76", width_pt=0.8, dash_pt=(5, 2)),
    "pipe wall": Style(stroke=INK, width_pt=1.2, fill="#c9d2da"),
    "pipe inside": Style(stroke=INK, width_pt=0.5),
    "earth": Style(fill="#f5f0e6"),
    "topsoil cap": Style(fill="#b79f7c"),
    "basin wall": Style(stroke=INK, width_pt=1.2, fill=PAPER),
    "basin sump": Style(stroke=INK, width_pt=0.7, fill="#dfe4e8"),
    "grade line": Style(stroke="#3f78a3", width_pt=1.3),
    "grade line.over": Style(stroke=LEVEL_COLORS["stop"], width_pt=1.8),
    "laid pipe": Style(stroke=SNAP, width_pt=1.6),
    "belly": Style(stroke="#2f5d78", width_pt=3.0),
    # a run in the storm: wider where it is too small, broken where soil settles
    "storm.carries": Style(stroke="#8fc5b6", width_pt=8.0),
    "storm.slow": Style(stroke="#bf8a2c", width_pt=8.0, dash_pt=(8, 4)),
    "storm.too small": Style(stroke="#e08f86", width_pt=14.0),
    "overland": Style(stroke=OVERLAND, width_pt=1.8, dash_pt=(6, 3)),
    "match line": Style(stroke=INK, width_pt=1.8, dash_pt=(24, 4, 6, 4, 6, 4)),
    "frame": Style(stroke=INK, width_pt=0.9),
    "hair": Style(stroke="#b9c0c8", width_pt=0.5),
    "flow arrow": Style(fill=INK),
    **{
        f"service.{kind}": Style(
            stroke=color,
            width_pt=1.8,
            dash_pt=(12, 3, 3, 3) if kind != "unidentified" else (3, 3),
            casing="#7a6200" if kind == "gas" else None,
            casing_pt=3.0 if kind == "gas" else 0.0,
        )
        for kind, color in SERVICE_COLORS.items()
    },
}

# the owner's plan: a lawn, a house, new pipe in the blue of running water; names end as OWNERS does
OWNERS = "|owner"
_OWNERS_STYLES: dict[str, Style] = {
    "boundary": Style(stroke="#6f8a55", width_pt=1.6, fill="#eaf3df"),
    "building": Style(stroke="#8a6a4f", width_pt=1.4, fill="#ecdcc8"),
    "hardscape": Style(stroke="#a9a49a", width_pt=0.8, fill="#e2dfd8"),
    "bed": Style(stroke="#7d9a45", width_pt=0.8, fill="#cfe0a4"),
    "fence": Style(stroke="#8a6a4f", width_pt=1.2, dash_pt=(9, 3)),
    "root zone": Style(stroke="#7fa068", width_pt=0.7, fill="#b9d69f", opacity=0.5),
    "standing water": Style(stroke="#3f7fa3", width_pt=1.2, dash_pt=(5, 2), fill="#9cc4dc", opacity=0.75),
    "stone band": Style(fill="#b9ab93"),
    "run.drain": Style(stroke="#14496b", width_pt=3.2, dash_pt=(11, 4)),
    "run.solid": Style(stroke="#14496b", width_pt=3.2),
}

# the storm as it is played: water in a run over the pipe's own width, and a full one; rain and the moment shown are of the hydrograph
PLAYED: dict[str, Style] = {
    "pipe": Style(stroke="#4b97b5", width_pt=7.0, casing="#5d7180", casing_pt=9.0),
    "full": Style(stroke="#14496b", width_pt=7.0, casing=INK, casing_pt=10.0),
    "over": Style(stroke="#3f7fa3", width_pt=2.6, dash_pt=(9, 5)),
    "rain": Style(fill="#9db7c7"),
    "moment": Style(stroke=SELECTED, width_pt=1.4),
}
# lines of a hydrograph, told apart by their dash as well
TRACES: dict[str, Style] = {
    "arrives": Style(stroke="#2f6f9f", width_pt=1.6, dash_pt=(7, 3)),
    "takes": Style(stroke="#14496b", width_pt=2.2),
    "passes": Style(stroke=LEVEL_COLORS["settle"], width_pt=1.8, dash_pt=(2, 3)),
    "leaves": Style(stroke="#14496b", width_pt=2.2, dash_pt=(14, 3)),
    "flow": Style(stroke="#14496b", width_pt=2.2),
    "filled": Style(stroke="#2c8470", width_pt=1.6, dash_pt=(7, 2, 2, 2)),
    "level": Style(stroke="#2c8470", width_pt=1.8, dash_pt=(9, 2, 2, 2)),
    "rim": Style(stroke=INK, width_pt=1.0, dash_pt=(3, 3)),
    "stands before": Style(stroke="#8a5a2b", width_pt=1.8, dash_pt=(4, 3)),
    "stands": Style(stroke="#2c8470", width_pt=2.0, dash_pt=(9, 2, 2, 2)),
}


class Part(Struct, frozen=True):
    """A piece of a symbol in the square -1..1: a polyline, polygon ('closed') or circle (one point and ``radius``)."""

    points: tuple[tuple[float, float], ...]
    radius: float = 0.0
    closed: bool = False
    filled: bool = False  # with the symbol's ink; an unfilled closed part is filled with paper
    width: float = 1.0  # times the symbol's line width


class Symbol(Struct, frozen=True):
    """A plan symbol: its parts, its ink and its full size on paper, pt."""

    parts: tuple[Part, ...]
    size_pt: float
    ink: str = INK


def _circle(x: float, y: float, r: float, filled: bool = False) -> Part:
    return Part(points=((x, y),), radius=r, closed=True, filled=filled)


def _line(*points: tuple[float, float], width: float = 1.0) -> Part:
    return Part(points=points, width=width)


def _area(*points: tuple[float, float], filled: bool = False) -> Part:
    return Part(points=points, closed=True, filled=filled)


_SQUARE = _area((-0.9, -0.9), (0.9, -0.9), (0.9, 0.9), (-0.9, 0.9))
SYMBOLS: dict[str, Symbol] = {
    # a square grate seen from above
    "basin": Symbol(
        parts=(_SQUARE, *(_line((x, -0.55), (x, 0.55)) for x in (-0.5, 0.0, 0.5))),
        size_pt=13,
    ),
    "fitting": Symbol(parts=(_circle(0, 0, 0.8, filled=True),), size_pt=6),
    # a capped riser: ring in a ring
    "cleanout": Symbol(parts=(_circle(0, 0, 0.9), _circle(0, 0, 0.35, filled=True)), size_pt=10),
    # water arriving from above
    "downspout inlet": Symbol(
        parts=(_circle(0, 0, 0.9), _area((-0.5, 0.3), (0.5, 0.3), (0.0, -0.55), filled=True)), size_pt=12
    ),
    # pipe end with splayed wings
    "outfall.daylight": Symbol(
        parts=(_area((-0.9, 0), (0.5, 0.9), (0.5, -0.9), filled=True), _line((0.85, 0.9), (0.85, -0.9))), size_pt=14
    ),
    # a lid with a rising dot
    "outfall.pop-up": Symbol(
        parts=(_circle(0, 0, 0.9), _circle(0, 0, 0.55), _circle(0, 0, 0.2, filled=True)), size_pt=14
    ),
    # joined to a pipe that is there
    "outfall.tie-in": Symbol(
        parts=(_area((0, 0.95), (0.95, 0), (0, -0.95), (-0.95, 0)), _line((-0.45, 0), (0.45, 0), width=2)), size_pt=14
    ),
    "outfall.curb": Symbol(
        parts=(_area((-0.9, -0.3), (0.9, -0.3), (0.9, 0.3), (-0.9, 0.3)), _line((0, 0.9), (0, -0.9), width=2)),
        size_pt=14,
    ),
    "outfall.dry well": Symbol(
        parts=(
            _circle(0, 0, 0.95),
            *(_circle(x, y, 0.16, filled=True) for x, y in ((0, 0.45), (0.4, -0.25), (-0.4, -0.25))),
        ),
        size_pt=15,
    ),
    "downspout": Symbol(
        parts=(
            _area((-0.8, -0.8), (0.8, -0.8), (0.8, 0.8), (-0.8, 0.8)),
            _line((-0.8, -0.8), (0.8, 0.8)),
            _line((-0.8, 0.8), (0.8, -0.8)),
        ),
        size_pt=8,
    ),
    # a level read on laid pipe, and one that is off the plan
    "laid": Symbol(parts=(_area((-0.7, -0.7), (0.7, -0.7), (0.7, 0.7), (-0.7, 0.7)),), size_pt=7),
    "laid.off": Symbol(
        parts=(_line((-0.9, -0.9), (0.9, 0.9), width=1.6), _line((-0.9, 0.9), (0.9, -0.9), width=1.6)),
        size_pt=9,
        ink=LEVEL_COLORS["stop"],
    ),
    "shot": Symbol(parts=(_line((-0.9, 0), (0.9, 0)), _line((0, -0.9), (0, 0.9))), size_pt=7, ink="#54606d"),
    "well": Symbol(parts=(_circle(0, 0, 0.9), _circle(0, 0, 0.5)), size_pt=11, ink="#26506e"),
    "flow": Symbol(parts=(_area((0.9, 0), (-0.6, 0.6), (-0.6, -0.6), filled=True),), size_pt=7),
    "north": Symbol(
        parts=(_area((0, 1), (0.45, -0.8), (0, -0.45), filled=True), _area((0, 1), (-0.45, -0.8), (0, -0.45))),
        size_pt=34,
    ),
    "octagon": Symbol(
        parts=(
            _area(
                *(
                    (0.92, 0.38),
                    (0.38, 0.92),
                    (-0.38, 0.92),
                    (-0.92, 0.38),
                    (-0.92, -0.38),
                    (-0.38, -0.92),
                    (0.38, -0.92),
                    (0.92, -0.38),
                ),
                filled=True,
            ),
        ),
        size_pt=14,
        ink=LEVEL_COLORS["stop"],
    ),
    "triangle": Symbol(
        parts=(_area((0, 0.95), (0.95, -0.75), (-0.95, -0.75), filled=True),), size_pt=14, ink=LEVEL_COLORS["settle"]
    ),
    "disc": Symbol(parts=(_circle(0, 0, 0.75, filled=True),), size_pt=12, ink=LEVEL_COLORS["note"]),
    # where water leaves the yard: a broad arrow, for the owner
    "water leaves": Symbol(
        parts=(
            _area((1, 0), (0.1, 0.75), (0.1, 0.32), (-1, 0.32), (-1, -0.32), (0.1, -0.32), (0.1, -0.75), filled=True),
        ),
        size_pt=26,
        ink="#2478ad",
    ),
    # which way water runs over the ground: so wide that it shows on both sides of pipe below it
    "overland": Symbol(
        parts=(_line((-0.35, 0.9), (0.25, 0), (-0.35, -0.9), width=1.8),),
        size_pt=22,
        ink=OVERLAND,
    ),
    # water that wells up out of a grate and falls to both sides
    "comes out": Symbol(
        parts=(
            _circle(0, 0, 0.95),
            _line((-0.5, -0.55), (0.5, -0.55), width=2),
            _line((0, -0.45), (0, 0.6), width=1.6),
            _line((-0.28, 0.3), (0, 0.62), (0.28, 0.3), width=1.6),
            _line((-0.22, -0.2), (-0.35, 0.05), (-0.52, 0.05), (-0.62, -0.2)),
            _line((0.22, -0.2), (0.35, 0.05), (0.52, 0.05), (0.62, -0.2)),
        ),
        size_pt=19,
        ink=LEVEL_COLORS["stop"],
    ),
    # a dry well of which nobody can say whether it holds the storm
    "not proved": Symbol(
        parts=(
            _circle(0, 0, 0.95),
            _line(
                (-0.32, 0.3), (-0.2, 0.55), (0.1, 0.6), (0.33, 0.38), (0.28, 0.12), (0, -0.08), (0, -0.28), width=1.8
            ),
            _circle(0, -0.56, 0.1, filled=True),
        ),
        size_pt=19,
        ink=LEVEL_COLORS["settle"],
    ),
    # crossing flag in the ink of the gravest finding about it; its number is written in it
    **{
        name: Symbol(parts=(_area((0, 1), (1, 0), (0, -1), (-1, 0)),), size_pt=17, ink=LEVEL_COLORS[level])
        for name, level in (("crossing", "stop"), ("crossing.settle", "settle"), ("crossing.note", "note"))
    },
}


class Lettering(Struct, frozen=True):
    """How a label is written; ``halo`` keeps it legible over lines."""

    size_pt: float
    color: str = INK
    bold: bool = False
    condensed: bool = True
    halo: str | None = PAPER


LETTERING: dict[str, Lettering] = {
    "structure": Lettering(size_pt=9.5, bold=True),
    "level": Lettering(size_pt=9),
    "run": Lettering(size_pt=9),
    "service": Lettering(size_pt=9, bold=True),
    "shot": Lettering(size_pt=9, color="#54606d"),
    "place": Lettering(size_pt=9, color=QUIET),
    "dimension": Lettering(size_pt=9, color=QUIET),
    "contour": Lettering(size_pt=9, color="#6f6149"),
    "water": Lettering(size_pt=9, bold=True, color="#3d5666"),
    "comes out": Lettering(size_pt=9, bold=True, color=LEVEL_COLORS["stop"]),
    "crossing": Lettering(size_pt=9, bold=True, color=LEVEL_COLORS["stop"], halo=None),
}


_OWNERS_LETTERING: dict[str, Lettering] = {
    "structure": Lettering(size_pt=11, bold=True, color="#14496b"),
    "place": Lettering(size_pt=11, color="#4a4238"),
    "water": Lettering(size_pt=11, bold=True, color="#2b5f7e"),
    "water leaves": Lettering(size_pt=12, bold=True, color="#2478ad"),
}


def style_of(name: str) -> Style:
    """Return a style by its name; one that ends in ``OWNERS`` is that of the owner's plan, where it has its own."""
    plain = name.removesuffix(OWNERS)
    return STYLES[plain] if plain == name else _OWNERS_STYLES.get(plain) or STYLES[plain]


def lettering_of(name: str) -> Lettering:
    """Return a lettering by its name, as ``style_of`` a style."""
    plain = name.removesuffix(OWNERS)
    return LETTERING[plain] if plain == name else _OWNERS_LETTERING.get(plain) or LETTERING[plain]


def symbol_of(kind: str, outfall: str | None = None) -> str:
    """Return the name of the symbol of a structure kind; an outfall without a kind is drawn as daylight."""
    return f"outfall.{outfall or 'daylight'}" if kind == "outfall" else kind
