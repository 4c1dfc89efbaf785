"""The tables of the crew's sheets as data: structures, runs, ways of the water, crossings, takeoff."""

from msgspec import Struct

from drainsketch.job.model import Job, Run, Structure
from drainsketch.network.results import Crossing, Grade
from drainsketch.review import Review
from drainsketch.sheets.text import LABEL_LENGTH, plain
from drainsketch.takeoff.results import GROUPS
from drainsketch.wording import Words

NONE = "–"


class Column(Struct, frozen=True):
    """A column: its heading, its share of the width, and whether figures stand at its right."""

    head: str
    share: float
    right: bool = False


class Heading(str):
    """A cell that is a heading."""


class Schedule(Struct, frozen=True):
    """A table with its heading and a line of explanation under it. A row of one cell is a heading within the table."""

    title: str
    columns: tuple[Column, ...]
    rows: tuple[tuple[str, ...], ...]
    note: str = ""
    has_ids: bool = True  # the first column holds numbers of things


def side_by_side(schedule: Schedule) -> Schedule:
    """Return a schedule that stands in two columns of equal height; a group that is cut has its heading repeated."""
    blank = ("",) * len(schedule.columns)
    full = [(Heading(row[0]), *blank[1:]) if len(row) == 1 else row for row in schedule.rows]
    starts = [i for i, row in enumerate(full) if isinstance(row[0], Heading)]
    cut = (len(full) + 1) // 2
    cut = min(starts, key=lambda i: abs(i - cut)) if any(abs(i - cut) <= 1 for i in starts) else cut
    left, right = full[:cut], full[cut:]
    if starts and right and cut not in starts:
        right = [full[max(i for i in starts if i < cut)], *right]
    tall = max(len(left), len(right))
    left, right = ([*half, *([blank] * (tall - len(half)))] for half in (left, right))
    rows = tuple((*a, *b) for a, b in zip(left, right, strict=True))
    return Schedule(schedule.title, schedule.columns * 2, rows, schedule.note, schedule.has_ids)


def schedule_columns(words: Words, name: str, *columns: tuple[str, float, bool]) -> tuple[Column, ...]:
    """Return columns, each given by the key of its heading, its share of the width and whether it holds figures."""
    return tuple(Column(words.word(f"sheets.{name}.{key}"), share, right) for key, share, right in columns)


def structure_schedule(job: Job, review: Review, words: Words) -> Schedule:
    """Return rim, ground, inverts and cut of every structure; where no pipe can be laid as drawn only what the user pinned."""
    rows, workable = [], review.workable
    for structure in job.structures:
        levels = review.levels.get(structure.id)
        if levels is None:
            known = (NONE,) * 5
        else:
            cut = cut_at(structure, job, review)
            out = None if levels.no_invert else levels.invert_out_ft
            keeps = structure.kind == "outfall"  # its level does not hang on the pipe
            inverts_in = [(run, z) for run, z in levels.inverts_in if run in workable or keeps]
            none = words.word("sheets.structures.no_invert") if levels.no_invert else NONE
            known = (
                ("≈" if levels.guess else "") + words.level(levels.ground_ft),
                words.level(levels.rim_ft),
                ", ".join(f"{run} {words.level(invert)}" for run, invert in inverts_in) or NONE,
                words.level(out) if out is not None else none,
                words.length(cut) if cut is not None else NONE,
            )
        rows.append((structure.id, _described(structure, words), *known))
    columns = schedule_columns(
        words,
        "structures",
        ("id", 0.7, False),
        ("kind", 2.2, False),
        ("ground", 0.9, True),
        ("rim", 0.9, True),
        ("inverts_in", 1.5, True),
        ("invert_out", 0.9, True),
        ("cut", 1.1, True),
    )
    return Schedule(words.word("sheets.structures.title"), columns, tuple(rows), words.word("sheets.structures.note"))


def _described(structure: Structure, words: Words) -> str:
    kind = structure.kind if structure.outfall is None else f"outfall {structure.outfall}"
    said = words.word(f"sheets.symbol.{kind if kind != 'outfall' else 'outfall daylight'}")
    if structure.size_in is not None:
        said += f" {words.inches(structure.size_in)}"
    name = plain(structure.name, LABEL_LENGTH)
    return f"{said}, {name}" if name else said


