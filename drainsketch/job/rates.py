"""Flow, rain, velocity and volume of water as text in the units of a job, and quantities."""

from math import isfinite

from drainsketch.job.kinds import Units

GPM_PER_CFS = 448.831  # 60 s and 7.48052 gal per ft3, NIST Handbook 44
LITERS_PER_GALLON = 3.785411784  # US liquid gallon, exact: 231 cubic inches
LITERS_PER_FT3 = 28.316846592  # 0.3048^3 m3, exact
MM_PER_IN = 25.4
M_PER_FT = 0.3048
LONG_MIN = 240.0  # from here on a time is read in hours


def format_flow(cfs: float, units: Units) -> str:
    """Return a flow (cfs) as text: ``55 gpm``, ``3.4 gpm``, or ``3.5 L/s``."""
    if units == "m":
        return f"{_figures(cfs * LITERS_PER_FT3)} L/s"
    return f"{_figures(cfs * GPM_PER_CFS)} gpm"


def format_rain(in_h: float, units: Units) -> str:
    """Return an intensity of rain (in/h) as text: ``6.84 in/h``, or ``174 mm/h``."""
    if not isfinite(in_h):
        return "?"
    return f"{in_h * MM_PER_IN:.0f} mm/h" if units == "m" else f"{in_h:.2f} in/h"


def format_velocity(ft_s: float, units: Units) -> str:
    """Return a velocity (ft/s) as text: ``2.4 ft/s``, or ``0.73 m/s``."""
    if not isfinite(ft_s):
        return "?"
    return f"{ft_s * M_PER_FT:.2f} m/s" if units == "m" else f"{ft_s:.1f} ft/s"


def format_minutes(minutes: float) -> str:
    """Return a time (min) as text: ``5.0 min``, from four hours on in hours: ``24 h``."""
    return f"{minutes:.1f} min" if minutes < LONG_MIN else format_duration(minutes)


def format_duration(minutes: float) -> str:
    """Return a time that may be long (min) as text: ``50 min``, ``1 h 30 min``, ``24 h``.

    Examples
    --------
    >>> format_duration(50), format_duration(90), format_duration(1440), format_duration(7.5)
    ('50 min', '1 h 30 min', '24 h', '7.5 min')
    """
    if minutes < 60:
        return f"{minutes:.3g} min"
    hours, rest = divmod(round(minutes), 60)
    return f"{hours} h {rest} min" if rest else f"{hours} h"


def format_clock(minutes: float) -> str:
    """Return the time since something began (min) as a clock shows it, in hours and minutes.

    Examples
    --------
    >>> format_clock(0), format_clock(65.2), format_clock(1500)
    ('0:00', '1:05', '25:00')
    """
    hours, rest = divmod(round(minutes), 60)
    return f"{hours}:{rest:02d}"


def format_rain_depth(inches: float, units: Units) -> str:
    """Return how much rain fell (in) as text: ``2.31 in``, or ``58.7 mm``.

    Examples
    --------
    >>> format_rain_depth(2.31, "ft"), format_rain_depth(2.31, "m"), format_rain_depth(5.0, "m")
    ('2.31 in', '58.7 mm', '127 mm')
    """
    if units == "m":
        return f"{inches * MM_PER_IN:.3g} mm" if inches * MM_PER_IN < 100 else f"{inches * MM_PER_IN:.0f} mm"
    return f"{inches:.2f} in"


def format_volume(gallons: float, units: Units) -> str:
    """Return a volume of water as text to two figures, since more would be feigned: ``540 gal``, or ``2,000 L``."""
    value, unit = (gallons * LITERS_PER_GALLON, "L") if units == "m" else (gallons, "gal")
    return f"{float(f'{value:.2g}'):,.0f} {unit}"


def quantity_text(value: float) -> str:
    """Return a quantity to three figures or more, without idle zeros.

    Examples
    --------
    >>> quantity_text(7.0), quantity_text(6.4321), quantity_text(128.26), quantity_text(1234.5)
    ('7', '6.43', '128.3', '1,234.5')
    """
    if abs(value - round(value)) < 1e-9:
        return f"{round(value):,d}"
    return f"{value:.2f}" if abs(value) < 100 else f"{value:,.1f}"


def _figures(value: float) -> str:
    """Return a number as exact as flows can be: a decimal below ten, whole above."""
    if not isfinite(value):
        return "?"
    return f"{value:.1f}" if abs(value) < 9.95 else f"{value:,.0f}"
