"""What the Storm pane says: which storm it is, why none is played, and what it comes to before and with the drains."""

from collections.abc import Callable

from msgspec import Struct
from msgspec.structs import replace

from drainsketch.desk.playing import Shown, Side
from drainsketch.ground.ponding import GALLONS_PER_FT3
from drainsketch.job.model import Job
from drainsketch.job.rates import format_clock, format_duration, format_rain_depth
from drainsketch.review import Review
from drainsketch.sheets.storm_words import caveat_lines, depth_said_in
from drainsketch.water.rain import depth_in, lacking
from drainsketch.water.storm.facts import came_out_of
from drainsketch.water.storm.results import Played
from drainsketch.water.storm.sheds import fall_of
from drainsketch.wording import Words

NO_RAIN = (
    "No rain yet. Put the rain table of the place, or an intensity, in the Water pane; then the storm can be played."
)
NO_STORM = "There is a rain table, but no storm is chosen. Choose one at the left."
NO_VALUES = "The rain table has no figures for this storm. Choose another one at the left."
NO_GROUND_NOR_PIPE = (
    "Nothing to play the storm on: there are no shots that say how the ground lies, and no run takes water to an outfall. "
    "Take three shots or more, or draw basins, an outfall and the run between them."
)
NO_WATER = (
    "Nothing to play the storm on: nothing is known to shed to any inlet. Take three shots or more, give downspouts a roof area, "
    "or type the area of an inlet."
)
WORKING = "The storm is being played…"
FAILED = "The storm could not be played for this plan. The findings may say what is wrong with it."
NO_BEFORE = "Today's ground is not known: take three shots or more."
NO_PIPE = "No run takes water to an outfall yet, so both are alike."
CAUTION = "Reckoned by volume, lawn by its C. Local rules and licensed engineers decide."
CAUTION_TIP = "By volume and by what pipe, grates and passes carry; lawn takes up no more than its C says"
WET_TIP = "Ground under more than a quarter inch of water (6 mm), when most water stands"
NONE = "–"
OUT = "Out of grates, wells"


class Fact(Struct, frozen=True):
    """A row of the table: what it tells, the figures before and with the drains, and its tip."""

    label: str
    before: str
    after: str
    tip: str
    heading: bool = False


def why_not(job: Job, review: Review, *, empty: bool, failed: bool) -> tuple[str, bool]:
    """Return why no storm is shown, and whether the Water pane is the way out."""
    lack = lacking(job.rain)
    if lack:
        return {"rain": NO_RAIN, "return period": NO_STORM, "values": NO_VALUES}[lack], True
    if failed:
        return FAILED, False
    if not empty:
        return WORKING, False
    return (NO_WATER if review.network.inlets else NO_GROUND_NOR_PIPE), False


def storm_words(job: Job, words: Words) -> str:
    """Return how much rain falls in the storm that is played; '' while the rain is lacking something."""
    rain = job.rain
    if lacking(rain):
        return ""
    fallen_in = float(fall_of(rain).fallen_in[-1])
    return f"{words.measure(format_rain_depth(fallen_in, words.units))} of {'rain' if rain.intensity_in_h is None else 'even rain'} in"


def beyond_words(job: Job) -> str:
    """Return what has to be known of a storm that is shorter or longer than the rain table; '' where it is neither."""
    if lacking(job.rain):
        return ""
    beyond = depth_in(job.rain, job.rain.storm_min).beyond
    end = {
        "": "",
        "longer": "ends before this time: the storm ends with it",
        "shorter": "begins after this time: its first row was held",
    }
    return f"The rain table {end[beyond]}." if beyond else ""


def told_time(played: Played, row: int) -> str:
    """Return the time of a moment: ``0:42 after the first rain``."""
    return f"{format_clock(float(played.minute[row]))} after the first rain"


def clock_title(played: Played, row: int, words: Words, *, drained: bool) -> str:
    """Return the line that stands on the plan."""
    rate = float(played.rain_in_h[row])
    rain = f"rain {words.rain(rate)}" if rate > 0 else "no rain"
    yard = "with the drains" if drained else "today's ground"
    return f"{told_time(played, row)}  ·  {rain}  ·  {yard}"


