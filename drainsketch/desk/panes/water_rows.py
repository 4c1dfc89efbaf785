"""The rows of the Water pane: what arrives at each inlet, and what each run carries. Words only; nothing is computed here."""

from typing import Literal

from msgspec import Struct

from drainsketch.job.rates import format_flow, format_minutes, format_rain, format_velocity
from drainsketch.water.offers import Offer
from drainsketch.water.results import GrateFlow, PipeFlow, Water
from drainsketch.wording import Words

View = Literal["inlets", "pipe"]
State = Literal["holds", "slow", "short", ""]
HEADS: dict[View, tuple[str, ...]] = {
    "inlets": ("Inlet", "Verdict", "Area", "C", "Time", "Rain", "Flow", "Over grate"),
    "pipe": ("Run", "Verdict", "Area", "Time", "Flow", "Full", "Share", "Depth", "Velocity"),
}
HEAD_TIPS = {
    "Area": "Ground and roof that shed to it, in plan",
    "C": "Runoff coefficient for this storm: the mean of the surfaces",
    "Time": "Time of concentration: the longest that water takes to get here",
    "Rain": "Intensity of the storm over that time",
    "Flow": "Peak of the storm",
    "Over grate": "How deep water stands over the grate at the peak",
    "Full": "What the pipe carries without pressure",
    "Share": "Flow as a share of what the full pipe carries",
    "Depth": "Depth of water in the pipe",
    "Velocity": "Mean velocity at the peak",
}
MARKS: dict[State, str] = {"holds": "✓ ", "slow": "✓ ", "short": "✗ ", "": ""}
NONE = "–"
MOST_NAMED = 4


class WaterRow(Struct, frozen=True):
    """An inlet or a run: its id, the cells, and how its verdict is to be taken."""

    id: str
    cells: tuple[str, ...]
    state: State


def inlet_rows(water: Water, words: Words) -> tuple[WaterRow, ...]:
    """Return a row for each inlet, those to which no area is known to shed last."""
    rows = []
    for a in water.arrivals.values():
        state, verdict = _inlet_verdict(water, a.inlet)
        grate = water.grates.get(a.inlet)
        cells = (
            a.inlet,
            MARKS[state] + verdict,
            words.area(a.area_ft2),
            f"{a.storm_c:.2f}",
            format_minutes(a.minutes),
            format_rain(a.rain.value, words.units),
            format_flow(a.flow_cfs, words.units),
            words.inches(grate.depth_ft * 12) if grate is not None else NONE,
        )
        rows.append(WaterRow(a.inlet, cells, state))
    rows += [WaterRow(i, (i, "no area known", *(NONE,) * 6), "") for i in water.unmeasured]
    return tuple(rows)


def pipe_rows(water: Water, keeps_clean_ft_s: float, words: Words) -> tuple[WaterRow, ...]:
    """Return a row for each run that water arrives at, in the order of the water."""
    rows = []
    for flow in water.pipes.values():
        state, verdict = _pipe_verdict(flow, keeps_clean_ft_s)
        known: tuple[str, ...] = (NONE,) * 4
        if flow.full_cfs is not None and flow.velocity_ft_s is not None:
            known = (
                format_flow(flow.full_cfs, words.units),
                share_words(flow),
                "full" if flow.depth_ft is None else words.inches(flow.depth_ft * 12),
                format_velocity(flow.velocity_ft_s, words.units),
            )
        area, time = words.area(flow.area_ft2), format_minutes(flow.minutes)
        cells = (flow.run_id, MARKS[state] + verdict, area, time, format_flow(flow.flow_cfs, words.units), *known)
        rows.append(WaterRow(flow.run_id, cells, state))
    return tuple(rows)


def share_words(flow: PipeFlow) -> str:
    """Return the flow as a share of what the full pipe carries, in percent."""
    return f"{100 * flow.flow_cfs / flow.full_cfs:.0f}%" if flow.full_cfs else NONE


def offer_words(offer: Offer) -> str:
    """Return what is on the button of an offer: ``Lay 6 in: R3, R4``."""
    names = ", ".join(offer.ids[:MOST_NAMED])
    more = f" and {len(offer.ids) - MOST_NAMED} more" if len(offer.ids) > MOST_NAMED else ""
    does = f"Lay {offer.size_in} in" if offer.kind == "pipe" else f"Set {offer.size_in} in grate"
    return f"{does}: {names}{more}"


def _inlet_verdict(water: Water, inlet: str) -> tuple[State, str]:
    grate = water.grates.get(inlet)
    if grate is not None and grate.depth_ft > grate.allowed_ft:
        return "short", _grate_needs(grate)
    if inlet in water.over:
        return "short", "backs up"
    return "holds", "takes it"


def _grate_needs(grate: GrateFlow) -> str:
    if grate.needs_size_in is not None:
        return f"needs {grate.needs_size_in} in"
    return f"needs {grate.needs_count} of them" if grate.needs_count > 1 else "too small"


def _pipe_verdict(flow: PipeFlow, keeps_clean_ft_s: float) -> tuple[State, str]:
    if flow.full_cfs is None or flow.velocity_ft_s is None:
        return "", "no grade"
    if not flow.carries:
        return "short", f"needs {flow.needs_in} in" if flow.needs_in else "too small, none larger"
    if flow.velocity_ft_s < keeps_clean_ft_s:
        return "slow", "carries, slow"
    return "holds", "carries it"
