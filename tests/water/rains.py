"""Rain for tests: a published table of one point, a served file word for word, and tables made by hypothesis."""

from hypothesis import strategies as st
from msgspec.structs import replace

from drainsketch.job.rain import Rain, RainRow, RainTable

# NOAA Atlas 14, volume 2, version 3, annual maxima, in/h: one point in North Carolina, as printed in a state course on sediment
# control; the point is not named there.
CAROLINA = RainTable(
    measure="intensity",
    return_periods_yr=(2, 5, 10, 25, 50, 100),
    rows=(
        RainRow(duration_min=5, values=(5.18, 6.34, 7.14, 7.92, 8.46, 8.94)),
        RainRow(duration_min=10, values=(4.15, 5.08, 5.71, 6.31, 6.73, 7.10)),
        RainRow(duration_min=15, values=(3.48, 4.28, 4.81, 5.33, 5.68, 5.98)),
        RainRow(duration_min=30, values=(2.40, 3.04, 3.49, 3.95, 4.28, 4.58)),
        RainRow(duration_min=60, values=(1.51, 1.95, 2.27, 2.63, 2.90, 3.16)),
    ),
    source="NOAA Atlas 14",
)

# NOAA Atlas 14, volume 9, version 2, partial duration, in, as the service hands it out for 26.6 N, 81.9 W (public domain).
SERVED = """Point precipitation frequency estimates (inches)
NOAA Atlas 14 Volume 9 Version 2
Data type: Precipitation depth
Time series type: Partial duration
Project area: Southeastern States
Location name (ESRI Maps): None
Station Name: None
Latitude: 26.6 Degree
Longitude: -81.9 Degree
Elevation (USGS): None None


PRECIPITATION FREQUENCY ESTIMATES
by duration for ARI (years):, 1,2,5,10,25,50,100,200,500,1000
5-min:, 0.553,0.620,0.731,0.822,0.950,1.05,1.15,1.25,1.38,1.48
10-min:, 0.810,0.908,1.07,1.20,1.39,1.54,1.68,1.83,2.02,2.17
15-min:, 0.988,1.11,1.30,1.47,1.70,1.87,2.05,2.23,2.47,2.65
30-min:, 1.60,1.79,2.11,2.37,2.74,3.02,3.31,3.60,3.99,4.28
60-min:, 2.14,2.38,2.79,3.13,3.62,4.00,4.38,4.78,5.32,5.74
2-hr:, 2.69,2.98,3.47,3.90,4.49,4.97,5.46,5.97,6.66,7.20
3-hr:, 2.92,3.25,3.81,4.30,4.99,5.54,6.11,6.71,7.53,8.17
6-hr:, 3.23,3.70,4.50,5.18,6.16,6.94,7.75,8.60,9.76,10.7
12-hr:, 3.49,4.18,5.35,6.36,7.79,8.94,10.1,11.3,13.0,14.3
24-hr:, 4.01,4.76,6.09,7.28,9.05,10.5,12.1,13.7,16.1,18.0
2-day:, 4.94,5.57,6.77,7.94,9.80,11.4,13.3,15.3,18.2,20.7
3-day:, 5.43,6.22,7.68,9.02,11.1,12.9,14.8,16.9,19.8,22.3
4-day:, 5.83,6.78,8.43,9.92,12.1,14.0,15.9,18.0,20.9,23.3
7-day:, 7.08,8.10,9.87,11.4,13.7,15.5,17.5,19.5,22.4,24.6
10-day:, 8.28,9.30,11.0,12.6,14.8,16.6,18.5,20.4,23.2,25.4
20-day:, 11.7,12.9,14.8,16.4,18.7,20.4,22.1,23.8,26.1,27.8
30-day:, 14.5,15.9,18.2,20.0,22.4,24.2,25.9,27.5,29.5,30.9
45-day:, 18.0,19.9,22.7,24.9,27.7,29.6,31.4,33.0,34.9,36.2
60-day:, 21.0,23.3,26.6,29.2,32.4,34.6,36.6,38.3,40.3,41.5

Date/time (GMT):  Sun Jun  7 07:54:20 2026
"""


def in_table(table: RainTable, years: float = 10) -> Rain:
    return Rain(table=table, return_period_yr=years)


def turned(table: RainTable) -> RainTable:
    """Return the same table told the other way: intensities as depths, depths as intensities."""
    to_depth = table.measure == "intensity"
    rows = tuple(
        replace(r, values=tuple(v and v * (r.duration_min / 60 if to_depth else 60 / r.duration_min) for v in r.values))
        for r in table.rows
    )
    return replace(table, measure="depth" if to_depth else "intensity", rows=rows)


@st.composite
def one_column(draw: st.DrawFn) -> RainTable:
    """A whole intensity table of one return period: each row longer, with more depth and less intensity than the one above."""
    minutes = draw(st.floats(1, 20))
    intensity = draw(st.floats(1, 12))
    rows = [RainRow(duration_min=minutes, values=(intensity,))]
    for _ in range(draw(st.integers(0, 8))):
        grown, share = draw(st.floats(1.2, 3)), draw(st.floats(0.02, 0.98))
        minutes, intensity = minutes * grown, intensity * grown**-share
        rows.append(RainRow(duration_min=minutes, values=(intensity,)))
    return RainTable(measure="intensity", return_periods_yr=(10.0,), rows=tuple(rows))
