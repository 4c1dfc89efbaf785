"""Pipe: feet by kind, diameter and use, the sticks or coils that makes, couplings between them, and sock."""

from math import ceil

from drainsketch.takeoff.fittings import Met
from drainsketch.takeoff.results import TakeoffLine
from drainsketch.takeoff.sweeps import Turns
from drainsketch.takeoff.tally import Tally
from drainsketch.takeoff.works import Works

HAIR_FT = 1e-6


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


def couplings(works: Works, turns: Turns, met: Met) -> list[TakeoffLine]:
    """Return couplings: between the lengths within a piece of pipe, and where two pipes meet at a fitting that has no other piece.

    Parameters
    ----------
    turns : the pieces of pipe between fittings of each run, and where bends are
    met : the joints of the job

    The pieces of one kind, diameter and use are cut the longest first, whatever run they are of, and every offcut goes on in the next
    piece. Plain ends take one between each two lengths; bell ends only where a piece begins with an offcut, whose bell went into the
    piece before. The set of a cleanout or a downspout inlet has a wye that joins both pipes.
    """
    tally = Tally("fittings", "each", "coupling")
    left: dict[tuple[str, str, int], float] = {}
    counts: dict[str, int] = {}
    pieces = [(ft, w) for w in works.runs for ft in turns.pieces_ft[w.run.id]]
    for piece_ft, w in sorted(pieces, key=lambda p: (-round(p[0] / HAIR_FT), p[1].run.id)):
        kind = (w.run.use, w.run.pipe, int(w.run.diameter_in))
        joints, offcut, left[kind] = laid(piece_ft, left.get(kind, 0.0), w.size.stock_ft)
        counts[w.run.id] = counts.get(w.run.id, 0) + (
            joints if w.size.joint == "coupling" else min(joints, int(offcut))
        )
    for w in works.runs:
        if count := counts[w.run.id]:
            n = len(turns.pieces_ft[w.run.id])
            term = f"{w.run.id}: {w.pipe_ft:.2f} ft / {w.size.stock_ft:g} ft, {n} {'piece' if n == 1 else 'pieces'} between fittings"
            tally.add("coupling", count, term, w.run.id, pipe=w.run.pipe, diameter_in=w.run.diameter_in)
    bent = {t.owner for t in turns.turned}
    for at, joint in met:
        up, out = joint.through.end.work, joint.out.work
        same = (up.run.pipe, up.run.diameter_in) == (out.run.pipe, out.run.diameter_in)
        plain = works.structures[at].kind == "fitting" and out.size.joint == "coupling"
        if same and plain and not joint.branches and at not in bent:
            why = f"{at}: {up.run.id} to {out.run.id}"
            tally.add("coupling", 1, why, at, pipe=out.run.pipe, diameter_in=out.run.diameter_in)
    return tally.lines()


def laid(piece_ft: float, offcut_ft: float, stock_ft: float) -> tuple[int, bool, float]:
    """Return the joints within a piece of pipe, whether it begins with an offcut, and the offcut that it leaves, ft.

    Parameters
    ----------
    piece_ft : length from fitting to fitting, ft (0 or more)
    offcut_ft : what the piece before left over, ft (0 or more); it is laid first
    stock_ft : length of a stick or coil, ft (above 0)

    Source: arithmetic. Check: tests/takeoff/test_pipe.py

    Examples
    --------
    25 ft with 6 ft left over: the offcut, then 19 ft of a 20 ft stick, of which 1 ft is left.

    >>> laid(25.0, 6.0, 20.0)
    (1, True, 1.0)
    """
    first = offcut_ft > HAIR_FT and piece_ft > HAIR_FT
    rest_ft = max(0.0, piece_ft - offcut_ft)
    more = lengths_to_cover(rest_ft, stock_ft)
    left_ft = more * stock_ft - rest_ft if more else offcut_ft - piece_ft
    return max(0, more + first - 1), first, max(0.0, left_ft)


def sock_feet(works: Works) -> list[TakeoffLine]:
    """Return feet of filter sock, for the runs that wear one."""
    tally = Tally("pipe", "ft", "sock")
    for w in works.runs:
        if w.run.sock:
            tally.add("sock", w.pipe_ft, w.run.id, w.run.id, diameter_in=w.run.diameter_in)
    return tally.lines()
