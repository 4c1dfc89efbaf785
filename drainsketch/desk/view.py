"""From plan feet to pixels and back, as a value. North is up: the one place where y turns over."""

from msgspec import Struct

from drainsketch.job.kinds import Point

LEAST_PX_PER_FT = 0.05
MOST_PX_PER_FT = 400.0
FIRST_PX_PER_FT = 3.2  # an empty yard: 1 in = 30 ft on a screen of 96 pixels to the inch, so that a lot has room
Extent = tuple[float, float, float, float]  # west, south, east, north


class View(Struct, frozen=True):
    """Which part of the plan is shown: the plan point at the top left corner, and the scale."""

    west_ft: float = -40.0
    north_ft: float = 130.0
    px_per_ft: float = FIRST_PX_PER_FT

    def to_px(self, point: Point) -> Point:
        """Return where a plan point is, device-independent pixels."""
        return (point[0] - self.west_ft) * self.px_per_ft, (self.north_ft - point[1]) * self.px_per_ft

    def to_ft(self, x_px: float, y_px: float) -> Point:
        """Return the plan point at a pixel."""
        return self.west_ft + x_px / self.px_per_ft, self.north_ft - y_px / self.px_per_ft

    def panned(self, dx_px: float, dy_px: float) -> "View":
        """Return the view after the plan was dragged by so many pixels."""
        return View(self.west_ft - dx_px / self.px_per_ft, self.north_ft + dy_px / self.px_per_ft, self.px_per_ft)

    def zoomed(self, factor: float, x_px: float, y_px: float) -> "View":
        """Return the view enlarged about a pixel: the plan point there stays there. The scale stays within its limits."""
        scale = min(MOST_PX_PER_FT, max(LEAST_PX_PER_FT, self.px_per_ft * factor))
        x, y = self.to_ft(x_px, y_px)
        return View(x - x_px / scale, y + y_px / scale, scale)

    def seen_from(self, now: "View") -> tuple[float, float, float]:
        """Return (scale, dx, dy) that put a picture made in this view where it belongs in another one."""
        dx, dy = now.to_px((self.west_ft, self.north_ft))
        return now.px_per_ft / self.px_per_ft, dx, dy

    def extent(self, width_px: float, height_px: float) -> Extent:
        """Return the part of the plan that a widget of this size shows, ft."""
        east, south = self.to_ft(width_px, height_px)
        return self.west_ft, south, east, self.north_ft


def fitted(
    extent: Extent, width_px: float, height_px: float, margin_px: float = 48.0, most_px_per_ft: float = 60.0
) -> View:
    """Return the view that shows an extent of the plan in the middle of a widget."""
    west, south, east, north = extent
    room_x, room_y = max(40.0, width_px - 2 * margin_px), max(40.0, height_px - 2 * margin_px)
    scale = min(room_x / max(east - west, 0.01), room_y / max(north - south, 0.01))
    scale = min(most_px_per_ft, max(LEAST_PX_PER_FT, scale))
    x, y = (west + east) / 2, (south + north) / 2
    return View(x - width_px / 2 / scale, y + height_px / 2 / scale, scale)


def centered(at: Point, px_per_ft: float, width_px: float, height_px: float) -> View:
    """Return the view with a plan point in the middle of a widget."""
    scale = min(MOST_PX_PER_FT, max(LEAST_PX_PER_FT, px_per_ft))
    return View(at[0] - width_px / 2 / scale, at[1] + height_px / 2 / scale, scale)
