"""The owner's sheets: a plan without the crew's figures, and in plain words what will be done."""

from collections import Counter

from msgspec.structs import replace

from drainsketch.job.model import Job
from drainsketch.review import Review
from drainsketch.sheets.ground_marks import lasting
from drainsketch.sheets.marks import Mark, PlanMarks, Sign
from drainsketch.sheets.owner_goods import Goods, charged_words
from drainsketch.sheets.schedules import Schedule, takeoff_columns
from drainsketch.sheets.storm_tables import storm_name
from drainsketch.sheets.water_marks import volume_text
from drainsketch.takeoff.price.results import Price
from drainsketch.water.results import Water
from drainsketch.water.storm.facts import came_out_of
from drainsketch.water.storm.results import Storm
from drainsketch.wording import Words

_OWNERS_ITEMS = (
    "pipe_drain",
    "pipe_solid",
    "basin_body",
    "outlet_daylight",
    "outlet_pop_up",
    "outlet_tie_in",
    "outlet_curb",
    "outlet_dry_well",
    "stone_drain",
    "stone_dry_well",
    "topsoil_cap",
    *("stone_solid", "stone_basin", "splash_stone", "base_course"),
    *("asphalt_patch", "concrete_patch", "pavers_relaid", "paver_sand", "gravel_surface", "paving_unknown"),
    *("fabric", "sod", "lawn_seed", "straw", "lawn_left", "mulch"),
    "spoil_spread",
    "spoil_loose",
    "paving_rubble",
)
_CREW_LETTERING = ("shot", "contour", "run", "dimension", "level")


def owner_marks(marks: PlanMarks) -> PlanMarks:
    """Return the marks of the owner's plan: no shots, no levels, no flags, no id for a name, no heaps that will be gone."""
    marks = lasting(marks)
    labels = tuple(
        replace(label, text=label.text.split("\n")[0])
        for label in marks.labels
        if label.lettering not in _CREW_LETTERING and (label.lettering != "place" or label.text != label.owner)
    )
    return PlanMarks(
        ground=tuple(m for m in marks.ground if not _is_shot(m)),
        drains=marks.drains,
        flags=(),
        labels=labels,
    )


def _is_shot(mark: Mark) -> bool:
    return isinstance(mark, Sign) and mark.symbol == "shot"


def work_in_words(
    job: Job,
    review: Review,
    words: Words,
    water: Water | None = None,
    played: Storm | None = None,
    price: Price | None = None,
) -> tuple[str, ...]:
    """Return what will be done, one item each, in the order the owner would see it done.

    A dry well is promised no more than the water review and the storm as it was played have proved of it.

    Parameters
    ----------
    price : what it is offered for: all that it charges is said
    """
    goods = Goods(review, words)
    said = [words.word("sheets.owner.mark_services")]
    buried = [c for c in review.crossings if c.other_kind != "run"]
    if buried:
        said.append(words.word("sheets.owner.expose", count=len({c.other for c in buried}), crossings=len(buried)))
    for (use, pipe, diameter), length in sorted(_pipe_ft(review).items()):
        kind = words.word(f"takeoff.word.pipe.{pipe}")
        key = f"sheets.owner.lay_{use}"
        about = words.length(length) if words.units == "m" else words.feet(max(1, round(length)))
        said.append(words.word(key, length=about, size=words.inches(diameter), pipe=kind))
    counts: Counter[str] = Counter(s.kind for s in job.structures)
    for kind in ("basin", "downspout inlet", "cleanout"):
        if counts[kind]:
            ids = ", ".join(s.id for s in job.structures if s.kind == kind)
            said.append(words.word(f"sheets.owner.set_{kind.replace(' ', '_')}", count=counts[kind], ids=ids))
    for structure in job.structures:
        if structure.kind == "outfall":
            key = f"sheets.owner.outfall_{(structure.outfall or 'daylight').replace(' ', '_').replace('-', '_')}"
            told = [words.word(key, id=structure.id)]
            if pit := review.pits.get(structure.id):
                told.append(words.word("sheets.owner.pit", length=pit.length_ft, width=pit.width_ft))
            if structure.outfall == "dry well":
                told += _well_words(structure.id, job, water, played, words)
            said.append(" ".join(told))
    said += goods.built()
    if loose := loose_downspouts(job):
        said.append(words.word("sheets.owner.unconnected", count=len(loose), names=tuple(map(words.name, loose))))
    if job.runs:
        said.append(words.word("sheets.owner.restore"))
    said += goods.put_back()
    said += charged_words(price, words)
    return tuple(said)


def _pipe_ft(review: Review) -> dict[tuple[str, str, float], float]:
    """Return the length of each use, kind and size of pipe, ft, as the takeoff counts and the price charges it."""
    found = {}
    for line in review.takeoff:
        if line.item in ("pipe_drain", "pipe_solid"):
            params = dict(line.params)
            found[line.item.removeprefix("pipe_"), str(params["pipe"]), float(params["diameter_in"])] = line.quantity
    return found


def loose_downspouts(job: Job) -> tuple[str, ...]:
    """Return the downspouts that no inlet takes in."""
    taken = {s.downspout for s in job.structures}
    return tuple(d.id for d in job.downspouts if d.id not in taken)


def _well_words(well_id: str, job: Job, water: Water | None, played: Storm | None, words: Words) -> list[str]:
    """Return whether a dry well holds the storm, as far as that was proved, and how much comes up there."""
    well = water.wells.get(well_id) if water is not None else None
    out = came_out_of(played.after).get(well_id) if played is not None else None
    allowed_h = job.water.drawdown_h
    if well is None or not well.is_proved:
        key = "unproved"
    elif well.is_short or out is not None:
        key = "short"
    else:
        key = "slow" if (well.drawdown_h or 0.0) > allowed_h else "holds"
    storm = storm_name(job.rain, words) if key != "unproved" else ""
    hours = well.drawdown_h if well is not None else None
    told = [words.word(f"sheets.owner.well_{key}", storm=storm, hours=hours, allowed=allowed_h)]
    if out is not None:
        told.append(words.word("sheets.owner.well_out", volume=volume_text(out, words)))
    return told


def open_points(review: Review, words: Words) -> tuple[str, ...]:
    """Return what has to be settled before digging; () when nothing has. What was read on laid pipe belongs to the record."""
    open_findings = [f for f in review.findings if f.level == "stop" and not f.kind.startswith("laid_")]
    if not open_findings:
        return ()
    return (words.word("sheets.owner.open", count=len(open_findings)), *(words.sentence(f) for f in open_findings))


def owner_quantities(review: Review, words: Words) -> Schedule:
    """Return a summary of the quantities: what the owner sees go in and come out."""
    lines = [line for line in review.takeoff if line.item in _OWNERS_ITEMS]
    rows = tuple((words.item(line), *words.counted(line)) for line in lines)
    return Schedule(words.word("offer.quantities.title"), takeoff_columns(words), rows, has_ids=False)
