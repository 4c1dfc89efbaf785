"""How a job file is laid out, so that it reads well and two versions compare line by line.

Keys stand in model order. Header, criteria and the like are written in full, one entry a line, so that a later change of a default
changes no job. A thing of the plan takes one line where short; what is empty on it (null, "", no bends, false) is left out.
"""

import json
from typing import Any

import msgspec

from drainsketch.job.bounds import HALF_CHARACTER
from drainsketch.job.model import COLLECTIONS, Job

FORMAT = "drainsketch-job"
_WIDTH = 120

Raw = dict[str, Any]


def laid_out(job: Job, version: int) -> str:
    """Return the text of a job file of the given version; it ends with a line feed."""
    raw: Raw = msgspec.to_builtins(job)
    parts = [f'"format": {_json(FORMAT)}', f'"version": {version}', f'"header": {_tall(raw["header"])}']
    if job.boundary is not None:
        parts.append(f'"boundary": {_thing(raw["boundary"], 2)}')
    parts += [f'"{name}": {_things(raw[name])}' for name in COLLECTIONS]
    parts.append(f'"book": {_book(raw["book"])}')
    parts.append(f'"laying": {_laying(raw["laying"])}')
    parts.append(f'"stock": {_things(raw["stock"])}')
    parts.append(f'"rain": {_rain(raw["rain"])}')
    parts.append(f'"water": {_tall(raw["water"])}')
    parts.append(f'"criteria": {_tall(raw["criteria"])}')
    parts.append(f'"sections": {_tall(raw["sections"])}')
    parts.append(f'"waste": {_things(raw["waste"])}')
    parts.append(f'"pricing": {_pricing(raw["pricing"])}')
    parts.append(f'"offer": {_tall(raw["offer"])}')
    parts.append(f'"work": {_tall(raw["work"])}')
    parts += [f'"{key}": {_json(raw[key])}' for key in ("option", "option_note", "option_at")]
    parts.append(f'"aside": {_aside(raw["aside"])}')
    if raw["backdrop"] is not None:
        parts.append(f'"backdrop": {_backdrop(raw["backdrop"])}')
    return "{\n  " + ",\n  ".join(parts) + "\n}\n"


def _json(value: Any) -> str:
    text = json.dumps(value, ensure_ascii=False)
    return json.dumps(value) if HALF_CHARACTER.search(text) else text


def _tall(entries: Raw) -> str:
    return "{\n" + ",\n".join(f"    {_json(key)}: {_json(value)}" for key, value in entries.items()) + "\n  }"


def _things(rows: list[Raw]) -> str:
    return "[\n" + ",\n".join("    " + _thing(row, 4) for row in rows) + "\n  ]" if rows else "[]"


def _pricing(raw: Raw) -> str:
    """Return the price of the job; in a row whatever is known is written, since 'not taxed' is not 'not said'."""

    def known(row: Raw) -> Raw:
        return {key: value for key, value in row.items() if value is not None and value != ""}

    lists = {key: [known(row) for row in raw[key]] for key in ("changes", "extras")}
    entries = [f'    "terms": {_json(known(raw["terms"]))}']
    for key, rows in lists.items():
        entries.append(
            f'    "{key}": ' + ("[\n" + ",\n".join("      " + _json(r) for r in rows) + "\n    ]" if rows else "[]")
        )
    return "{\n" + ",\n".join(entries) + "\n  }"


def _listed(raw: Raw) -> str:
    """Return an object an entry a line, and under an entry that lists objects one of them a line."""
    entries = []
    for key, value in raw.items():
        if isinstance(value, tuple | list) and value and isinstance(value[0], dict):
            rows = ",\n".join("      " + _thing(row, 6) for row in value)
            entries.append(f'    "{key}": [\n{rows}\n    ]')
        else:
            said = _flat(value) if isinstance(value, dict) else _json(value)
            entries.append(f'    "{key}": {said}')
    return "{\n" + ",\n".join(entries) + "\n  }"


