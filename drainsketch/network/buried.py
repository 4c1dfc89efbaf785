"""Where a buried service lies at a place: its top and bottom, and how far those may be off."""

from msgspec import Struct

from drainsketch.job.model import Point, Service


class Buried(Struct, frozen=True):
    """Top and bottom of a service at a place, ft, and how far they may be off either way, ft."""

    top_ft: float
    bottom_ft: float
    error_ft: float


def buried_at(service: Service, size_in: float, point: Point, ground_ft: float | None) -> Buried | None:
    """Return where the service lies at a plan point of it; None where that is not known.

    Parameters
    ----------
    size_in : outside size of the service, in
    ground_ft : level of the ground there, ft; None where it is not known
    """
    if service.depth_top_ft is None or ground_ft is None:
        return None
    top = ground_ft - service.depth_top_ft
    return Buried(top_ft=top, bottom_ft=top - size_in / 12, error_ft=service.depth_error_ft or 0.0)
