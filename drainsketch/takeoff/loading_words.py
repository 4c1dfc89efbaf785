"""The loading list in words: what is loaded and how much of it, for paper, terminal and files alike."""

from drainsketch.job.rates import quantity_text
from drainsketch.measures import METRIC
from drainsketch.takeoff.loading import Load
from drainsketch.wording import Words


def load_name(load: Load, words: Words) -> str:
    """Return what is loaded, with the crossings a tool is for."""
    if load.line is not None:
        return words.item(load.line)
    said = words.word(f"details.tool.{load.name}")
    if not load.crossings:
        return said
    numbers = tuple(str(n) for n in load.crossings)
    return words.word("details.loading.at", tool=said, count=len(numbers), crossings=numbers)


def load_quantity(load: Load, words: Words) -> tuple[str, str]:
    """Return how much is loaded as it is written, and the word of its unit, metric in a metric job; empty for a tool."""
    if load.quantity is None:
        return "", ""
    factor, unit = METRIC.get(load.unit, (1.0, load.unit)) if words.units == "m" else (1.0, load.unit)
    return quantity_text(load.quantity * factor), _unit(unit, load.quantity, words)


def _unit(unit: str, quantity: float, words: Words) -> str:
    try:
        return words.unit(unit, quantity)
    except KeyError:  # handed over by the roll, the bag or the bale
        return words.word(f"takeoff.pack.{unit}", count=1 if quantity == 1 else 2)