def cut_at(structure: Structure, job: Job, review: Review) -> float | None:
    """Return how deep the hole at a structure is below the ground, ft: to the trench bottom; at a basin to under its bed, at a
    dry well to the floor of its pit.

    None where it has no level that can be dug to.
    """
    levels = review.levels.get(structure.id)
    if levels is None or levels.no_invert or (structure.kind == "basin" and structure.id in review.undug):
        return None
    bottoms, workable = [], review.workable
    for flow in review.network.runs:
        grade = workable.get(flow.id)
        if grade is not None and structure.id == flow.upstream:
            bottoms.append(grade.invert_up_ft - grade.bottom_below_invert_ft)
        if grade is not None and structure.id == flow.downstream:
            bottoms.append(grade.invert_down_ft - grade.bottom_below_invert_ft)
    if structure.id in review.stacks:
        bottoms.append(review.stacks[structure.id].dig_to_ft)
    pit = review.pits.get(structure.id)
    if pit is not None and pit.floor_ft is not None:
        bottoms.append(pit.floor_ft)
    return max(0.0, levels.ground_ft - min(bottoms)) if bottoms else None


def run_schedule(job: Job, review: Review, words: Words) -> Schedule:
    """Return pipe, length, grade, cover and cut of every run, in the direction of flow."""
    flow, grades = {f.id: f for f in review.network.runs}, review.workable
    rows = []
    for run in job.runs:
        f = flow.get(run.id)
        ends = f"{f.upstream} → {f.downstream}" if f else f"{run.start} ? {run.end}"
        length = words.length(f.length_ft) if f else NONE
        rows.append((run.id, ends, pipe_words(run, words), length, *_graded(grades.get(run.id), words)))
    columns = schedule_columns(
        words,
        "runs",
        ("id", 0.6, False),
        ("ends", 1.1, False),
        ("pipe", 2.1, False),
        ("length", 1.0, True),
        ("slope", 0.75, True),
        ("invert_up", 0.85, True),
        ("invert_down", 0.85, True),
        ("least_cover", 1.0, True),
        ("greatest_cut", 1.0, True),
    )
    note = words.word("sheets.runs.note", taper=job.criteria.outfall_taper_ft)
    return Schedule(words.word("sheets.runs.title"), columns, tuple(rows), note)


def pipe_words(run: Run, words: Words) -> str:
    """Return what pipe a run is of: size, kind and use."""
    said = [
        words.inches(run.diameter_in),
        words.word(f"takeoff.word.pipe.{run.pipe}"),
        words.word(f"sheets.use.{run.use}"),
    ]
    if run.sock:
        said.append(words.word("sheets.use.sock"))
    return " ".join(said)


def _graded(grade: Grade | None, words: Words) -> tuple[str, ...]:
    if grade is None:
        return (NONE,) * 5
    return (
        words.slope(grade.slope),
        words.level(grade.invert_up_ft),
        words.level(grade.invert_down_ft),
        words.length(grade.asked_cover_ft),
        words.length(grade.greatest_cut_ft),
    )


def path_schedule(review: Review, words: Words) -> Schedule:
    """Return the way of the water from every inlet; without its fall where pipe of it cannot be laid as drawn."""
    workable = review.workable
    rows = tuple(
        (
            path.inlet,
            path.outfall,
            " → ".join(path.run_ids),
            words.length(path.length_ft),
            words.length(path.fall_ft) if path.fall_ft is not None and workable.keys() >= {*path.run_ids} else NONE,
            path.tightest_run or NONE,
        )
        for path in review.paths
    )
    columns = schedule_columns(
        words,
        "paths",
        ("inlet", 0.8, False),
        ("outfall", 0.8, False),
        ("runs", 2.5, False),
        ("length", 1.1, True),
        ("fall", 1.1, True),
        ("tightest", 1.2, False),
    )
    return Schedule(words.word("sheets.paths.title"), columns, rows, words.word("sheets.paths.note"))


