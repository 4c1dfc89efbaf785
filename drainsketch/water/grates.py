"""What an inlet takes in: a grate in a low spot, and the mouth of the pipe below a downspout or a basin."""

from functools import lru_cache
from math import cos, inf, sin, sqrt
from typing import Literal

from msgspec import Struct

from drainsketch.water.circular import FULL_ANGLE, between, critical_depth_ft, section, segment
from drainsketch.water.constants import GRAVITY_FT_S2
from drainsketch.water.losses import ENTRY, velocity_head_ft

WEIR = 3.0  # ft and seconds; TxDOT Hydraulic Design Manual eq. 10-30
GRATE_ORIFICE = 0.67  # TxDOT Hydraulic Design Manual eq. 10-31
MOUTH_ORIFICE = 0.6  # sharp-edged round opening; common handbook value, from memory


class Ponded(Struct, frozen=True):
    """How deep water stands over a grate, ft, and which of the two ways in holds it there."""

    depth_ft: float
    governs: Literal["weir", "orifice"]


def ponded(flow_cfs: float, open_ft2: float, edge_ft: float, clogged: float = 0.5) -> Ponded:
    """Return how deep water stands over a grate in a low spot at a flow.

    At little depth the grate is a weir along its edge, deeper an orifice of its open area; the greater of the two depths
    governs. Infinitely deep where nothing of the grate is left open.

    Parameters
    ----------
    flow_cfs : flow to the grate, ft3/s, 0 or more
    open_ft2 : open area of the clean grate, ft2
    edge_ft : length of the edge water comes over, ft; a side against a wall or curb does not count
    clogged : share of both that is blocked, 0 to 1

    Notes
    -----
    Q = 3.0 P d^1.5 and Q = 0.67 A (2 g d)^0.5; half of both is taken as clogged in a sag. Source: TxDOT Hydraulic Design
    Manual ch. 10 sec. 6, eq. 10-30 and 10-31. Check: tests/outside/test_sag_grate.py
    """
    if flow_cfs <= 0:
        return Ponded(0.0, "weir")
    clear = 1 - min(max(clogged, 0.0), 1.0)
    area, edge = open_ft2 * clear, edge_ft * clear
    if area <= 0 or edge <= 0:
        return Ponded(inf, "orifice")
    weir = (flow_cfs / (WEIR * edge)) ** (2 / 3)
    orifice = (flow_cfs / (GRATE_ORIFICE * area)) ** 2 / (2 * GRAVITY_FT_S2)
    return Ponded(weir, "weir") if weir >= orifice else Ponded(orifice, "orifice")


def grate_flow_cfs(depth_ft: float, open_ft2: float, edge_ft: float, clogged: float = 0.5) -> float:
    """Return what a grate in a low spot takes at a depth of water over it, ft3/s: the lesser of weir and orifice.

    The other way round from ``ponded``, with the same parameters, source and check.
    """
    if depth_ft <= 0:
        return 0.0
    clear = 1 - min(max(clogged, 0.0), 1.0)
    weir = WEIR * edge_ft * clear * depth_ft**1.5
    return float(min(weir, GRATE_ORIFICE * open_ft2 * clear * sqrt(2 * GRAVITY_FT_S2 * depth_ft)))


@lru_cache(maxsize=8_192)
def mouth_head_ft(flow_cfs: float, diameter_ft: float, entry: float = ENTRY["square"]) -> float:
    """Return the height of still water above the invert that drives a flow into the mouth of a pipe which runs off freely, ft.

    This is what limits a downspout inlet, which has no grate, and any inlet whose pipe carries more than can get into it. Short
    of the crown water passes the mouth at critical depth and loses ``entry`` velocity heads (k of ``losses.entry_k``); above it
    the mouth is an orifice. The greater head governs.

    Notes
    -----
    H = yc + (1 + k) Vc^2/2g and H = D/2 + (Q / 0.6 A)^2/2g. Check: tests/outside/test_sag_grate.py, against the inlet-control
    equations of FHWA HDS-5, which were fitted to models of pipe culverts
    """
    if flow_cfs <= 0:
        return 0.0
    depth = critical_depth_ft(flow_cfs, diameter_ft)
    wet, full = section(diameter_ft, depth), section(diameter_ft, diameter_ft)
    free = depth + (1 + entry) * velocity_head_ft(flow_cfs / wet.area_ft2) if wet.area_ft2 > 0 else 0.0
    drowned = diameter_ft / 2 + velocity_head_ft(flow_cfs / (MOUTH_ORIFICE * full.area_ft2))
    return max(free, drowned) if drowned > diameter_ft else free


def mouth_flow_cfs(head_ft: float, diameter_ft: float, entry: float = ENTRY["square"]) -> float:
    """Return the flow that a height of still water above the invert drives into the mouth of a pipe, ft3/s.

    The other way round from ``mouth_head_ft``, with the same parameters, source and check.
    """
    if head_ft <= 0:
        return 0.0
    share = head_ft / diameter_ft

    def miss(angle: float) -> tuple[float, float]:  # depth and, as half the mean depth A/T, velocity head; by D
        half, part = angle / 2, segment(angle)
        high = sin(angle / 4) ** 2 + (1 + entry) / 16 * part / sin(half) - share
        return high, sin(half) / 4 + (1 + entry) / 16 * (2 * sin(half) - part * cos(half) / (2 * sin(half) ** 2))

    angle = between(miss, 1e-9, FULL_ANGLE, 2.0)
    free = sqrt(GRAVITY_FT_S2 * (diameter_ft**2 / 8 * segment(angle)) ** 3 / (diameter_ft * sin(angle / 2)))
    if share <= 1:
        return free
    area = section(diameter_ft, diameter_ft).area_ft2
    return min(free, MOUTH_ORIFICE * area * sqrt(2 * GRAVITY_FT_S2 * (head_ft - diameter_ft / 2)))
