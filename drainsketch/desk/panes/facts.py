"""What the review says about one thing, as label and text. Nothing is computed here."""

from itertools import pairwise

from drainsketch.desk.panes.fields import OBSTACLE_WORDS
from drainsketch.ground.breaklines import levelled_line
from drainsketch.job.ask import area_ft2, is_closed, length_ft, points_of, structures_by_id
from drainsketch.job.bearings import azimuth_deg, format_bearing
from drainsketch.job.kinds import Point
from drainsketch.job.model import Breakline, Downspout, Heap, Job, Obstacle, Run, Service, Shot, Structure, Thing
from drainsketch.job.plain import LABEL_LENGTH, plain
from drainsketch.job.sights import sights_of
from drainsketch.job.units import format_level
from drainsketch.network.results import Crossing, StructureLevels
from drainsketch.network.spare import MOST_RUNS
from drainsketch.review import Review
from drainsketch.sheets.basin_schedule import grate_words, opening_words, stack_words, way_words
from drainsketch.sheets.flags import flagged
from drainsketch.sheets.pit_schedule import care_words
from drainsketch.study import Study
from drainsketch.takeoff.heaps import fill_room_yd3, heap_grounds, heap_room
from drainsketch.wording import Words

Facts = tuple[tuple[str, str], ...]
CANNOT_DRAIN = "none: it cannot drain as drawn"
MOST_LEGS = 24  # listed one by one
MOST_FINDINGS = 12
MOST_SHOTS = 24


def kind_of(thing: Thing) -> str:  # noqa: PLR0911  one a kind
    """Return the trade word for a thing."""
    match thing:
        case Structure() if thing.kind == "outfall":
            return f"outfall, {thing.outfall}" if thing.outfall else "outfall"
        case Run():
            return f"run, {'perforated drain' if thing.use == 'drain' else 'solid pipe'}"
        case Service():
            return thing.kind if thing.kind in ("drain line", "unidentified") else f"{thing.kind} service"
        case Shot() | Downspout():
            return type(thing).__name__.lower()
        case Obstacle():
            return OBSTACLE_WORDS.get(thing.kind, thing.kind)
        case Breakline():
            return "breakline" if thing.kind == "other" else f"breakline, {thing.kind}"
        case _:
            return getattr(thing, "kind", "lot line")


def facts(review: Review, thing: Thing, words: Words) -> Facts:  # noqa: PLR0911  one a kind
    """Return what is known about a thing, most wanted first."""
    match thing:
        case Run():
            return _of_run(review, thing, words)
        case Structure():
            return _of_structure(review, thing, words)
        case Service():
            return (
                _length(review, thing, words),
                *_crossings([c for c in review.crossings if c.other == thing.id], words),
            )
        case Shot() | Downspout():
            return _of_shot(review, thing) if isinstance(thing, Shot) else ()
        case Breakline():
            return (_length(review, thing, words), _levels_along(review, thing, words))
        case Heap():
            return (*_of_shape(review, thing, words), *_of_heap(review.job, thing, words))
        case _:
            return _of_shape(review, thing, words)


def _of_heap(job: Job, heap: Heap, words: Words) -> Facts:
    """Return how much earth lies on a heap, or goes on a fill area."""
    if heap.kind == "fill area":
        return (("Takes, in place", words.earth(fill_room_yd3(job, heap))),) if heap.fill_in else ()
    room = heap_room(next(ground for there, ground in heap_grounds(job) if there.id == heap.id))
    return (("Holds, loose", f"{words.earth(room.loose_yd3)}, heaped {words.length(room.height_ft)} high"),)


def _of_shot(review: Review, shot: Shot) -> Facts:
    """Return the level that a shot takes from the level book, and from which point there."""
    bound = next((s for _, s in sights_of(review.job.book) if s.shot == shot.id), None)
    if bound is None:
        return ()
    level = review.book.by_shot.get(shot.id)
    said = "no level yet" if level is None else format_level(level, review.job.header.units)
    return (("Level", f"{said}, by {plain(bound.at, LABEL_LENGTH) or 'a point without a name'} of the level book"),)


