"""The storm as it was played, in a few plain sentences: which it is, and how water stands today and with the drains."""

import numpy as np

from drainsketch.job.model import Job
from drainsketch.job.rates import format_duration, format_rain_depth
from drainsketch.network.results import Network
from drainsketch.sheets.storm_tables import storm_name, storm_source
from drainsketch.sheets.water_marks import volume_text
from drainsketch.water.rain import played_min
from drainsketch.water.results import Water
from drainsketch.water.storm.facts import came_out_of, caveats_of, standing_of
from drainsketch.water.storm.results import Played, Storm
from drainsketch.water.storm.sheds import fall_of
from drainsketch.wording import Words

SPILLS_FT = 0.01  # an eighth of an inch over its pass is still running off


def rain_words(job: Job, words: Words) -> str:
    """Return which storm it is: its name, and how much falls in how long."""
    fallen = format_rain_depth(float(fall_of(job.rain).fallen_in[-1]), words.units)
    return words.word(
        "sheets.pair.storm",
        storm=storm_name(job.rain, words),
        depth=words.measure(fallen),
        time=format_duration(played_min(job.rain)),
    )


def source_words(job: Job, words: Words) -> str:
    """Return which storm it is, and where the user has its figures from."""
    return words.word("sheets.pair.rain", storm=rain_words(job, words), source=storm_source(job.rain, words))


def standing_words(side: str, played: Played, job: Job, words: Words) -> str:
    """Return how water stands in a playing: how much ground under how much of it, for how long, and what is left.

    Parameters
    ----------
    side : 'today' or 'drained'
    """

    def word(name: str, **params: object) -> str:
        return words.word(f"sheets.pair.{name}", **params)

    standing, out = standing_of(played), out_words(played, words)
    if not standing.area_ft2:
        return f"{word('none', side=word(side))} {out}".strip()
    said = word(
        "stands",
        side=word(side),
        area=words.area(float(f"{standing.area_ft2:.2g}")),  # to two figures, as volumes are
        depth=depth_said_in(standing.depth_ft),
        volume=volume_text(standing.gallons, words),
    )
    if not standing.still:
        return f"{said} {word('gone', stood=format_duration(round(standing.stood_min)))} {out}".strip()
    after = format_duration(round(float(played.minute[-1]) - played_min(job.rain)))
    told = [said, word("still", left=volume_text(standing.left_gallons, words), after=after)]
    if side == "today" and is_held(played):
        told.append(word("nowhere"))
    return " ".join((*told, out)).strip()


def out_words(played: Played, words: Words) -> str:
    """Return how much water came out of grates and dry wells, and where; '' where none did."""
    out = came_out_of(played)
    volume = volume_text(sum(out.values()), words)
    return words.word("sheets.pair.came_out", volume=volume, names=tuple(out)) if out else ""


def is_held(played: Played) -> bool:
    """Whether what stands at the end is no higher than where it would spill, and so runs nowhere."""
    spill_ft = np.array([h.spill_ft for h in played.hollows])
    return bool((played.stands_ft[-1] <= spill_ft + SPILLS_FT).all())


def depth_said_in(depth_ft: float) -> float:
    """Return a depth of standing water as it is said everywhere, in: to half an inch, since more would be feigned."""
    return round(24 * depth_ft) / 2


def storm_lines(job: Job, storm: Storm, words: Words) -> tuple[str, ...]:
    """Return the storm of a job in a line or two: which it is, and how water stands today and with the drains."""
    sides = (("today", storm.before), ("drained", storm.after if storm.after.runs else None))
    said = [standing_words(key, played, job, words) for key, played in sides if played is not None and played.hollows]
    if not storm.after.hollows and (out := out_words(storm.after, words)):
        said.append(out)
    return (f"{rain_words(job, words)}. {said[0]}", *said[1:]) if said else ()


def caveat_lines(job: Job, network: Network, water: Water, storm: Storm, words: Words) -> tuple[str, ...]:
    """Return what has to be known of a storm that was played, a sentence or two each."""
    found = caveats_of(job, network, water, storm)
    return tuple(words.word(f"sheets.pair.{c.kind}", structures=c.ids) for c in found)
