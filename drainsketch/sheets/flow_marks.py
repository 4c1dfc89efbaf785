"""Marks and words of the storm on the plan: how each run does at the peak, what arrives at the inlets, what comes out and where it runs.

Window and paper draw the same ones. While they are shown, runs and structures say flow in place of lengths and levels.
"""

from math import atan2, degrees

from msgspec import Struct
from msgspec.structs import replace

from drainsketch.job.ask import structures_by_id
from drainsketch.job.kinds import Point
from drainsketch.job.model import Job
from drainsketch.job.rain import Rain
from drainsketch.look import STYLES
from drainsketch.sheets.ground_marks import RANK_NAMED, stations_along
from drainsketch.sheets.labels import FOLD
from drainsketch.sheets.marks import Band, Disc, Label, Mark, PlanMarks, Sign, Stroke
from drainsketch.water.results import Escape, PipeFlow, Water, Well
from drainsketch.wording import Words

ARROW_SPACING_FT = 20.0
CLEAR_PT = 1.5  # from the tint of a run to its words
TOO_SMALL = "storm.too small"  # what is said of such a run is never left out
WELL_SIGNS = {"short": "comes out", "unproved": "not proved"}
CREWS_OWN = ("shot", "dimension", "water", "contour")  # what the plan of the storm leaves to the crew's


class Flow(Struct, frozen=True):
    """What the storm adds to a plan, and what it says in place of what is there; by id of run and structure."""

    tints: dict[str, str]  # styles that lie under runs
    said: dict[str, str]
    ways: tuple[Mark, ...]  # over the ground
    flags: tuple[Sign, ...]
    labels: tuple[Label, ...]


NO_FLOW = Flow({}, {}, (), (), ())


def flow_of(job: Job, water: Water, words: Words) -> Flow:
    """Return what the storm of a job adds to its plan; nothing where there is no storm, or nothing arrives."""
    if water.lacking or not water.arrivals:
        return NO_FLOW
    states = {f.run_id: f.state(job.water.self_cleansing_ft_s) for f in water.pipes.values()}
    said = {f.run_id: _run_text(f, words) for f in water.pipes.values()}
    said |= {a.inlet: words.word("sheets.flow.arrives", flow=a.flow_cfs) for a in water.arrivals.values()}
    spots = {name: s.point for name, s in structures_by_id(job).items() if name in water.over}
    wells = {w.outfall: well for w in water.wells.values() if (well := _well_state(w))}
    stand = structures_by_id(job)
    return Flow(
        tints={run: f"storm.{state}" for run, state in states.items() if state is not None},
        said=said,
        ways=tuple(mark for escape in water.escapes.values() for mark in _way(escape)),
        flags=(
            *(Sign(at=at, symbol="comes out", owner=name) for name, at in spots.items()),
            *(Sign(at=stand[name].point, symbol=WELL_SIGNS[well], owner=name) for name, well in wells.items()),
        ),
        labels=(
            *(_out(name, at, water.escapes.get(name), words) for name, at in spots.items()),
            *(
                _outside(name, stand[name].point, words.word(f"sheets.flow.well_{well}", well=name))
                for name, well in wells.items()
            ),
        ),
    )


def with_flow(marks: PlanMarks, flow: Flow) -> PlanMarks:
    """Return the marks of a plan with those of the storm: over strips of ground, under services and pipe."""
    if flow is NO_FLOW:
        return marks
    strips = next((i for i, m in enumerate(marks.drains) if not isinstance(m, Band | Disc)), len(marks.drains))
    tints = (
        replace(m, style=flow.tints[m.owner])
        for m in marks.drains
        if isinstance(m, Stroke) and m.style.startswith("run.") and m.owner in flow.tints
    )
    return replace(
        marks,
        drains=(*marks.drains[:strips], *tints, *flow.ways, *marks.drains[strips:]),
        flags=(*marks.flags, *flow.flags),
        labels=(*(_renewed(label, flow) for label in marks.labels), *flow.labels),
    )


def storm_marks(marks: PlanMarks, flow: Flow) -> PlanMarks:
    """Return the marks of the plan of the storm: those of the crew's plan without its levels and lengths."""
    ground = tuple(m for m in marks.ground if not (isinstance(m, Sign) and m.symbol == "shot"))
    labels = tuple(label for label in marks.labels if label.lettering not in CREWS_OWN)
    return with_flow(replace(marks, ground=ground, labels=labels), flow)


def storm_title(rain: Rain, words: Words) -> str:
    """Return the title of the plan of the storm, which names the storm."""
    if rain.intensity_in_h is not None:
        return words.word("sheets.flow.title", storm=words.rain(rain.intensity_in_h))
    return words.word("sheets.flow.title", storm=words.word("sheets.storm.years", years=rain.return_period_yr))


def _run_text(flow: PipeFlow, words: Words) -> str:
    """Return the flow of a run, and what share of the full pipe that is, where it has a grade.

    Where the room is scant the share falls away, but not that of a pipe too small.
    """
    text = words.word("sheets.flow.run", run=flow.run_id, flow=flow.flow_cfs)
    if not flow.full_cfs:
        return text
    return f"{text}{FOLD if flow.carries else ' = '}{flow.flow_cfs / flow.full_cfs:.0%}"


def _renewed(label: Label, flow: Flow) -> Label:
    """Return the label of a run or structure with its flow, without its lengths and levels; any other as it is."""
    said = flow.said.get(label.owner)
    if label.lettering == "structure":
        name = label.text.split("\n")[0]
        return replace(label, text=name if said is None else f"{name}\n{said}")
    if label.lettering != "run":
        return label
    tint = flow.tints.get(label.owner)
    clear = STYLES[tint].width_pt / 2 + CLEAR_PT if tint is not None else 0.0
    rank = RANK_NAMED if tint == TOO_SMALL else label.rank
    return replace(label, text=said or label.text.split(FOLD)[0], rank=rank, clear_pt=max(label.clear_pt, clear))


def _way(escape: Escape) -> tuple[Mark, ...]:
    """Return the way of water that comes out over the ground, with arrows along it."""
    if not escape.path:
        return ()
    arrows = (
        Sign(at=at, symbol="overland", owner=escape.structure, turn_deg=degrees(atan2(b[1] - a[1], b[0] - a[0])))
        for at, (a, b) in stations_along(escape.path, ARROW_SPACING_FT)
    )
    return Stroke(points=escape.path, style="overland", owner=escape.structure), *arrows


def _out(name: str, at: Point, escape: Escape | None, words: Words) -> Label:
    """Return what comes out of a structure, and where it runs."""
    if escape is None or escape.flow_cfs <= 0:
        text = words.word("sheets.flow.out")
    else:
        text = words.word("sheets.flow.out_by", flow=escape.flow_cfs)
        if escape.ends != "unknown":
            text += "\n" + words.word(f"sheets.flow.ends_{escape.ends}", inlet=escape.at)
    return _outside(name, at, text)


def _outside(name: str, at: Point, text: str) -> Label:
    return Label(at=at, text=text, lettering="comes out", owner=name, rank=RANK_NAMED, clear_pt=9.5)


def _well_state(well: Well) -> str:
    """Return what has to be said at a dry well; '' where it holds the storm."""
    return "short" if well.is_short else "" if well.is_proved else "unproved"
