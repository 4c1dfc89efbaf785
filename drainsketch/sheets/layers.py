"""The layers of a plan: which of them a mark or a word belongs to, so that a viewer can switch them."""

from collections.abc import Callable, Iterable
from itertools import groupby
from typing import Any, TypeVar

from drainsketch.look import OWNERS
from drainsketch.sheets.labels import PlacedLabel
from drainsketch.sheets.marks import Mark, PlanMarks, Sign, Stroke

LAYERS = ("ground", "levels", "water", "services", "drains", "labels", "warnings")
_LEVELS = ("breakline", "contour", "contour.index", "fall arrow", "shot")
_WATER = ("standing water", "inlet area", "overland", "comes out", "not proved")
_LETTERINGS = {
    "service": "services",
    "shot": "levels",
    "contour": "levels",
    "water": "water",
    "comes out": "water",
}
T = TypeVar("T")


def layer_of(mark: Mark, *, otherwise: str) -> str:
    """Return the layer of a mark; ``otherwise`` where its look does not tell."""
    look = (mark.symbol if isinstance(mark, Sign) else getattr(mark, "style", "")).removesuffix(OWNERS)
    if look.startswith(("service.", "hand-dig", "crossing")):
        return "services"
    if look in _LEVELS:
        return "levels"
    if look in _WATER or look.startswith("storm."):
        return "water"
    return otherwise


def services_of(marks: PlanMarks) -> frozenset[str]:
    """Return the ids of the services on a plan."""
    every = (*marks.ground, *marks.drains)
    return frozenset(m.owner for m in every if isinstance(m, Stroke) and m.style.startswith("service."))


def layer_of_label(placed: PlacedLabel, services: frozenset[str]) -> str:
    """Return the layer of words; those of a service stay with it."""
    label = placed.label
    return "services" if label.owner in services else _LETTERINGS.get(label.lettering.removesuffix(OWNERS), "labels")


def by_layer(canvas: Any, things: Iterable[T], layer: Callable[[T], str], paint: Callable[[list[T]], None]) -> None:
    """Paint things in their order, each on its layer."""
    for key, group in groupby(things, layer):
        with canvas.layer(key):
            paint(list(group))
