"""Basins of the stock: what the job's own rows, or else the shipped catalogue, say of a size."""

from functools import cache

from msgspec import convert

from drainsketch.job.model import BasinBody, BasinSize, Job
from drainsketch.resources import table


@cache
def shipped_stock() -> tuple[BasinBody, ...]:
    """Return the basins of the shipped catalogue (``resources/catalogue/basins.toml``), generic sizes."""
    return convert(table("catalogue/basins.toml")["basin"], tuple[BasinBody, ...])


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
