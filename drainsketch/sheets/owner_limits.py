"""What the owner should know before he signs: what the drains will not do, and what is still to be settled, in plain words."""

from collections.abc import Iterator

from drainsketch.findings import Finding
from drainsketch.job.rates import format_duration
from drainsketch.sheets.contents import Contents
from drainsketch.sheets.storm_words import depth_said_in
from drainsketch.sheets.water_marks import volume_text
from drainsketch.water.rain import lacking
from drainsketch.water.storm.facts import came_out_of, standing_of
from drainsketch.wording import Words

# findings to settle, by the sentence that says them to the owner
SAID_BY = {
    "pipe": ("pipe_too_small", "pipe_too_small_for_stock"),
    "grates": ("grate_too_small", "grate_takes_none"),
    "tailwater": ("tailwater_high", "tailwater_over_rims", "water_below_drain"),
    "wells": (
        *("well_too_small", "trench_too_short", "well_far_too_small", "well_slow", "dry_well_unproved"),
        "well_rain_short",
    ),
    "falls_to_house": ("ground_falls_to_building",),
    "roots": ("root_zone",),
    "roots_soil": ("heap_in_root_zone",),
    "soil": (
        *("heap_over_building", "heap_over_septic", "heap_over_well", "heap_over_drain"),
        *("fill_over_structure", "fill_over_paving", "fill_at_building", "fill_no_room", "fill_without_depth"),
    ),
    "passed": ("through_obstacle",),
    "footing": ("undercuts_footing", "hole_undercuts_footing"),
    "lot_line": ("outfall_near_lot_line",),
    "outside": ("outside_lot", "structure_outside_lot", "heap_outside_lot"),
    "near": (
        *("drain_near_building", "near_septic", "near_well"),
        *("outfall_near_building", "outfall_near_septic", "outfall_near_well"),
    ),
    "runs_back": ("outfall_runs_back", "outfall_runs_to_pond", "outfall_on_paving"),
    "low_places": ("standing_water",),
    "bare": ("bare_at_daylight",),
    "shallow": ("shallow_cover",),
    "services": (
        *("depth_unknown", "depth_unlikely", "clearance_unknown", "close_to_service", "depth_unproved"),
        *("beside_service", "structure_by_service", "may_meet_service", "along_service", "grade_unknown"),
        *("services_crowded", "exposure_unlikely", "heap_over_service", "fill_over_service", "no_services"),
    ),
}
OUT = ("comes_out", "comes_out_onward", "comes_out_off", "backs_up")
NOT_HIS = (
    "laid_",
    "no_price",
    "no_extra_price",
    "no_depth_to_price",
    "setup_",
)  # the record's, and the price's own band


def known_words(contents: Contents, words: Words) -> tuple[str, ...]:
    """Return what the drains will not do in the storm, and what is to be settled, a sentence each; what stops the job stands apart."""
    return (*_storm(contents, words), *_findings(contents, words))


def _storm(contents: Contents, words: Words) -> Iterator[str]:
    if lacking(contents.job.rain):
        yield words.word("offer.know.no_rain")
        return
    out = came_out_of(contents.played.after) if contents.played is not None else {}
    if out:
        names = tuple(words.name(name) for name in out)
        yield words.word("offer.know.out", volume=volume_text(sum(out.values()), words), names=names)
    elif contents.storm is not None and contents.storm.over:
        yield words.word("offer.know.peak", names=tuple(words.name(name) for name in contents.storm.over))
    if contents.played is not None and contents.played.after.runs:
        left = standing_of(contents.played.after)
        if left.area_ft2:
            area, deep = float(f"{left.area_ft2:.2g}"), depth_said_in(left.depth_ft)
            key = "stays" if left.still else "stands"
            time = format_duration(round(left.stood_min))
            yield words.word(f"offer.know.{key}", area=area, depth=deep, time=time)


def _findings(contents: Contents, words: Words) -> Iterator[str]:
    settled = [f for f in contents.review.findings if f.level == "settle" and not f.kind.startswith(NOT_HIS)]
    by_key: dict[str, list[Finding]] = {key: [] for key in SAID_BY}
    rest = 0
    keys = {kind: key for key, kinds in SAID_BY.items() for kind in kinds}
    for found in settled:
        if found.kind in keys:
            by_key[keys[found.kind]].append(found)
        elif found.kind not in OUT:
            rest += 1
    job = contents.job
    there = {thing.id for thing in job.obstacles}
    ends = {thing.id for thing in job.structures}
    for key, some in by_key.items():
        if not some:
            continue
        ids = dict.fromkeys(i for f in some for i in f.place.ids)
        places = tuple(dict.fromkeys(words.name(i) for i in ids if i in there))
        at = tuple(words.name(i) for i in ids if i in ends)
        yield words.word(f"offer.know.{key}", places=places, at=at, count=len(some))
    if rest:
        yield words.word("offer.know.rest", count=rest)
