"""Invented yards for the sheets: one with everything in it, one with two structures."""

from msgspec.structs import replace

from drainsketch.job import model as m
from drainsketch.job.model import Job
from drainsketch.job.pricing import Extra, Offer, Pricing

LOT = (
    (0.0, 0.0),
    (118.0, 0.0),
    (124.0, 40.0),
    (120.0, 86.0),
    (0.0, 86.0),
)  # no rectangle, so that it reads back as one path
_GROUND = ((0, 0), (60, 0), (118, 0), (122, 40), (120, 86), (60, 86), (0, 86), (0, 40), (85, 30), (85, 70), (20, 20))


def rich(units: m.Units = "ft-in") -> Job:
    """A yard with every kind of thing: two branches, crossings, findings at both levels."""
    return Job(
        header=m.Header(
            title="Back yard drain",
            client="A. Sample",
            site="12 Example Lane",
            contractor="Example Drainage",
            date="2026-05-04",
            benchmark="Front step 100.00",
            notes="The gate is 4' wide.\nÉlan, ½, ⅛, 6′ 2″.",
            units=units,
        ),
        boundary=m.Boundary(id="L1", points=LOT),
        obstacles=(
            m.Obstacle(id="H1", kind="building", points=((30, 35), (75, 35), (75, 68), (30, 68)), name="house"),
            m.Obstacle(id="P1", kind="hardscape", points=((75, 40), (98, 40), (98, 58), (75, 58))),
            m.Obstacle(id="T1", kind="tree", points=((104, 22),), trunk_diameter_in=10, name="oak"),
            m.Obstacle(id="T2", kind="tree", points=((14, 60),)),
            m.Obstacle(id="F1", kind="fence", points=((2, 84), (118, 84))),
            m.Obstacle(id="Y1", kind="bed", points=((30, 28), (60, 28), (60, 34), (30, 34))),
            m.Obstacle(id="Y2", kind="septic", points=((5, 30), (18, 30), (18, 42), (5, 42))),
            m.Obstacle(id="Y3", kind="well", points=((8, 8),)),
            m.Obstacle(id="Y4", kind="other", points=((110, 70), (116, 70), (113, 76))),
        ),
        downspouts=(m.Downspout(id="D1", point=(75, 35), roof_area_ft2=600),),
        services=(
            m.Service(id="G1", kind="gas", points=((60, 0), (60, 12), (52, 35)), depth_top_ft=2.0, size_in=1.0),
            m.Service(id="W1", kind="water", points=((66, 0), (64, 35)), depth_top_ft=3.5, known_by="marked"),
            m.Service(id="E1", kind="electric", points=((122, 50), (100, 66), (75, 56))),
        ),
        shots=tuple(
            m.Shot(id=f"S{i}", point=(x, y), elevation_ft=round(98 + 0.03 * y - 0.01 * x, 2))
            for i, (x, y) in enumerate(_GROUND, start=1)
        ),
        structures=(
            m.Structure(id="B1", kind="basin", point=(85, 72), size_in=12),
            m.Structure(id="B2", kind="basin", point=(108, 48), size_in=12),
            m.Structure(id="N1", kind="downspout inlet", point=(78, 32), downspout="D1"),
            m.Structure(id="B3", kind="basin", point=(24, 18), size_in=9),
            m.Structure(id="C1", kind="cleanout", point=(70, 20)),
            m.Structure(id="J1", kind="fitting", point=(95, 20)),
            m.Structure(id="O1", kind="outfall", point=(114, 4), outfall="pop-up"),
        ),
        runs=(
            m.Run(id="R1", start="B1", end="B2", via=((106, 70),), use="drain", pipe="corrugated", sock=True),
            m.Run(id="R2", start="B2", end="J1", via=((112, 36),)),
            m.Run(id="R3", start="N1", end="J1"),
            m.Run(id="R4", start="B3", end="C1", use="drain", pipe="corrugated"),
            m.Run(id="R5", start="C1", end="J1"),
            m.Run(id="R6", start="O1", end="J1"),
        ),
    )


def tiny() -> Job:
    """Two structures and a pipe."""
    return Job(
        structures=(
            m.Structure(id="B1", kind="basin", point=(5, 5)),
            m.Structure(id="O1", kind="outfall", point=(17, 9), outfall="daylight"),
        ),
        runs=(m.Run(id="R1", start="B1", end="O1"),),
        shots=(
            m.Shot(id="S1", point=(4, 4), elevation_ft=100),
            m.Shot(id="S2", point=(18, 9), elevation_ft=99),
            m.Shot(id="S3", point=(10, 14), elevation_ft=99.6),
        ),
    )


def named(text: str) -> Job:
    """The rich yard with a text in every field a user can write in."""
    job = rich()
    said = m.Header(title=text, client=text, site=text, contractor=text, benchmark=text, notes=text)
    renamed = {
        field: tuple(replace(thing, name=text) for thing in getattr(job, field))
        for field in ("obstacles", "downspouts", "services", "shots", "structures", "runs")
    }
    extras = (Extra(name=text, price=12.5), Extra(name=f"b{text}", unit=text, price=7.0))
    return replace(
        job,
        header=said,
        offer=Offer(excluded=(text, text), show_lines=True, note=text),
        pricing=Pricing(extras=extras),
        **renamed,
    )
