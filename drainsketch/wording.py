"""Words: findings, takeoff lines and sheets said in a language and in the job's units.

Sentences live in ``resources/translations/<lang>/*.toml``; a placeholder may carry a kind of quantity, for example
``{fall:length}`` or ``{slope:slope}``, whose value is given in canonical units and written in the job's. A list or a
count may choose between two forms by how many it is: ``{shots:list} {shots:has|have}``. An amount that is always the same
stands as a whole number, ``{5:feet}`` or ``{6:size}``, and is said in meters or millimeters in a metric job. What somebody
will type as it stands is rounded to the safe side: ``{to:level_down}``.
"""

import re
from collections.abc import Callable, Iterable, Sequence
from fractions import Fraction
from functools import partial
from math import ceil, floor
from re import Match
from string import Formatter
from typing import Any

from drainsketch.findings import Finding
from drainsketch.job import units as u
from drainsketch.job.ask import things
from drainsketch.job.bearings import format_bearing
from drainsketch.job.kinds import Units
from drainsketch.job.model import Boundary, Breakline, Downspout, Heap, Job, Obstacle, Run, Service, Structure, Thing
from drainsketch.job.plain import LABEL_LENGTH, plain
from drainsketch.job.rates import format_minutes
from drainsketch.measures import CountedLine, Counts, Params
from drainsketch.resources import resource, table

# params whose words are never ids: choices, and what the user calls points and setups of the level book
_CHOICES = ("known_by", "position", "rule", "numbers", "footing_known")
_IN_BOOK = ("sighted", "start_at", "end_at", "points", "setup")
_NO_IDS = (*_CHOICES, *_IN_BOOK)

FEET_OR_INCHES = re.compile(
    r"(?<![(\d./])(\d+(?:[/.]\d+)?) (ft|pies?|pulg|in)\b(?!/| \d| (?:in|en) \d)"
)  # but no slope, no speed
LEVELS_APART = (
    ("needed", "highest"),
    ("level", "highest"),
    ("invert", "level"),
    ("level", "pin"),
    ("invert", "bottom"),
)
LENGTHS = ("above", "rise")  # params by which something is out, ft

RATES = {
    "cfs": "flow",
    "ft/s": "velocity",
    "min": "minutes",
    "gal": "gallons",
}  # units of findings, and how they are written


FAR_OVER_FT = 1.0  # common practice, no source: water that comes out stands as high over a rim as the ground lets it
OVER_RIM = ("backs_up", "comes_out", "comes_out_onward", "comes_out_off")  # findings of water over a rim


class _Quantities(Formatter):
    """Formats placeholders whose spec names a kind of quantity."""

    def __init__(self, words: "Words") -> None:
        self._writers: dict[str, Callable[[Any], str]] = {
            "length": words.length,
            "over_rim": words.over_rim,
            "flow": words.flow,
            "rain": words.rain,
            "velocity": words.velocity,
            "minutes": format_minutes,
            "level": words.level,
            "inches": words.inches,
            "slope": words.slope,
            "area": words.area,
            "gallons": words.volume,
            "earth": words.earth,
            "list": _listed,
            "angle": lambda v: f"{v:.0f}°",
            "plain": lambda v: f"{v:g}",
            "feet": words.feet,
            "size": words.inches,
            "level_down": lambda v: words.level(u.on_step(v, "level", words.units, floor)),
            "level_up": lambda v: words.level(u.on_step(v, "level", words.units, ceil)),
            "length_up": lambda v: words.length(u.on_step(v, "ft", words.units, ceil)),
            "inches_down": lambda v: words.inches(u.on_step(v, "in", words.units, floor)),
        }

    def get_value(self, key: int | str, args: Sequence[Any], kwargs: Any) -> Any:
        return key if isinstance(key, int) else super().get_value(key, args, kwargs)

    def format_field(self, value: Any, format_spec: str) -> str:
        if value is None:
            return "?"
        if "|" in format_spec and isinstance(value, tuple | int):  # one form for one name, another for several
            one, several = format_spec.split("|")
            return one if (value if isinstance(value, int) else len(value)) == 1 else several
        writer = self._writers.get(format_spec)
        return writer(value) if writer else str(super().format_field(value, format_spec))


