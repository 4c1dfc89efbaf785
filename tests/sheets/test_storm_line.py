"""The grade line of a storm along a path: its points stand where it was worked out, and it turns red where it passes the rims."""

from itertools import pairwise

import numpy as np
import pytest

from drainsketch.job.edits.change import change_rain
from drainsketch.review import analyse
from drainsketch.sheets.pathway import Pathway, pathway
from drainsketch.sheets.profile_marks import profile_marks
from drainsketch.sheets.storm_line import with_storm
from drainsketch.study import Study, study
from drainsketch.wording import Words
from tests.test_review import sample


def storm(intensity_in_h: float, name: str = "long-flat-yard", inlet: str = "D1") -> tuple[Study, Pathway]:
    seen = study(analyse(change_rain(sample(name), intensity_in_h=intensity_in_h)))
    path = pathway(seen.review, (), inlet)
    assert path is not None
    return seen, with_storm(path, seen.water)


@pytest.mark.parametrize("intensity_in_h", [0.5, 4.0, 9.0])
def test_the_line_goes_up_from_the_outfall_through_the_level_in_every_structure(intensity_in_h: float) -> None:
    seen, path = storm(intensity_in_h)
    stations = [s for s, _, _ in path.water]
    assert stations == sorted(stations)
    points = {(round(s, 6), round(z, 9)) for s, z, _ in path.water}
    for post in path.posts:
        head = seen.water.heads.get(post.id)
        if head is not None:
            assert (round(post.at_ft, 6), round(head.level_ft, 9)) in points
    assert path.water[0][1] >= min(leg.grade.invert_down_ft for leg in path.legs if leg.grade is not None)


@pytest.mark.parametrize("intensity_in_h", [0.5, 4.0, 6.0, 9.0])
def test_it_is_above_the_rims_just_where_a_straight_line_between_them_says(intensity_in_h: float) -> None:
    seen, path = storm(intensity_in_h)
    rims = [(p.at_ft, p.levels.rim_ft) for p in path.posts if p.levels is not None and p.kind != "outfall"]
    for (s0, z0, over), (s1, z1, next_over) in pairwise(path.water):
        if over == next_over and s1 > s0:
            ends = [z - float(np.interp(s, *zip(*rims, strict=True))) for s, z in ((s0, z0), (s1, z1))]
            assert all((end > -1e-9) if over else (end < 1e-9) for end in ends)
    shown = {m.style for m in profile_marks(path, seen.review, Words()).lines if m.style.startswith("grade line")}
    backs_up = any(h.freeboard_ft < 0 for h in seen.water.heads.values())
    assert ("grade line.over" in shown) == backs_up


def test_a_red_stretch_and_a_blue_one_meet() -> None:
    _, path = storm(4.4)
    turns = [(a, b) for a, b in pairwise(path.water) if a[2] != b[2]]
    assert turns
    assert all(a[:2] == b[:2] for a, b in turns)


def test_without_a_storm_there_is_no_line() -> None:
    seen = study(analyse(sample("courtyard")))
    path = pathway(seen.review, ())
    assert path is None or with_storm(path, seen.water).water == ()
