"""Round steps and plain mappings for the axes of a profile; ``px`` are pixels on screen and points on paper."""

from math import ceil, floor, log10

from msgspec import Struct

FEET_PER_METER = 1 / 0.3048


class Axis(Struct, frozen=True):
    """A straight mapping of feet onto pixels; ``px`` may fall while ``ft`` rises."""

    from_ft: float
    to_ft: float
    from_px: float
    to_px: float

    @property
    def px_per_ft(self) -> float:
        """Pixels for one foot, always positive."""
        return abs(self.to_px - self.from_px) / (self.to_ft - self.from_ft)

    def px(self, ft: float) -> float:
        """Return the pixel of a value."""
        return self.from_px + (ft - self.from_ft) / (self.to_ft - self.from_ft) * (self.to_px - self.from_px)

    def ft(self, px: float) -> float:
        """Return the value at a pixel."""
        return self.from_ft + (px - self.from_px) / (self.to_px - self.from_px) * (self.to_ft - self.from_ft)


def round_step(least: float) -> float:
    """Return the smallest of 1, 2, 5 times a power of ten that is not below ``least``."""
    power = 10.0 ** floor(log10(least))
    return next(f * power for f in (1.0, 2.0, 5.0, 10.0) if f * power >= least * (1 - 1e-9))


def ticks(axis: Axis, apart_px: float, unit_ft: float) -> tuple[tuple[float, str], ...]:
    """Return (pixel, text) of round values at least ``apart_px`` apart; ``unit_ft`` is 1 for feet, 3.28 for meters."""
    step = round_step(apart_px / axis.px_per_ft / unit_ft)
    places = max(0, -floor(log10(step) + 1e-9))
    low, high = sorted((axis.from_ft / unit_ft, axis.to_ft / unit_ft))
    first = ceil(low / step - 1e-9)
    last = floor(high / step + 1e-9)
    return tuple((axis.px(n * step * unit_ft), f"{n * step:.{places}f}") for n in range(first, last + 1))
