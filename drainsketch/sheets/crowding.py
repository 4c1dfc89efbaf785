"""Whether a plan is too crowded to be read on one page, and the scale at which it is not.

Common practice, no source: what a crew reads at arm's length is drawn at 1 in = 20 ft (1:250) or larger. A smaller scale is kept
on one page as long as its words have room: they take this share of the yard's own room on paper, at which looking at
sample yards showed runs and basins said in brief or on long leaders.
"""

from drainsketch.sheets.fonts import measure_label
from drainsketch.sheets.layout import PlanSheet, spread
from drainsketch.sheets.marks import PlanMarks
from drainsketch.sheets.parts import Extent
from drainsketch.sheets.scale import Scale, scales

READABLE_FT_PER_IN = 21.0
CROWDED = 0.5
MOST_PAGES = 12  # that are taken without being asked for


def roomy_scale(marks: PlanMarks, whole: PlanSheet, extent: Extent) -> Scale | None:
    """Return the scale at which the yard should be drawn in parts; None where one page does.

    Parameters
    ----------
    whole : the sheet that shows all of it
    """
    if whole.scale.ft_per_in <= READABLE_FT_PER_IN or words_share(marks, whole.scale, extent) <= CROWDED:
        return None
    wide, tall = spread(extent)
    left, low, right, high = whole.frame
    for scale in scales("m" if whole.scale.metric else "ft"):
        larger = READABLE_FT_PER_IN - 1.5 <= scale.ft_per_in < whole.scale.ft_per_in
        pages = wide * tall * scale.pt_per_ft**2 / ((right - left) * (high - low))
        if larger and pages <= MOST_PAGES:
            return scale
    return None


def words_share(marks: PlanMarks, scale: Scale, extent: Extent) -> float:
    """Return the room of all words of a plan, as a share of the room that the yard takes on paper."""
    wide, tall = spread(extent)
    return sum(w * h for w, h in map(measure_label, marks.labels)) / (wide * tall * scale.pt_per_ft**2)