def room_left(study: Study, thing: Thing, words: Words) -> Facts:
    """Return how much room is left at a structure, or the chance that a run falls, as the closer look has it."""
    chance, spare = study.odds.get(thing.id), study.spare.get(thing.id)
    if chance is not None:
        said = f"{100 * min(chance, 0.999):.1f}".removesuffix(".0") if chance < 0.9995 else "99.9 or more "
        error = study.review.job.criteria.reading_error_in
        return (("Chance that it falls", words.word("remedies.odds", chance=said.strip(), error=error)),)
    runs, ends = len(study.review.network.runs), (*study.review.network.inlets, *study.review.network.outfalls)
    if spare is None and runs > MOST_RUNS and thing.id in ends and study.review.grades:
        return (("Spare", words.word("remedies.no_spare", most=MOST_RUNS)),)
    if spare is None:
        return ()
    which, value = ("inlet", spare.lower_ft) if spare.higher_ft is None else ("outfall", spare.higher_ft)
    if value is None:  # at an outfall that nothing holds there is nothing to move
        return (("Spare", words.word("remedies.spare_none")),) if thing.id in study.review.network.inlets else ()
    of = "" if spare.keeps == "limits" else "_fall"
    return (("Spare", words.word(f"remedies.spare_{which}{of}", value=value)),)


def findings_about(review: Review, thing_id: str, words: Words) -> Facts:
    """Return the findings that concern a thing, worst first, each by its level and its flag on the plan."""
    flags = {id(f): flag for f, flag, _ in flagged(review)}
    about = [f for f in review.findings if thing_id in f.place.ids]
    said = [
        (f"{f.level.capitalize()} {flags.get(id(f), '')}".strip(), words.sentence(f)) for f in about[:MOST_FINDINGS]
    ]
    if len(about) > MOST_FINDINGS:
        said.append(("", f"and {len(about) - MOST_FINDINGS} more in the list of findings"))
    return tuple(said)


def _of_shape(review: Review, thing: Thing, words: Words) -> Facts:
    points = points_of(thing, {})
    if len(points) < 2:
        return ()
    out = [_length(review, thing, words)]
    crosses_itself = any(f.kind == "outline_crosses" and thing.id in f.place.ids for f in review.findings)
    if is_closed(thing) and not crosses_itself:
        out.append(("Area", words.area(area_ft2(points))))
    return tuple(out)


def _levels_along(review: Review, line: Breakline, words: Words) -> tuple[str, str]:
    """Return the shots that a breakline has its levels from."""
    levelled = levelled_line(line, review.shots)
    if levelled is None:
        return "Levels from", "fewer than two shots on it: it changes nothing yet"
    places = {(x, y) for x, y in levelled.xy_ft.tolist()}
    on_it = [f"{s.id} {words.level(s.elevation_ft)}" for s in review.shots if s.point in places]
    more = f" and {len(on_it) - MOST_SHOTS} more" if len(on_it) > MOST_SHOTS else ""
    return "Levels from", ", ".join(on_it[:MOST_SHOTS]) + more


def _length(review: Review, thing: Thing, words: Words) -> tuple[str, str]:
    points = points_of(thing, structures_by_id(review.job))
    closed = is_closed(thing)
    return "Around" if closed else "Length", words.length(length_ft((*points, points[0]) if closed else points))


def _of_run(review: Review, run: Run, words: Words) -> Facts:
    out = [_length(review, run, words)]
    flow = next((r for r in review.network.runs if r.id == run.id), None)
    if flow is not None:
        out.append(("Flows", f"{flow.upstream} to {flow.downstream}"))
    points = flow.points if flow is not None else points_of(run, structures_by_id(review.job))
    out += _legs(points, words)
    grade = review.workable.get(run.id)
    if grade is None and run.id in review.grades:
        out.append(("Grade", CANNOT_DRAIN))
    if grade is not None:
        out += [
            ("Slope", words.slope(grade.slope)),
            ("Invert, up end", words.level(grade.invert_up_ft)),
            ("Invert, down end", words.level(grade.invert_down_ft)),
            ("Cover", f"{words.length(grade.asked_cover_ft)} to {words.length(grade.greatest_cover_ft)}"),
            ("Cut to trench bottom", f"{words.length(grade.least_cut_ft)} to {words.length(grade.greatest_cut_ft)}"),
        ]
    return (*out, *_crossings([c for c in review.crossings if run.id in (c.run_id, c.other)], words))


