"""Pipe: feet by kind, diameter and use, the sticks or coils that makes, couplings between them, and sock."""

from math import ceil

from drainsketch.takeoff.results import TakeoffLine
from drainsketch.takeoff.tally import Tally
from drainsketch.takeoff.works import Works


def lengths_to_cover(length_ft: float, stock_ft: float) -> int:
    """Return how many stock lengths cover a length; a hair over a whole number is not another stick.

    Parameters
    ----------
    length_ft : length to cover, ft (0 or more)
    stock_ft : length of one stick or coil, ft (above 0)

    Returns
    -------
    number of lengths

    Raises
    ------
    ValueError : a length is negative or not finite, or the stock length is 0

    Notes
    -----
    n = length / stock, rounded up. Limits: offcuts are used up, no waste added. Source: definition.
    Check: tests/takeoff/test_pipe.py

    Examples
    --------
    >>> lengths_to_cover(62.0, 20.0)
    4
    """
    if not 0 <= length_ft < float("inf"):
        raise ValueError(f"length_ft must be 0 or more and finite, not {length_ft}")
    if not 0 < stock_ft < float("inf"):
        raise ValueError(f"stock_ft must be above 0 and finite, not {stock_ft}")
    return max(0, ceil(length_ft / stock_ft - 1e-9))


def pipe_feet(works: Works) -> list[TakeoffLine]:
    """Return feet of pipe by kind, diameter and use, center to center of structures, along the slope."""
    tally = Tally("pipe", "ft", "pipe_length")
    for w in works.runs:
        tally.add(
            f"pipe_{w.run.use}",
            w.pipe_ft,
            w.run.id,
            w.run.id,
            pipe=w.run.pipe,
            diameter_in=w.run.diameter_in,
        )
    return tally.lines()


def pipe_stock(works: Works, feet: list[TakeoffLine], waste_pct: float = 0.0) -> list[TakeoffLine]:
    """Return the sticks or coils to buy for the lines of ``pipe_feet``, with ``waste_pct`` more than is laid."""
    by_id = {w.run.id: w for w in works.runs}
    lines = []
    for line in feet:
        w = by_id[line.owners[0]]
        stock_ft = w.size.stock_ft
        bought_ft = line.quantity * (1 + waste_pct / 100)
        count = lengths_to_cover(bought_ft, stock_ft)
        said = f"{line.quantity:.2f} ft" + (f" + {waste_pct:g}% waste = {bought_ft:.2f} ft" if waste_pct else "")
        shape = "coils" if w.size.flexible else "sticks"
        use = line.item.removeprefix("pipe_")
        lines.append(
            TakeoffLine(
                item=f"{shape}_{use}",
                group="pipe",
                quantity=float(count),
                unit="each",
                rule=f"stock_{w.size.joint}",
                arithmetic=f"{said} / {stock_ft:g} ft = {bought_ft / stock_ft:.2f}, rounded up = {count}",
                params=(*line.params, ("stock_ft", stock_ft)),
                owners=line.owners,
            )
        )
    return lines


def couplings(works: Works) -> list[TakeoffLine]:
    """Return couplings between the lengths of each run, for pipe with plain ends; bell ends need none."""
    tally = Tally("fittings", "each", "coupling")
    for w in works.runs:
        if w.size.joint != "coupling":
            continue
        joints = lengths_to_cover(w.pipe_ft, w.size.stock_ft) - 1
        if joints > 0:
            term = f"{w.run.id}: {w.pipe_ft:.2f} ft / {w.size.stock_ft:g} ft, {joints + 1} lengths"
            tally.add("coupling", joints, term, w.run.id, pipe=w.run.pipe, diameter_in=w.run.diameter_in)
    return tally.lines()


def sock_feet(works: Works) -> list[TakeoffLine]:
    """Return feet of filter sock, for the runs that wear one."""
    tally = Tally("pipe", "ft", "sock")
    for w in works.runs:
        if w.run.sock:
            tally.add("sock", w.pipe_ft, w.run.id, w.run.id, diameter_in=w.run.diameter_in)
    return tally.lines()
