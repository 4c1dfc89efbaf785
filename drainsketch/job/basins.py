"""Basins of the stock: what the job's own rows, or else the shipped catalogue, say of a size."""

from functools import cache

from msgspec import convert

from drainsketch.job.kinds import BasinSize
from drainsketch.job.limits import BasinBody
from drainsketch.job.model import Job
from drainsketch.resources import table


@cache
def shipped_stock() -> tuple[BasinBody, ...]:
    """Return the basins of the shipped catalogue (``resources/catalogue/basins.toml``), generic sizes."""
    return convert(table("catalogue/basins.toml")["basin"], tuple[BasinBody, ...])


def grate_of(body: BasinBody) -> tuple[float, float]:
    """Return open area, in2, and edge, in, of the grate of a basin: its own, or those shipped for its size."""
    shipped = next(b for b in shipped_stock() if b.size_in == body.size_in)
    area, edge = body.grate_open_in2 or shipped.grate_open_in2, body.grate_edge_in or shipped.grate_edge_in
    assert area is not None and edge is not None  # the shipped ones have both
    return area, edge


def basin_body(job: Job, size_in: BasinSize | None) -> BasinBody:
    """Return the body of a basin of this size; of the usual size where none was given.

    Raises
    ------
    KeyError : neither job nor catalogue has that size; the catalogue has every size of the job model
    """
    size = size_in or table("catalogue/stock.toml")["basin"]["default_size_in"]
    for body in (*job.stock, *shipped_stock()):
        if body.size_in == size:
            return body
    raise KeyError(size)