def _legs(points: tuple[Point, ...], words: Words) -> Facts:
    """Return length and bearing of each leg, the way the water runs where that is known."""
    said = [
        f"{words.length(length_ft((a, b)))}, {format_bearing(azimuth_deg(b[0] - a[0], b[1] - a[1]))}"
        for a, b in pairwise(points)
        if a != b
    ]
    if len(said) == 1:
        return (("Bearing", said[0].rsplit(", ", 1)[1]),)
    rows = [(f"Leg {number}", text) for number, text in enumerate(said[:MOST_LEGS], 1)]
    return (*rows, *([("", f"and {len(said) - MOST_LEGS} more legs")] if len(said) > MOST_LEGS else []))


def _inverts(levels: StructureLevels, words: Words) -> Facts:
    if levels.no_invert:
        return (("Invert", CANNOT_DRAIN),)
    arriving = ((f"Invert in, {run_id}", words.level(invert)) for run_id, invert in levels.inverts_in)
    leaving = () if levels.invert_out_ft is None else (("Invert out", words.level(levels.invert_out_ft)),)
    return (*arriving, *leaving)


def _of_structure(review: Review, structure: Structure, words: Words) -> Facts:
    out: list[tuple[str, str]] = []
    levels = review.levels.get(structure.id)
    if levels is not None:
        out.append(("Ground", words.level(levels.ground_ft) + (" (guess: outside the shots)" if levels.guess else "")))
        if structure.kind != "outfall":
            out.append(("Rim", words.level(levels.rim_ft)))
        out += _inverts(levels, words)
    stack = review.stacks.get(structure.id)
    if stack is not None and structure.id not in review.undug:
        out += [
            ("Stack", stack_words(stack, words)),
            ("Grate", grate_words(stack, words)),
            ("Dig to", f"{words.level(stack.dig_to_ft)}, under {words.inches(stack.bed_in)} of bed"),
            ("Sump", words.inches(stack.sump_in)),
            *(("Or", way_words(way, words)) for way in stack.others),
            *(("Hole", opening_words(o, words)) for o in review.openings[structure.id]),
        ]
    pit = review.pits.get(structure.id)
    if pit is not None:
        out.append(("Pit, floor", CANNOT_DRAIN if structure.id in review.undug else "not known yet"))
        if pit.floor_ft is not None:
            out[-1] = ("Pit, floor", f"{words.level(pit.floor_ft)}, dig to it")
        if pit.dug_ft is not None:
            out.append(("Pit, below the ground", f"{words.length(pit.dug_ft)}. {care_words(pit, words)}"))
    if structure.kind == "outfall":
        inlets = [p.inlet for p in review.paths if p.outfall == structure.id]
        out.append(("Inlets that reach it", ", ".join(inlets) or "none"))
    for path in review.paths:
        if path.inlet == structure.id:
            fall = "" if path.fall_ft is None else f", falls {words.length(path.fall_ft)}"
            out.append((f"To {path.outfall}", f"{words.length(path.length_ft)}{fall}"))
            if path.tightest_run is not None and path.slope_to_spare is not None:
                out.append(
                    ("Tightest run", f"{path.tightest_run}: {words.slope(path.slope_to_spare)} over its least slope")
                )
    return tuple(out)


def _crossings(crossings: list[Crossing], words: Words) -> Facts:
    return tuple((f"Crossing {c.number}", crossing_words(c, words)) for c in crossings)


def crossing_words(crossing: Crossing, words: Words) -> str:
    """Return one crossing in a few words."""
    place = f"{crossing.run_id} at {words.length(crossing.station_ft)}, {crossing.other_kind}"
    if crossing.clearance_ft is None:
        return f"{place}: depth unknown, expose it first"
    gap = "they meet" if crossing.clearance_ft <= 0 else f"{words.length(crossing.clearance_ft)} clear"
    off = f", give or take {words.length(crossing.service_error_ft)}" if crossing.service_error_ft is not None else ""
    first = "" if crossing.seen or crossing.other_kind == "run" else "; expose it first"
    return f"{place}: pipe {crossing.position}, {gap}{off}{first}"
