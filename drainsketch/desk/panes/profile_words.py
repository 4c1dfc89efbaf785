"""What the profile says in words: at a station, of the whole path, and for those who read the screen by ear."""

import numpy as np

from drainsketch.desk.panes.profile_pins import Limits
from drainsketch.sheets.pathway import Pathway
from drainsketch.wording import Words

GAP = "   "


def reading(path: Pathway, station_ft: float, words: Words) -> str:
    """Return station, ground, invert, cover, cut and slope at a station of the path."""
    leg = path.leg_at(station_ft)
    if leg is None:
        return ""
    profile, s = leg.profile, station_ft - leg.from_ft
    ground_ft = float(np.interp(s, profile.station_ft, profile.ground_ft))
    guess = " (guess)" if bool(profile.guess[int(abs(profile.station_ft - s).argmin())]) else ""
    said = [f"{leg.run.id} station {words.length(station_ft)}", f"ground {words.level(ground_ft)}{guess}"]
    if leg.grade is not None:
        grade = leg.grade
        invert_ft = grade.invert_at(s)
        slope = float(grade.lines_at(np.array([s]))[0][0])
        said.append(f"invert {words.level(invert_ft)}")
        said.append(f"cover {words.length(ground_ft - invert_ft - grade.top_above_invert_ft)}")
        said.append(f"cut to trench bottom {words.length(ground_ft - invert_ft + grade.bottom_below_invert_ft)}")
        said.append(f"slope {words.slope(slope)}")
    return GAP.join(said)


def summary(path: Pathway, words: Words) -> str:
    """Return length, fall, and the least and greatest cut along the path."""
    grades = [leg.grade for leg in path.legs if leg.grade is not None]
    said = [f"{words.length(path.length_ft)} long"]
    if grades:
        said.append(f"falls {words.length(grades[-1].invert_up_ft - grades[0].invert_down_ft)}")
        least, greatest = min(g.least_cut_ft for g in grades), max(g.greatest_cut_ft for g in grades)
        said.append(
            "comes out of the ground"
            if least < 0
            else f"cut to trench bottom {words.length(least)} to {words.length(greatest)}"
        )
        if least < 0:
            said.append(f"greatest cut to trench bottom {words.length(greatest)}")
    return GAP.join(said)


def allowed(limits: Limits, words: Words) -> str:
    """Return between which levels an invert keeps fall and cover on its path."""
    low, high = (words.level(z) if abs(z) < 1e9 else "" for z in (limits.low_ft, limits.high_ft))
    if limits.low_ft > limits.high_ft + 1e-6:
        return "no level here keeps both fall and cover on this path"
    if low and high:
        return f"fall and cover on this path hold from {low} to {high}"
    if high:
        return f"cover on this path holds up to {high}"
    return f"fall on this path holds from {low} up" if low else ""


def described(path: Pathway, words: Words) -> str:
    """Return the whole profile as text: the summary, then structures, crossings and warnings from the outfall up."""
    rows: list[tuple[float, str]] = []
    for post in path.posts:
        if post.levels is None:
            continue
        invert = f", invert {words.level(post.lowest_ft)}" if post.lowest_ft is not None else ""
        invert = ", no invert" if post.levels.no_invert else invert
        pinned = ", pinned" if post.pinned else ""
        rows.append((post.at_ft, f"{post.id}: ground {words.level(post.levels.ground_ft)}{invert}{pinned}"))
    for at_ft, c, _ in path.crossings:
        gap = "depth unknown" if c.clearance_ft is None else f"clearance {words.length(c.clearance_ft)}"
        rows.append((at_ft, f"crossing {c.number}, {c.other}, {gap}"))
    rows += [(w.at_ft, f"warning {w.letter}, {w.level}") for w in path.warned]
    told = "; ".join(f"at {words.length(s)} {text}" for s, text in sorted(rows, key=lambda row: row[0]))
    return f"{path.title}: {summary(path, words).replace(GAP, ', ')}. {told}."
