"""Which part of a profile the strip shows, and where: zoom along the station axis, vertical exaggeration, axes."""

from math import inf

import numpy as np
from msgspec import Struct
from msgspec.structs import replace
from PySide6.QtCore import QPointF, QRectF
from PySide6.QtGui import QTransform

from drainsketch.sheets.axes import Axis
from drainsketch.sheets.pathway import Pathway
from drainsketch.sheets.profile_picture import Picture

LEAST_HEIGHT_FT = 2.0  # a flat yard is not blown up to fill the strip
LEAST_SPAN_FT = 2.0  # of stations, at the closest
SIDE_PX = 22.0  # free at both ends of the path, for signs and handles
TOP_PX, FOOT_PX = 24.0, 5.0  # room for ids and signs over the highest ground, and under the lowest trench


class ProfileView(Struct, frozen=True):
    """How the user looks at the profile; ``times`` is the vertical exaggeration, None what fills the strip.

    ``zoom`` 1 shows the whole path; ``middle_ft`` is the station in the middle, None that of the path.
    """

    times: float | None = None
    zoom: float = 1.0
    middle_ft: float | None = None
    lift_px: float = 0.0

    def fitted(self) -> "ProfileView":
        """Return the view of the whole path at the same exaggeration."""
        return ProfileView(times=self.times)


class ProfileFrame(Struct, frozen=True):
    """Where on the strip what is painted."""

    room: QRectF
    along: Axis
    up: Axis
    unit_ft: float  # 1 for feet, 3.28 for meters

    @classmethod
    def of(cls, path: Pathway, room: QRectF, unit_ft: float, view: ProfileView | None = None) -> "ProfileFrame":
        """Return the frame that shows a path: at the exaggeration asked for, or filled from top to bottom."""
        view = view or ProfileView()
        wide, high = max(1.0, room.width() - 2 * SIDE_PX), max(1.0, room.height() - TOP_PX - FOOT_PX)
        fit = wide / path.length_ft
        if view.times is not None:
            low, top = _levels(path, -inf, inf)
            fit = min(fit, high / max(top - low, 0.1) / view.times)
        px_per_ft = fit * view.zoom
        span_ft = wide / px_per_ft
        half = span_ft / 2
        middle = path.length_ft / 2 if view.middle_ft is None else view.middle_ft
        middle = min(max(middle, half), path.length_ft - half) if span_ft < path.length_ft else path.length_ft / 2
        margin_ft = SIDE_PX / px_per_ft
        along = Axis(middle - half - margin_ft, middle + half + margin_ft, room.left(), room.right())
        low, top = _levels(path, middle - half, middle + half)
        bottom_px, top_px = room.bottom() - FOOT_PX, room.top() + TOP_PX
        if view.times is None:
            more = max(0.0, (LEAST_HEIGHT_FT - (top - low)) / 2)
            return cls(room, along, Axis(low - more, top + more, bottom_px, top_px), unit_ft)
        up_per_ft = px_per_ft * view.times
        center = (low + top) / 2 + view.lift_px / up_per_ft
        reach = high / up_per_ft / 2
        return cls(room, along, Axis(center - reach, center + reach, bottom_px, top_px), unit_ft)

    @property
    def exaggeration(self) -> float:
        """How much steeper the strip shows slopes than they are."""
        return self.up.px_per_ft / self.along.px_per_ft

    @property
    def picture(self) -> Picture:
        """Return the axes with the room for words, pixels."""
        room = self.room
        return Picture(self.along, self.up, (room.left() + 2, room.top() + 1, room.right() - 2, room.bottom() - 1))

    @property
    def transform(self) -> QTransform:
        """Return the transform from (station, level) to pixels."""
        kx, ky = self.along.px_per_ft, -self.up.px_per_ft
        return QTransform(kx, 0.0, 0.0, ky, self.along.px(0.0), self.up.px(0.0))

    def at(self, station_ft: float, level_ft: float) -> QPointF:
        """Return the place of a station and level."""
        return QPointF(self.along.px(station_ft), self.up.px(level_ft))

    def zoomed(self, view: ProfileView, path: Pathway, factor: float, x_px: float) -> ProfileView:
        """Return the view closer by a factor, the station under a pixel staying where it is."""
        closest = max(1.0, path.length_ft / LEAST_SPAN_FT)
        zoom = min(closest, max(1.0, view.zoom * factor))
        if zoom == 1.0:
            return view.fitted()
        here = self.along.ft(x_px)
        middle = self.along.ft(self.room.center().x())
        return replace(view, zoom=zoom, middle_ft=here + (middle - here) * view.zoom / zoom)

    def panned(self, view: ProfileView, path: Pathway, dx_px: float, dy_px: float) -> ProfileView:
        """Return the view moved by pixels; up and down only at a fixed exaggeration."""
        middle = self.along.ft(self.room.center().x()) - dx_px / self.along.px_per_ft
        half = (self.room.width() - 2 * SIDE_PX) / self.along.px_per_ft / 2
        middle = min(max(middle, half), max(half, path.length_ft - half))
        return replace(view, middle_ft=middle, lift_px=view.lift_px + (dy_px if view.times is not None else 0.0))


def _levels(path: Pathway, low_ft: float, high_ft: float) -> tuple[float, float]:
    """Return the lowest and highest of what has to fit between two stations, ft."""
    station, low, high = path.extremes
    inside = (station >= low_ft - 1.0) & (station <= high_ft + 1.0)
    if not inside.any():
        return float(np.min(low)), float(np.max(high))
    return float(low[inside].min()), float(high[inside].max())