def facts_of(shown: Shown, words: Words) -> tuple[Fact, ...]:
    """Return the rows of the table."""
    before, after = shown.before, shown.after

    def row(label: str, value: Callable[[Side], str], tip: str) -> Fact:
        return Fact(label, value(before) if before is not None else NONE, value(after), tip)

    def share(label: str, name: str, tip: str, *, always: bool) -> list[Fact]:
        some = [getattr(side.played.sum, name) for side in (before, after) if side is not None]
        if not always and max(some) * GALLONS_PER_FT3 < 1.0:
            return []
        return [row(label, lambda side: gallons(getattr(side.played.sum, name), words), tip)]

    ends = told_time(after.played, len(after.played.minute) - 1)
    stands = any(side.standing.area_ft2 > 0 for side in (before, after) if side is not None)
    deeper = (
        row(
            "Deepest",
            lambda s: _some(s, words.inches(depth_said_in(s.standing.depth_ft))),
            "Over the lowest ground, at that time",
        ),
        row("Water", lambda s: _some(s, words.volume(_most_gallons(s))), "In all low ground, at that time"),
        row("Stood for", stood, f"How long more than a footprint was under water; the playing ends {ends}"),
    )
    out = came_out_of(after.played)
    came_out = Fact(
        OUT, "none" if before is not None else NONE, words.volume(sum(out.values())), f"In all, at {', '.join(out)}"
    )
    return (
        Fact("Standing water", "", "", "", heading=True),
        row("Area", lambda s: _some(s, words.area(float(f"{s.standing.area_ft2:.2g}"))), WET_TIP),
        *(deeper if stands else ()),
        *((came_out,) if out else ()),
        Fact("Where it went", "", "", "", heading=True),
        *share("Runoff", "comes", "Off ground and roofs: the rain times the coefficients of the surfaces", always=True),
        *share("Held at the start", "held", "Stood in sumps, pipe and stone before it rained", always=False),
        *share("Came in at outfalls", "back", "From the water that stands outside", always=False),
        *share("Left by pipe", "piped", "Ran out at the outfalls", always=bool(after.played.runs)),
        *share("Ran off the yard", "off", "Over the edge of the ground that was shot", always=True),
        *share("Soaked in", "soaked", "Went into the soil of dry wells", always=False),
        *share("Still on the ground", "stands", f"When the playing ends, {ends}", always=True),
        *share("Still in the pipe", "inside", "With basins, stone and dry wells, when the playing ends", always=False),
    )


def blanked(facts: tuple[Fact, ...]) -> tuple[Fact, ...]:
    """Return rows whose figures are being worked out anew."""
    return tuple(f if f.heading else replace(f, before="…", after="…") for f in facts)


def gallons(ft3: float, words: Words) -> str:
    """Return a volume in the units of the job."""
    return words.volume(ft3 * GALLONS_PER_FT3) if ft3 * GALLONS_PER_FT3 >= 0.5 else "none"


def stood(side: Side) -> str:
    """Return how long water stood on the ground."""
    standing = side.standing
    if standing.stood_min <= 0:
        return "none"
    return f"{'over ' if standing.still else ''}{format_duration(round(standing.stood_min))}"


def notes(shown: Shown) -> tuple[str, ...]:
    """Return what has to be known of the figures, in sentences."""
    said = []
    if shown.before is None:
        said.append(NO_BEFORE)
    elif not shown.after.played.runs:
        said.append(NO_PIPE)
    sides = (("today", shown.before), ("with the drains", shown.after))
    still = [name for name, side in sides if side is not None and side.standing.still]
    if still:
        ends = format_clock(float(shown.after.played.minute[-1]))
        named = " and ".join(still)
        said.append(f"{named[:1].upper()}{named[1:]}, water still stands when the playing ends ({ends}).")
    review, closer = shown.study.review, shown.study
    caveats = caveat_lines(review.job, review.network, closer.water, shown.storm, Words.of(review.job))
    return (*said, *caveats)


def _most_gallons(side: Side) -> float:
    """Return how much water stood at the worst: no less than at the end, where dishes about inlets count as well."""
    return max(side.standing.gallons, side.played.sum.stands * GALLONS_PER_FT3)


def _some(side: Side, text: str) -> str:
    return text if side.standing.area_ft2 > 0 else "none"
