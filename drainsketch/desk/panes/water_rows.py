"""The rows of the Water pane: what arrives at each inlet, what each run carries, what each well holds. Nothing is computed here."""

from collections.abc import Sequence
from typing import Literal

from msgspec import Struct

from drainsketch.ground.ponding import GALLONS_PER_FT3
from drainsketch.job.rates import format_minutes
from drainsketch.water.offers import Offer
from drainsketch.water.results import GrateFlow, PipeFlow, Water, Well
from drainsketch.wording import Words

View = Literal["inlets", "pipe", "wells"]
State = Literal["holds", "slow", "short", ""]
HEADS: dict[View, tuple[str, ...]] = {
    "inlets": ("Inlet", "Verdict", "Area", "C", "Time", "Rain", "Flow", "Over grate", "Below rim"),
    "pipe": ("Run", "Verdict", "Area", "Time", "Flow", "Full", "Share", "Depth", "Velocity"),
    "wells": ("Well", "Verdict", "C × area", "Has to hold", "Room", "Empty after"),
}
HEAD_TIPS = {
    "Area": "Ground and roof that shed to it, in plan",
    "C": "Runoff coefficient for this storm: the mean of the surfaces",
    "Time": "Time of concentration: the longest that water takes to get here",
    "Rain": "Intensity of the storm over that time",
    "Flow": "Peak of the storm",
    "Over grate": "How deep water stands over the grate at the peak; where it comes out, none goes in",
    "Below rim": "How far below the rim water stands in the box at the peak; where it comes out, by how much it would rise over it",
    "Full": "What the pipe carries without pressure",
    "Share": "Flow as a share of what the full pipe carries",
    "Depth": "Depth of water in the pipe",
    "Velocity": "Mean velocity at the peak",
    "C × area": "Area that drains to it, times its runoff coefficient",
    "Has to hold": "What the storm brings, less what soaks away meanwhile",
    "Room": "What the voids of its stone hold",
    "Empty after": "How long the soil takes to drink what it holds",
}
MARKS: dict[State, str] = {"holds": "✓ ", "slow": "✓ ", "short": "✗ ", "": ""}
NONE = "–"
MOST_NAMED = 4


class WaterRow(Struct, frozen=True):
    """An inlet, a run or a well: its id, the cells, and how its verdict is to be taken."""

    id: str
    cells: tuple[str, ...]
    state: State


def inlet_rows(water: Water, words: Words) -> tuple[WaterRow, ...]:
    """Return a row for each inlet, those to which no area is known to shed last."""
    rows = []
    for a in water.arrivals.values():
        state, verdict = _inlet_verdict(water, a.inlet, words)
        cells = (
            a.inlet,
            MARKS[state] + verdict,
            words.area(a.area_ft2),
            f"{a.storm_c:.2f}",
            format_minutes(a.minutes),
            words.rain(a.rain.value),
            words.flow(a.flow_cfs),
            _over_grate(water, a.inlet, words),
            _below_rim(water, a.inlet, words),
        )
        rows.append(WaterRow(a.inlet, cells, state))
    for i in water.unmeasured:
        rows.append(WaterRow(i, (i, "no area known", *(NONE,) * 6, _below_rim(water, i, words)), ""))
    return tuple(rows)


def pipe_rows(water: Water, keeps_clean_ft_s: float, words: Words) -> tuple[WaterRow, ...]:
    """Return a row for each run that water arrives at, in the order of the water."""
    rows = []
    for flow in water.pipes.values():
        state, verdict = _pipe_verdict(flow, keeps_clean_ft_s, words)
        known: tuple[str, ...] = (NONE,) * 4
        if flow.full_cfs is not None and flow.velocity_ft_s is not None:
            known = (
                words.flow(flow.full_cfs),
                share_words(flow),
                "full" if flow.depth_ft is None else words.inches(flow.depth_ft * 12),
                words.velocity(flow.velocity_ft_s),
            )
        area, time = words.area(flow.area_ft2), format_minutes(flow.minutes)
        cells = (flow.run_id, MARKS[state] + verdict, area, time, words.flow(flow.flow_cfs), *known)
        rows.append(WaterRow(flow.run_id, cells, state))
    return tuple(rows)


def share_words(flow: PipeFlow) -> str:
    """Return the flow as a share of what the full pipe carries, in percent."""
    return f"{100 * flow.flow_cfs / flow.full_cfs:.0f}%" if flow.full_cfs else NONE


