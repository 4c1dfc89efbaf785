"""What breaks the bounds of the model, all of it, in words, each complaint with its path.

The types of the model are the rules; this walks them beside the content and says in words where they part. Only what
msgspec has refused is looked into, so a long file with few faults is quick.
"""

import re
from collections.abc import Iterator
from difflib import get_close_matches
from itertools import islice
from math import isfinite
from types import UnionType
from typing import Annotated, Any, Literal, Union, get_args, get_origin

import msgspec
from msgspec import Meta, Struct
from msgspec.structs import fields

from drainsketch.job.kinds import Coordinate, Elevation, Id

MOST_COMPLAINTS = 200
HALF_CHARACTER = re.compile("[\ud800-\udfff]")  # a lone surrogate: UTF-8 has no bytes for it


def complaints(content: Any, kind: Any) -> tuple[str, ...]:
    """Return ``path: what is wrong`` sentences in file order, at most 200.

    Parameters
    ----------
    content : what JSON gave: dicts, lists, text, numbers
    kind : the type it should have, a Struct of the model
    """
    return tuple(islice(_walk(content, kind, ""), MOST_COMPLAINTS))


def _walk(value: Any, kind: Any, path: str) -> Iterator[str]:
    if _fits(value, kind):
        return
    core, bounds = _core(kind)
    if isinstance(core, type) and issubclass(core, Struct):
        yield from _walk_object(value, core, path)
    elif get_origin(core) is tuple:
        yield from _walk_list(value, core, bounds, path)
    else:
        yield f"{path}: {shown(value)} is not {_described(kind, core, bounds)}"


def _core(kind: Any) -> tuple[Any, list[Meta]]:
    """Return the type without its annotations and without None, and the bounds that stood on it."""
    bounds: list[Meta] = []
    while True:
        if get_origin(kind) is Annotated:
            bounds += [m for m in kind.__metadata__ if isinstance(m, Meta)]
            kind = kind.__origin__
        elif get_origin(kind) in (Union, UnionType):
            kind = next(k for k in get_args(kind) if k is not type(None))
        else:
            return kind, bounds


def _walk_object(value: Any, kind: type[Struct], path: str) -> Iterator[str]:
    if not isinstance(value, dict):
        yield f"{path or 'file'}: {shown(value)} is not an object in braces"
        return
    known = {field.name: field for field in fields(kind)}
    for key, content in value.items():
        place = f"{path}.{key}" if path else key
        if key in known:
            yield from _walk(content, known[key].type, place)
        else:
            near = get_close_matches(key[:60], known, n=1)
            hint = f"did you mean {near[0]}?" if near else f"known here: {', '.join(known)}"
            yield f"{path + '.' if path else ''}{shown_key(key)}: unknown key; {hint}"
    for name, field in known.items():
        if field.required and name not in value:
            yield f"{path + '.' if path else ''}{name}: missing"


def _walk_list(value: Any, kind: Any, bounds: list[Meta], path: str) -> Iterator[str]:
    inner = get_args(kind)
    is_point = inner[-1] is not Ellipsis
    if not isinstance(value, list | tuple) or (is_point and len(value) != len(inner)):
        yield f"{path}: {shown(value)} is not {'a point [x, y] in feet' if is_point else 'a list in brackets'}"
        return
    for bound in bounds:
        if bound.min_length is not None and len(value) < bound.min_length:
            yield f"{path}: {_counted(len(value), inner[0])}; at least {bound.min_length} belong here"
        if bound.max_length is not None and len(value) > bound.max_length:
            yield f"{path}: {_counted(len(value), inner[0])}; at most {bound.max_length} are read"
            return
    for i, item in enumerate(value):
        kind_there = inner[i] if is_point else inner[0]
        if not _fits(item, kind_there):
            yield from _walk(item, kind_there, f"{path}[{i}]")


def _fits(value: Any, kind: Any) -> bool:
    try:
        msgspec.convert(value, kind)
    except msgspec.ValidationError:
        return False
    return True


def _counted(count: int, inner: Any) -> str:
    noun = "point" if get_origin(inner) is tuple else "entry"
    many = "points" if noun == "point" else "entries"
    return f"{count} {noun if count == 1 else many}"


def _described(kind: Any, core: Any, bounds: list[Meta]) -> str:
    """Return what should have stood there, in words."""
    if get_origin(core) is Literal:
        return "one of " + ", ".join(str(choice) for choice in get_args(core))
    if core is bool:
        return "true or false"
    if core is str:
        return _described_text(kind, bounds)
    noun = "a level" if bounds == list(get_args(Elevation)[1:]) else "a number"
    noun = "a coordinate" if bounds == list(get_args(Coordinate)[1:]) else noun
    return " ".join([noun, *(_described_range(bound) for bound in bounds)])


def _described_range(bound: Meta) -> str:
    if bound.ge is not None and bound.le is not None:
        return f"from {bound.ge:g} to {bound.le:g}"
    if bound.gt is not None and bound.le is not None:
        return f"above {bound.gt:g} and up to {bound.le:g}"
    return " ".join(
        f"{word} {limit:g}" for word, limit in (("from", bound.ge), ("up to", bound.le)) if limit is not None
    )


def _described_text(kind: Any, bounds: list[Meta]) -> str:
    if bounds == list(get_args(Id)[1:]):
        return "an id (a letter, then letters, digits and hyphens, at most 40 in all)"
    if any(bound.pattern for bound in bounds):
        return "a date like 2026-05-14"
    longest = [bound.max_length for bound in bounds if bound.max_length is not None]
    return f"text of at most {longest[0]} characters" if longest else "text"


def shown(value: Any) -> str:
    """Return a value as the file writes it, short and printable."""
    if isinstance(value, dict):
        return "an object"
    if isinstance(value, list | tuple):
        return f"a list of {len(value)}"
    if value is None or isinstance(value, bool):
        return {None: "null", True: "true", False: "false"}[value]
    if isinstance(value, float) and not isfinite(value):
        return "NaN" if value != value else "Infinity" if value > 0 else "-Infinity"  # noqa: PLR0124
    if isinstance(value, int | float):
        text = repr(value) if abs(value) < 1e30 else "so large a number"
        return text if len(text) <= 30 else text[:30] + "..."
    text = "".join(c if c.isprintable() and not "\ud800" <= c <= "\udfff" else "?" for c in str(value)[:60])
    return f'"{text}{"..." if len(str(value)) > 60 else ""}"'


def shown_key(key: str) -> str:
    """Return a key as a path shows it: as it is when plain, quoted otherwise."""
    return key if key.isidentifier() and len(key) <= 40 else shown(key)


def half_character_faults(content: Any, path: str = "") -> Iterator[str]:
    """Yield a complaint for each text that holds half a character (a lone surrogate), which no sheet can carry."""
    if isinstance(content, dict):
        for key, value in content.items():
            yield from half_character_faults(value, f"{path}.{key}" if path else key)
    elif isinstance(content, list | tuple) and content and isinstance(content[0], dict):
        for i, value in enumerate(content):
            yield from half_character_faults(value, f"{path}[{i}]")
    elif isinstance(content, str) and HALF_CHARACTER.search(content):
        yield f"{path}: {shown(content)} holds half a character; type it again"
