"""The loading list in words: what is loaded and how much of it, for paper, terminal and files alike."""

from drainsketch.job.rates import quantity_text
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
    if load.line is None:
        return "", ""
    quantity, unit = words.to_buy(load.line) or words.measured(load.line)
    return quantity_text(quantity), unit
