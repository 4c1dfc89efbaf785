"""The lines of a hydrograph: of one structure, run or outfall, or of all outfalls and all standing water. No Qt, nothing painted."""

from collections.abc import Callable
from typing import Literal

from msgspec import Struct

from drainsketch.desk.playing import Shown
from drainsketch.ground.ponding import GALLONS_PER_FT3
from drainsketch.job.rates import GPM_PER_CFS, LITERS_PER_FT3, LITERS_PER_GALLON, M_PER_FT, MM_PER_IN
from drainsketch.water.storm.facts import traces_of
from drainsketch.wording import Words

Scale = Literal["left", "right"]
CHOOSE = "Choose a basin or run on the plan to see its hydrograph."
STILL_CFS = 1e-4  # less is said as none, in either direction
BACK = {"takes": "comes out of the grate", "flow": "flow, upstream"}
NAMES = {
    "arrives": "arrives",
    "takes": "goes in at the grate",
    "passes": "runs past",
    "level": "water level",
    "flow": "flow",
    "filled": "filled",
    "leaves": "runs out",
}
OF_WELL = {"takes": "goes in from the ground", "leaves": "runs into the well"}
BACK_OF_WELL = {"takes": "comes up at the well"}


class Curve(Struct, frozen=True):
    """One line: its style in the look, its scale, its values as the axis has them, and as they are said at a moment.

    ``back`` is what it is called while it runs the other way.
    """

    name: str
    style: str
    scale: Scale
    values: tuple[float, ...]
    say: Callable[[int], str]
    back: str = ""

    def told(self, row: int) -> str:
        """Return what it is at a moment, in words."""
        return f"{self.back if self.back and self.values[row] < 0 else self.name} {self.say(row)}"


class Graph(Struct, frozen=True):
    """A hydrograph. ``rain`` is the intensity at each moment as its axis has it; a scale without a unit is not drawn."""

    title: str
    minutes: tuple[float, ...]
    rain: tuple[float, ...]
    curves: tuple[Curve, ...]
    left: str
    right: str
    note: str = ""
    least_right: float = 0.0  # the right scale spans this at the least


def graph_of(shown: Shown, chosen: tuple[str, ...], words: Words) -> Graph:
    """Return the hydrograph of what is selected, where that has a part in the storm; or that of the whole yard."""
    if len(chosen) == 1:
        found = _of_one(shown, chosen[0], words)
        if found is not None:
            return found
    return _of_all(shown, words)


def _of_one(shown: Shown, its_id: str, words: Words) -> Graph | None:
    traces = traces_of(shown.storm, its_id)
    if not traces:
        return None
    metric = words.units == "m"
    per_ft = M_PER_FT if metric else 1.0
    levels = shown.study.review.levels.get(its_id)
    is_well = any(s.id == its_id and s.outfall == "dry well" for s in shown.study.review.job.structures)
    names, back = (NAMES | OF_WELL, BACK | BACK_OF_WELL) if is_well else (NAMES, BACK)
    curves, right, least = [], "", 0.0
    for trace in traces:
        values = trace.values
        if trace.unit == "cfs":
            if (is_well or trace.what in ("takes", "passes")) and max(map(abs, values)) <= STILL_CFS:
                continue
            curves.append(_flow(names[trace.what], trace.what, values, words, back.get(trace.what, "")))
        elif trace.what == "level":
            right, least = ("level, m" if metric else "level, ft"), 0.5 * per_ft
            rim = levels.rim_ft if levels is not None else None
            curves.append(
                Curve(NAMES["level"], "level", "right", tuple(z * per_ft for z in values), _level(values, rim, words))
            )
            if rim is not None:
                said = words.level(rim)
                curves.append(Curve("rim", "rim", "right", (rim * per_ft,) * len(values), _same(said)))
        elif trace.what == "filled":
            right, least = "filled, %", 100.0
            curves.append(
                Curve(
                    NAMES["filled"],
                    "filled",
                    "right",
                    tuple(100 * v for v in values),
                    _share(values),
                )
            )
    return Graph(
        f"{words.name(its_id)}, with the drains",
        *_time(shown, words),
        tuple(curves),
        _flow_unit(words),
        right,
        least_right=least,
    )


def _of_all(shown: Shown, words: Words) -> Graph:
    after = shown.after.played
    out = tuple(float(v) for v in after.leaves_cfs.sum(axis=1)) if after.outfalls else (0.0,) * len(after.minute)
    curves = [
        _flow("all outfalls" if len(after.outfalls) != 1 else f"outfall {after.outfalls[0]}", "leaves", out, words)
    ]
    if not after.outfalls:
        curves = []
    per_gallon = LITERS_PER_GALLON if words.units == "m" else 1.0
    right = ""
    if after.hollows or (shown.before is not None and shown.before.played.hollows):
        right = "standing, L" if words.units == "m" else "standing, gal"
        for name, style, side in (
            ("stands today", "stands before", shown.before),
            ("stands with the drains", "stands", shown.after),
        ):
            if side is not None:
                gallons = tuple(v * GALLONS_PER_FT3 for v in side.volume_ft3)
                values = tuple(v * per_gallon for v in gallons)
                curves.append(Curve(name, style, "right", values, _volume(gallons, words)))
    return Graph("Whole yard", *_time(shown, words), tuple(curves), _flow_unit(words), right, CHOOSE, 10.0)


def _time(shown: Shown, words: Words) -> tuple[tuple[float, ...], tuple[float, ...]]:
    after = shown.after.played
    per_in = MM_PER_IN if words.units == "m" else 1.0
    return tuple(after.minute.tolist()), tuple(v * per_in for v in after.rain_in_h.tolist())


def _flow(name: str, style: str, cfs: tuple[float, ...], words: Words, back: str = "") -> Curve:
    per_cfs = LITERS_PER_FT3 if words.units == "m" else GPM_PER_CFS
    values = tuple(v * per_cfs if abs(v) > STILL_CFS else 0.0 for v in cfs)
    return Curve(name, style, "left", values, lambda n: words.flow(abs(values[n]) / per_cfs), back)


def _flow_unit(words: Words) -> str:
    return "L/s" if words.units == "m" else "gpm"


def _level(levels: tuple[float, ...], rim_ft: float | None, words: Words) -> Callable[[int], str]:
    """Return how a level is said: with how far it is from the rim."""

    def say(n: int) -> str:
        said = words.level(levels[n])
        if rim_ft is None:
            return said
        off = levels[n] - rim_ft
        return f"{said}, {words.length(abs(off))} {'above' if off > 0 else 'below'} the rim"

    return say


def _same(text: str) -> Callable[[int], str]:
    return lambda _: text


def _share(values: tuple[float, ...]) -> Callable[[int], str]:
    return lambda n: f"{values[n]:.0%}"


def _volume(gallons: tuple[float, ...], words: Words) -> Callable[[int], str]:
    return lambda n: words.volume(gallons[n])