def well_rows(water: Water, empty_after_h: float, words: Words) -> tuple[WaterRow, ...]:
    """Return a row for each dry well that water arrives at."""
    rows = []
    for well in water.wells.values():
        state, verdict = _well_verdict(well, empty_after_h, words)
        cells = (
            well.outfall,
            MARKS[state] + verdict,
            words.area(well.ca_ft2),
            NONE if well.balance is None else words.volume(well.balance.holds_ft3 * GALLONS_PER_FT3),
            NONE if well.room_ft3 is None else words.volume(well.room_ft3 * GALLONS_PER_FT3),
            NONE if well.drawdown_h is None else f"{well.drawdown_h:.0f} h",
        )
        rows.append(WaterRow(well.outfall, cells, state))
    return tuple(rows)


def offer_words(offer: Offer, words: Words) -> str:
    """Return what is on the button of an offer: ``Lay 6 in: R3, R4``; with how many of them need still more."""
    size = words.inches(float(offer.size_in))
    does = f"Lay {size}" if offer.kind == "pipe" else f"Set {size} grate"
    short = f"; {offer.short[0]} needs more" if len(offer.short) == 1 else f"; {len(offer.short)} need more"
    return f"{does}: {named(offer.ids)}{short if offer.short else ''}"


def offer_tip(offer: Offer) -> str:
    """Return what an offer is for, and for which runs it is not enough."""
    short = f"; not enough for {', '.join(offer.short)}: pipe never narrows on the way down" if offer.short else ""
    return f"For {', '.join(offer.ids)}{short}; the plan is then looked at anew"


def named(ids: Sequence[str], most: int = MOST_NAMED) -> str:
    """Return the first of some ids, and how many more there are."""
    more = f" and {len(ids) - most} more" if len(ids) > most else ""
    return ", ".join(ids[:most]) + more


def _over_grate(water: Water, inlet: str, words: Words) -> str:
    grate = water.grates.get(inlet)
    if grate is None:
        return NONE
    return "comes out" if inlet in water.over else words.inches(grate.depth_ft * 12)


def _below_rim(water: Water, inlet: str, words: Words) -> str:
    head = water.stands(inlet)
    if head is None:
        return NONE
    if inlet in water.over:
        return f"over by {words.length(-head.freeboard_ft)}"
    return words.length(max(0.0, head.freeboard_ft))


def _inlet_verdict(water: Water, inlet: str, words: Words) -> tuple[State, str]:
    grate = water.grates.get(inlet)
    if grate is not None and grate.depth_ft > grate.allowed_ft:
        return "short", _grate_needs(grate, words)
    if inlet in water.over:
        return "short", "backs up"
    return "holds", "takes it"


def _grate_needs(grate: GrateFlow, words: Words) -> str:
    if grate.needs_size_in is not None:
        return f"needs {words.inches(float(grate.needs_size_in))}"
    return f"needs {grate.needs_count} of them" if grate.needs_count else "takes none"


def _pipe_verdict(flow: PipeFlow, keeps_clean_ft_s: float, words: Words) -> tuple[State, str]:
    if flow.full_cfs is None or flow.velocity_ft_s is None:
        return "", "no grade"
    if not flow.carries:
        return "short", f"needs {words.inches(float(flow.needs_in))}" if flow.needs_in else "no single pipe does"
    if flow.flow_cfs > flow.full_cfs:
        return "holds", "at its limit"
    if flow.velocity_ft_s < keeps_clean_ft_s:
        return "slow", "carries it, slow"
    return "holds", "carries it"


def _well_verdict(well: Well, empty_after_h: float, words: Words) -> tuple[State, str]:
    if well.room_ft3 is None:
        return "", "size not given"
    if well.balance is None:
        return "", "soil not measured"
    if well.is_short:
        return "short", _well_needs(well, words)
    if well.drawdown_h is not None and well.drawdown_h > empty_after_h:
        return "slow", "holds it, slow"
    return "holds", "holds it"


def _well_needs(well: Well, words: Words) -> str:
    if well.needs_length_ft is not None:
        return f"needs a pit {words.length(well.needs_length_ft)} long"
    if well.needs_trench_ft is not None:
        return f"needs {words.length(well.needs_trench_ft)} more of trench"
    return "too small"