def crossing_schedule(review: Review, words: Words) -> Schedule:
    """Return every crossing by the number of its flag."""
    rows = tuple(_crossing_row(c, words) for c in review.crossings)
    columns = schedule_columns(
        words,
        "crossings",
        ("number", 0.45, True),
        ("run", 0.6, False),
        ("station", 1.0, True),
        ("other", 1.7, False),
        ("depth", 1.15, True),
        ("known", 0.9, False),
        ("pipe_depth", 0.9, True),
        ("clearance", 1.2, True),
        ("works", 1.35, False),
        ("hand_dig", 0.9, True),
    )
    return Schedule(words.word("sheets.crossings.title"), columns, rows, words.word("sheets.crossings.note"))


def _crossing_row(crossing: Crossing, words: Words) -> tuple[str, ...]:
    def length(feet: float | None) -> str:
        return NONE if feet is None else words.length(feet)

    run_over_run = crossing.other_kind == "run"
    called = words.name(crossing.other)
    kind_and_name = f"{words.word('sheets.crossings.run_kind')} {called}" if run_over_run else called
    return (
        str(crossing.number),
        crossing.run_id,
        length(crossing.station_ft),
        kind_and_name,
        _its_depth(crossing, words),
        words.word(f"sheets.known_by.{crossing.known_by}") if crossing.known_by else NONE,
        length(crossing.pipe_depth_ft),
        _clearance(crossing, words),
        _works(crossing, words),
        length(crossing.hand_dig_ft) if not run_over_run else NONE,
    )


def _clearance(crossing: Crossing, words: Words) -> str:
    """Return what lies between the pipe and the other; a service that was not seen here is to be exposed first, whatever is known."""
    said = []
    if crossing.clearance_ft is not None:
        place = words.word(f"sheets.crossings.{crossing.position}")
        said.append(place if crossing.position == "meets" else f"{words.length(crossing.clearance_ft)} {place}")
    if crossing.other_kind != "run" and not crossing.seen:
        said.append(words.word("sheets.crossings.expose"))
    return "; ".join(said) or NONE


def _its_depth(crossing: Crossing, words: Words) -> str:
    """Return how deep the other lies here, and by how much that may be off."""
    if crossing.service_depth_ft is None:
        return NONE if crossing.other_kind == "run" else "?"
    depth = words.length(crossing.service_depth_ft)
    error = crossing.service_error_ft
    return depth if error is None else words.word("sheets.crossings.off", depth=depth, error=error)


def _works(crossing: Crossing, words: Words) -> str:
    """Return the depths of the top of a service at which the pipe clears it."""
    deeper, shallower = crossing.works_deeper_ft, crossing.works_shallower_ft
    if deeper is None:
        return NONE
    key = "deeper" if shallower is None else "either"
    return words.word(f"sheets.crossings.{key}", deeper=deeper, shallower=shallower)


def takeoff_schedule(review: Review, words: Words) -> Schedule:
    """Return the quantities, group by group."""
    rows: list[tuple[str, ...]] = []
    counted = review.takeoff
    for group in GROUPS:
        lines = [line for line in counted if line.group == group]
        if lines:
            rows.append((words.word(f"takeoff.group.{group}"),))
        rows += [(words.item(line), *words.counted(line)) for line in lines]
    columns = takeoff_columns(words)
    note = " ".join(filter(None, (stands_not(review, words), words.word("sheets.takeoff.note"))))
    return Schedule(words.word("sheets.takeoff.title"), columns, tuple(rows), note, False)


def stands_not(review: Review, words: Words) -> str:
    """Return that what is counted for pipe that cannot be laid does not stand; '' where all can."""
    lost = tuple(words.name(f.id) for f in review.network.runs if f.id in review.grades and f.id not in review.workable)
    return words.word("sheets.takeoff.stands_not", runs=lost) if lost else ""


def takeoff_columns(words: Words) -> tuple[Column, ...]:
    """Return item, quantity and unit."""
    return schedule_columns(words, "takeoff", ("item", 4.0, False), ("quantity", 1.0, True), ("unit", 1.0, False))