def _backdrop(raw: Raw) -> str:
    """Return the drawing under the plan, each of its lines on one line however long: there may be thousands, and recovery copies hurry."""
    rows = (_quick({key: value for key, value in line.items() if not _is_empty(value)}) for line in raw["lines"])
    entries = [f'    "{key}": {_json(value)}' for key, value in raw.items() if key != "lines"]
    lines = ",\n".join("      " + row for row in rows)
    entries.append('    "lines": ' + (f"[\n{lines}\n    ]" if lines else "[]"))
    return "{\n" + ",\n".join(entries) + "\n  }"


def _quick(value: Any) -> str:
    try:
        return msgspec.json.encode(value).decode()
    except UnicodeEncodeError:  # half a character
        return _json(value)


def _aside(options: list[Raw]) -> str:
    """Return the options set aside, each with its things a line each."""
    if not options:
        return "[]"
    return "[\n" + ",\n".join("    " + _listed(o).replace("\n", "\n  ") for o in options) + "\n  ]"


def _book(raw: Raw) -> str:
    """Return the level book: a benchmark a line, a setup and under it a sight a line."""
    setups = [
        "      "
        + _flat({key: value for key, value in setup.items() if key != "sights"})[:-1]
        + ', "sights": ['
        + ",".join("\n        " + _flat(sight, "at") for sight in setup["sights"])
        + ("\n      ]}" if setup["sights"] else "]}")
        for setup in raw["setups"]
    ]
    lists = {"benchmarks": ["      " + _flat(mark, "name") for mark in raw["benchmarks"]], "setups": setups}
    entries = [
        f'    "{key}": ' + ("[\n" + ",\n".join(lists[key]) + "\n    ]" if lists.get(key) else _json(value))
        for key, value in raw.items()
    ]
    return "{\n" + ",\n".join(entries) + "\n  }"


def _rain(raw: Raw) -> str:
    """Return the storm in full, and under it the rows of its table a line each."""
    table = raw["table"]
    if table is None:
        return _tall(raw)
    rows = ",\n".join("        " + _json(row) for row in table["rows"])
    inner = [f"      {_json(key)}: {_json(value)}" for key, value in table.items() if key != "rows"]
    inner.append(f'      "rows": [\n{rows}\n      ]')
    entries = [f"    {_json(key)}: {_json(value)}" for key, value in raw.items() if key != "table"]
    entries.append('    "table": {\n' + ",\n".join(inner) + "\n    }")
    return "{\n" + ",\n".join(entries) + "\n  }"


def _laying(raw: Raw) -> str:
    """Return how pipe is laid, in full, and under it a reading a line."""
    readings = ",\n".join("      " + _json(reading) for reading in raw["readings"])
    entries = [f"    {_json(key)}: {_json(value)}" for key, value in raw.items() if key != "readings"]
    entries.append('    "readings": ' + (f"[\n{readings}\n    ]" if readings else "[]"))
    return "{\n" + ",\n".join(entries) + "\n  }"


def _flat(raw: Raw, needed: str = "") -> str:
    """Return an object on one line; what is empty is left out but for the key that a reader needs."""
    return _json({key: value for key, value in raw.items() if key == needed or not _is_empty(value)})


def _thing(raw: Raw, indent: int) -> str:
    said = {key: value for key, value in raw.items() if not _is_empty(value)}
    flat = _json(said)
    if len(flat) + indent < _WIDTH:
        return flat
    pad = "\n" + " " * (indent + 2)
    entries = [f"{_json(key)}: {_value(value, indent + 2)}" for key, value in said.items()]
    return "{" + pad + ("," + pad).join(entries) + "\n" + " " * indent + "}"


def _is_empty(value: Any) -> bool:
    return value is None or value is False or (isinstance(value, str | tuple | list) and not value)


def _value(value: Any, indent: int) -> str:
    """Return a value; a long list of points is wrapped, several points a line."""
    flat = _json(value)
    if len(flat) + indent < _WIDTH or not isinstance(value, list | tuple):
        return flat
    lines, line = [], ""
    for item in (_json(item) for item in value):
        if line and len(line) + len(item) + indent + 4 > _WIDTH:
            lines.append(line)
            line = item
        else:
            line = f"{line}, {item}" if line else item
    pad = "\n" + " " * (indent + 2)
    return "[" + pad + ("," + pad).join([*lines, line]) + "\n" + " " * indent + "]"
