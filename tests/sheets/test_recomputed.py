"""Whoever holds the crew's sheets alone gets the cut anywhere: recomputed here from the printed figures, and held against the ground.

The ground between two rows is taken as straight and the invert from the slope that is printed, as a crew would.
"""

import re
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from drainsketch.files.jobfile import parse_job
from drainsketch.job.edits.change import change_header
from drainsketch.job.units import parse_length_ft
from drainsketch.network.results import Grade, Profile
from drainsketch.resources import sample_jobs
from drainsketch.review import Review, analyse
from tests.exports.yards import SAMPLES
from tests.sheets.reading import written

ABOUT = re.compile(r"slope ([-\d.%, ]+)\. The trench bottom lies ([\d.]+) ft below the invert")
STATION = r"(?:\d+' [\d /]+\"|[\d.]+ ft)"


def printed_tables(pdf: Any) -> dict[str, tuple[float, float, list[tuple[float, float, float, float]]]]:
    """Return for each run its slope (ft/ft), trench bottom below the invert (ft), and (station, ground, invert, cut) rows, ft."""
    found: dict[str, tuple[float, float, list[tuple[float, float, float, float]]]] = {}
    run = ""
    for page in pdf.pages:
        for line in page.extract_text_lines(layout=False, strip=True):
            text = str(line["text"]).replace("≈", "")
            if text.startswith("Cut sheet ") and len(text.split()) == 3:
                run = text.split()[2]
            elif run and (about := ABOUT.search(text)) and "," not in about[1]:
                found[run] = (float(about[1].strip("% ")) / 100, float(about[2]), found.get(run, (0, 0, []))[2])
            elif run in found and (
                row := re.match(rf"({STATION}) .*?(-?\d+\.\d\d) (-?\d+\.\d\d) (-?\d+\.\d\d)\b", text)
            ):
                station_ft = parse_length_ft(row[1])
                found[run][2].append((station_ft, float(row[2]), float(row[3]), float(row[4])))
    return found


def sample_in_feet(name: str) -> Review:
    return analyse(change_header(parse_job(sample_jobs().joinpath(name).read_bytes()), units="ft"))


@pytest.mark.parametrize("name", SAMPLES)
def test_the_cut_at_any_station_follows_from_what_is_printed(name: str, tmp_path: Path) -> None:
    review = sample_in_feet(name)
    with written(review.job, tmp_path / "p.pdf") as pdf:
        tables = printed_tables(pdf)
    straight = {run for run, grade in review.workable.items() if not grade.breaks}
    assert set(tables) == straight
    for run, (slope, below_ft, rows) in tables.items():
        grade, profile = review.workable[run], review.profiles[run]
        station, ground, invert, cut = map(np.array, zip(*rows, strict=True))
        assert np.all(np.diff(station) > 0)

        def true_at(at: Any, profile: Profile = profile, grade: Grade = grade) -> Any:
            there = np.interp(at, profile.station_ft, profile.ground_ft)
            return there - grade.inverts_at(at) + grade.bottom_below_invert_ft

        at = np.linspace(0.0, profile.station_ft[-1], 301)
        # between two rows by the cuts printed there: half a hundredth each from rounding and from the ground
        assert np.abs(np.interp(at, station, cut) - true_at(at)).max() <= 0.01 + 1e-6
        # at a row from ground, invert and the depth of the bottom: half a hundredth, half a hundredth and half a thousandth;
        # stations are printed to a hundredth of a foot
        np.testing.assert_allclose(ground - invert + below_ft, true_at(station), atol=0.0155)
        # from ground, the level at the foot and the slope alone: half of a hundredth of a percent more over the length
        by_slope = np.interp(at, station, ground) - (invert[0] + slope * at) + below_ft
        assert np.abs(by_slope - true_at(at)).max() <= 0.0155 + 0.00005 * profile.station_ft[-1]