def _listed(names: tuple[str, ...]) -> str:
    return ("; " if any("," in name for name in names) else ", ").join(names)


class Words(Counts):
    """The words of one language, in one set of units.

    Parameters
    ----------
    lang : a folder of ``resources/translations``
    units : how lengths are written
    """

    def __init__(self, lang: str = "en", units: Units = "ft-in") -> None:
        super().__init__(lang, units)
        self._fill = _Quantities(self)
        self._with_ids = True
        self._things: dict[str, Thing] = {}
        self._names: dict[str, str] = {}

    @classmethod
    def of(cls, job: Job, lang: str = "en", *, with_ids: bool = True) -> "Words":
        """Return the words of a job: in its units, and calling its things by the names the user gave them.

        Parameters
        ----------
        with_ids : say the ids of what is there beside its names; structures and runs go by theirs in any case
        """
        words = cls(lang, job.header.units)
        words._with_ids = with_ids
        words._things = {thing.id: thing for thing in things(job)}
        words._names = {i: name for i, thing in words._things.items() if (name := getattr(thing, "name", ""))}
        return words

    def says_as(self, other: "Words") -> bool:
        """Return whether these words say a finding as others do: language, units and names are the same."""
        mine, others = (self.lang, self.units, self._names), (other.lang, other.units, other._names)
        return mine == others

    def name(self, thing_id: str) -> str:
        """Return what a thing is called: ``Oak (tree-1)``, ``House service (gas line 1)``, ``B3 (Front basin)``, or its id."""
        thing = self._things.get(thing_id)
        if thing is None:
            return thing_id
        name = plain(self._names.get(thing_id, ""), LABEL_LENGTH)
        if isinstance(thing, Structure | Run):
            return f"{thing_id} ({name})" if name else thing_id
        if not self._with_ids:
            return name or self._kind(thing)
        if isinstance(thing, Service):
            return self._service_name(thing_id, thing.kind, name)
        stem, _, number = thing_id.rpartition("-")
        if isinstance(thing, Heap) and number.isdecimal() and stem == thing.kind.replace(" ", "-"):
            thing_id = f"{self._kind(thing)} {number}"
        return f"{name} ({thing_id})" if name else thing_id

    def _kind(self, thing: Thing) -> str:
        """Return what kind of thing a thing is."""
        if isinstance(thing, Service):
            return self.word(f"sheets.service.{thing.kind}")
        if isinstance(thing, Obstacle):
            return self.word(f"sheets.obstacle.{thing.kind}")
        if isinstance(thing, Heap):
            return self.word(f"sheets.heap.{thing.kind}")
        if isinstance(thing, Breakline):
            return self.word(f"sheets.breakline.{thing.kind}")
        return self.word(
            {Boundary: "sheets.style.boundary", Downspout: "sheets.symbol.downspout"}.get(
                type(thing), "sheets.symbol.shot"
            )
        )

    def _service_name(self, service_id: str, kind: str, name: str = "") -> str:
        """Return a service by what the trade calls it, with its number, or with its id where that has none; a name goes first."""
        line: str = self._table("findings")["word"]["service_line"].get(kind, kind)
        stem, _, number = service_id.rpartition("-")
        if stem == kind.replace(" ", "-") and number.isdecimal():
            return f"{name} ({line} {number})" if name else f"{line} {number}"
        return f"{name}, {line} ({service_id})" if name else f"{line} ({service_id})"

    def sentence(self, finding: Finding) -> str:
        """Return what a finding says."""
        text = self._entry("findings", finding.kind)["text"]
        said = self._filled(text, self._finding_params(finding))
        return said[:1].upper() + said[1:] if text.startswith("{heap") else said  # 'fill area 1' is no name

    def remedy(self, finding: Finding) -> str:
        """Return what can be done about a finding."""
        return self._filled(self._entry("findings", finding.kind)["remedy"], self._finding_params(finding))

    def source(self, finding: Finding) -> str:
        """Return where the limit of a finding comes from; as the catalogue has it where the language says nothing.

        A source keeps its figures in feet and inches; in a metric job each is said in meters or millimeters beside it.
        """
        said = self._entry("findings", finding.kind).get("source", finding.source)
        return FEET_OR_INCHES.sub(self._with_metric, said) if self.units == "m" else said

    def origin(self, source: str) -> str:
        """Return where a figure comes from in this language: prose is turned, the titles of documents are not.

        The catalogue and the engine have it in English; it is returned as it stands where the language has no words for it.
        """
        if self.lang == "en":
            return source
        said: str = self._table("sources").get(source, source)
        return said

    def _with_metric(self, found: Match[str]) -> str:
        write = self.length if found[2] in ("ft", "pie", "pies") else self.inches
        return f"{found[0]} ({write(float(Fraction(found[1])))})"

    def reason(self, links: Iterable[tuple[str, Params]], short_ft: float, *, of_run: bool = False) -> str:
        """Return why a structure cannot drain, or why a run breaks a limit, as one sentence."""
        said = [
            self._filled(self._table("remedies")["reason"][kind], self._remedy_params(params)) for kind, params in links
        ]
        chain = "; ".join(said)
        chain = chain[:1].upper() + chain[1:]
        if not short_ft:
            return self.word("remedies.conflict", chain=chain)
        short_ft = u.told_apart(short_ft, 0.0, self.length, u.shown_step("ft", self.units))
        return self.word("remedies.missing_run" if of_run else "remedies.missing", chain=chain, short=short_ft)

    def cure(self, kind: str, params: Params) -> tuple[str, str]:
        """Return what a cure does, and what has to be kept in mind with it."""
        entry, said = self._table("remedies")["cure"][kind], self._remedy_params(params)
        return self._filled(entry["text"], said), self._filled(entry["note"], said)

    def _remedy_params(self, params: Params) -> dict[str, Any]:
        return {key: self._named(value) for key, value in self._worded("remedies", params).items()}

    def item(self, line: CountedLine) -> str:
        """Return the name of a takeoff line."""
        return self._filled(self._table("takeoff")["item"][line.item]["text"], self._line_params(line))

    def priced(self, item: str, params: Params) -> str:
        """Return the name of a line of a price: that of a takeoff line, or of labor, a machine or hauling."""
        own = item in self._table("price")["item"]
        said = self._worded("price" if own else "takeoff", params)
        said = {key: self._named(value) for key, value in said.items()} if own else said
        return self._filled(self._table("price" if own else "takeoff")["item"][item]["text"], said)

    def rule(self, line: CountedLine) -> str:
        """Return how a takeoff line is counted."""
        return self._filled(self._table("takeoff")["rule"][line.rule]["text"], self._line_params(line))

    def word(self, key: str, /, **params: Any) -> str:
        """Return a word of a table by its dotted key, for example ``sheets.title_block.client``.

        Raises
        ------
        KeyError : there is no such word
        """
        name, *path = key.split(".")
        entry: Any = self._table(name)
        for step in path:
            entry = entry[step]
        return self._filled(entry, params)

    def bearing(self, azimuth_deg: float) -> str:
        """Return a direction as a quadrant bearing."""
        return format_bearing(azimuth_deg, self.word("sheets.compass"))

    def over_rim(self, over_ft: float) -> str:
        """Return how far water would stand over a rim; beyond ``FAR_OVER_FT`` the figure is arithmetic and is not said."""
        return self.word(f"findings.word.over_rim.{'far' if over_ft > FAR_OVER_FT else 'by'}", by=over_ft)

    def number_against_limit(self, finding: Finding) -> str:
        """Return the number of a finding against its limit, for example ``0.4% against 1.0%``; '' when it has none."""
        if finding.value is None or (finding.kind in OVER_RIM and finding.value > FAR_OVER_FT):
            return ""
        spec, value = RATES.get(finding.unit, "plain"), self._value_of(finding)
        write = self._writers.get(finding.unit) or partial(_Quantities(self).format_field, format_spec=spec)
        assert value is not None
        if not finding.limit:  # against nothing, or against zero: the number says it
            return write(value)
        return self.word("findings.against", value=write(value), limit=write(finding.limit))

    @property
    def _writers(self) -> dict[str, Callable[[float], str]]:
        return {"ft": self.length, "ft/ft": self.slope, "in": self.inches}

    def _value_of(self, finding: Finding) -> float | None:
        """Return the number of a finding as it is said: one short of its limit by however little is not written like it."""
        value, limit, write = finding.value, finding.limit or 0.0, self._writers.get(finding.unit)
        if value is None or write is None or (value > limit and finding.limit and finding.unit != "ft/ft"):
            return value
        return u.told_apart(value, limit, write, u.shown_step(finding.unit, self.units))

    def _finding_params(self, finding: Finding) -> dict[str, Any]:
        own = {"value": self._value_of(finding), "limit": finding.limit, "station": finding.place.station_ft}
        given = dict(finding.params)
        said = self._worded("findings", finding.params)
        said = {key: value if key in _NO_IDS else self._named(value) for key, value in said.items()}
        other, kind = given.get("other"), given.get("service")
        if isinstance(other, str) and isinstance(kind, str) and other not in self._things and kind != "run":
            said["other"] = self._service_name(other, kind)
        if isinstance(given.get("number"), int):  # a crossing
            said["works"] = self._works(given.get("works_deeper"), given.get("works_shallower"))
        if isinstance(item := given.get("priced"), str):
            said["priced"] = self.priced(item, finding.params)
        return {**own, **self._apart(said)}

    def _apart(self, params: dict[str, Any]) -> dict[str, Any]:
        """Return the params so that no two levels that differ, and no length and nothing, are written alike."""
        found = dict(params)
        level, length = (u.shown_step(kind, self.units) for kind in ("level", "ft"))
        for one, other in LEVELS_APART:
            if isinstance(params.get(one), float) and isinstance(params.get(other), float):
                found[one] = u.told_apart(params[one], params[other], self.level, level)
        for key in LENGTHS:
            if isinstance(params.get(key), float):
                found[key] = u.told_apart(params[key], 0.0, self.length, length)
        return found

    def _works(self, deeper_ft: Any, shallower_ft: Any) -> str:
        """Return between which depths of a service the plan works; '' where nobody can tell."""
        if deeper_ft is None:
            return ""
        key = "deeper" if shallower_ft is None else "either"
        return self.word(f"findings.works.{key}", deeper=deeper_ft, shallower=shallower_ft)

    def _named(self, value: Any) -> Any:
        """Return a param with ids, also those of a list, turned into what the things are called."""
        if isinstance(value, tuple):
            return tuple(self._named(one) for one in value)
        return self.name(value) if isinstance(value, str) else value

    def _line_params(self, line: CountedLine) -> dict[str, Any]:
        said = self._worded("takeoff", line.params)
        return said | {"heap": self._named(said["heap"])} if "heap" in said else said

    def _worded(self, name: str, params: Params) -> dict[str, Any]:
        """Return the params with trade words in place of the values that ``[word.<param>]`` of the table knows."""
        known = self._table(name).get("word", {})
        return {key: known.get(key, {}).get(value, value) for key, value in params}

    def _filled(self, text: str, params: dict[str, Any]) -> str:
        return self._fill.vformat(text, (), params)

    def _table(self, name: str) -> dict[str, Any]:
        return table(f"translations/{self.lang}/{name}.toml")

    def _entry(self, name: str, kind: str) -> dict[str, str]:
        entry: dict[str, str] = self._table(name)[kind]
        return entry


def languages() -> tuple[str, ...]:
    """Return the languages that ship with the program."""
    return tuple(sorted(f.name for f in resource("translations").iterdir() if f.is_dir()))
