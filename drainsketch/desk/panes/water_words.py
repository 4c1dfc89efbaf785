"""How things stand with the storm, in a sentence: what is missing, or what it does."""

from drainsketch.desk.panes.water_rows import named
from drainsketch.job.model import Job
from drainsketch.job.rain_rules import period_name
from drainsketch.review import Review
from drainsketch.study import drained_inlets
from drainsketch.water.rain import lacking
from drainsketch.water.results import Water
from drainsketch.wording import Words

NO_RAIN = (
    "No storm yet, so nobody can say whether pipe and grates are large enough. Paste or read the rain table of the place, as the "
    "public weather service or the city gives it, and choose the storm at the left; or type an intensity there. Ask the city which "
    "storm has to be carried.\n\nA table can be as that service hands it out, or rows like these, with depth or intensity and its unit above:\n\n"
    "depth, in\nduration, 2, 10, 25\n5 min, 0.41, 0.57, 0.66\n15 min, 0.83, 1.16, 1.34"
)
NO_STORM = (
    "There is a rain table, but no storm is chosen: choose one at the left. Ask the city which one has to be carried."
)
NO_VALUES = "The rain table has no figures for this storm: choose another one at the left."
NO_WAY = "Nothing drains yet: draw basins or downspout inlets, and runs from them to an outfall. Then the storm is followed through."
NOTHING = (
    "Nothing is known to shed to any inlet: shoot levels, give downspouts a roof area, or type the area of an inlet."
)
WORKING = "The storm is being worked out."
FAILED = "The storm could not be worked out for this plan; the findings may say what is wrong with it."
OLD = "These figures are from before the last change; they are being worked out anew."
OLD_FOR_GOOD = "These figures are from before the last change; they could not be worked out anew."
MOST_NAMED = 3


def stuck(review: Review) -> list[str]:
    """Return the inlets that cannot drain."""
    drained = drained_inlets(review)
    return [i for i in review.network.inlets if i not in drained]


def missing(job: Job, review: Review, water: Water | None, *, failed: bool) -> str:
    """Return why there is nothing to show, with the way out; '' where there is something."""
    lack = lacking(job.rain)
    if lack:
        return {"rain": NO_RAIN, "return period": NO_STORM, "values": NO_VALUES}[lack]
    if not review.network.inlets:
        return NO_WAY
    if water is None or water.lacking or not (water.arrivals or water.unmeasured):
        fresh = water is not None and not water.lacking
        return FAILED if failed else nothing_words(review) if fresh else WORKING
    return ""


def nothing_words(review: Review) -> str:
    """Return why nothing reaches pipe: where some inlets cannot drain, that is why."""
    held = stuck(review)
    return (
        f"{named(held, MOST_NAMED)} cannot drain, so nothing reaches pipe. The findings say why." if held else NOTHING
    )


def standing(job: Job, review: Review, water: Water, words: Words, *, old: bool, failed: bool) -> tuple[str, bool]:
    """Return what the storm does in a line, and whether something is too small or backs up."""
    if old:
        return (OLD_FOR_GOOD if failed else OLD), False
    rain = job.rain
    storm = "Typed storm" if rain.intensity_in_h is not None else f"{period_name(rain.return_period_yr or 0.0)} storm"
    past = f" Runs past every inlet: {words.area(water.past_ft2)}." if water.past_ft2 else ""
    said = _worries(water, stuck(review))
    if said and water.unmeasured:
        said.append(f"not known for {named(water.unmeasured, MOST_NAMED)}")
    if said:
        return f"✗ {storm}: {'; '.join(said)}.{past}", True
    if water.unmeasured:
        unknown = named(water.unmeasured, MOST_NAMED)
        return f"{storm}: pipe and grates carry what is known to reach them; not known for {unknown}.{past}", True
    if any(a.rain.beyond == "shorter" for a in water.arrivals.values()):
        said_of_rest = "pipe and grates carry what reaches them, but the rain table begins too late to say."
        return f"{storm}: {said_of_rest}{past}", False
    return f"✓ {storm}: pipe and grates carry what reaches them.{past}", False


def _worries(water: Water, held: list[str]) -> list[str]:
    """Return what cannot drain, is too small or backs up."""
    small = [f for f in water.pipes.values() if f.full_cfs is not None and not f.carries]
    lost = [f.run_id for f in small if not f.needs_in]
    of_wells = [n for n, w in water.wells.items() if w.balance is None or w.room_ft3 is None or w.is_short]
    kinds = (
        ("cannot drain:", held, ""),
        ("pipe too small:", [f.run_id for f in small if f.needs_in], ""),
        ("no single pipe does for", lost, ": a second line, or less area"),
        ("grate too small:", [g.inlet for g in water.grates.values() if g.depth_ft > g.allowed_ft], ""),
        ("backs up at", water.over, ""),
        ("not proved or too small:", of_wells, ""),
    )
    return [f"{words} {named(ids, MOST_NAMED)}{way_out}" for words, ids, way_out in kinds if ids]
