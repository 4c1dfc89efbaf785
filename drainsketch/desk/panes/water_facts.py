"""What the storm does at one inlet, structure or run, as label and text for the details. Nothing is computed here."""

from drainsketch.desk.panes.water_rows import share_words
from drainsketch.job.model import Run, Structure, Thing
from drainsketch.study import Study
from drainsketch.wording import Words

Facts = tuple[tuple[str, str], ...]


def in_storm(study: Study, thing: Thing, words: Words) -> Facts:
    """Return flow, capacity, depth and freeboard of a run or structure at the peak of the storm; nothing without one."""
    if isinstance(thing, Run):
        return _of_run(study, thing.id, words)
    return _of_structure(study, thing.id, words) if isinstance(thing, Structure) else ()


def _of_run(study: Study, run_id: str, words: Words) -> Facts:
    flow = study.water.pipes.get(run_id)
    if flow is None:
        return ()
    out = [("Storm flow", words.flow(flow.flow_cfs))]
    if flow.full_cfs is not None and flow.velocity_ft_s is not None:
        deep = "full, under pressure" if flow.depth_ft is None else words.inches(flow.depth_ft * 12)
        out += [
            ("Carries, full", f"{words.flow(flow.full_cfs)}; the flow is {share_words(flow)} of it"),
            ("Depth in pipe", f"{deep}, at {words.velocity(flow.velocity_ft_s)}"),
        ]
    return tuple(out)


def _of_structure(study: Study, structure_id: str, words: Words) -> Facts:
    water = study.water
    arrival, grate, head = (
        water.arrivals.get(structure_id),
        water.grates.get(structure_id),
        water.stands(structure_id),
    )
    out: list[tuple[str, str]] = []
    if arrival is not None:
        said = f"{words.flow(arrival.flow_cfs)} off {words.area(arrival.area_ft2)}"
        out.append(("Storm flow", said))
    if grate is not None:
        takes = f"takes {words.flow(grate.takes_cfs)} with {words.inches(grate.allowed_ft * 12)} over it"
        deep = "comes out there" if structure_id in water.over else words.inches(grate.depth_ft * 12)
        out.append(("Over grate", f"{deep}; {takes}"))
    if head is not None:
        left = words.length(abs(head.freeboard_ft))
        said = f"{left} below the rim" if head.freeboard_ft >= 0 else f"{left} above the rim"
        out.append(("Water level", f"{words.level(head.level_ft)}, {said}"))
    return tuple(out)
