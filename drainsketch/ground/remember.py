"""Answers about a ground study that are kept as long as the study lives: it outlasts many edits of the pipe."""

from collections.abc import Callable, Hashable
from functools import wraps
from typing import Any, Concatenate, ParamSpec, TypeVar
from weakref import WeakKeyDictionary

from drainsketch.ground.results import GroundStudy

Asked = ParamSpec("Asked")
Answer = TypeVar("Answer")


def remembered(
    ask: Callable[Concatenate[GroundStudy, Asked], Answer],
) -> Callable[Concatenate[GroundStudy, Asked], Answer]:
    """Return a pure function of a study, and of what else it is asked for by place, that keeps what it answered."""
    kept: WeakKeyDictionary[GroundStudy, dict[tuple[Hashable, ...], Answer]] = WeakKeyDictionary()

    @wraps(ask)
    def asked(study: GroundStudy, /, *args: Asked.args, **more: Asked.kwargs) -> Answer:
        answers = kept.setdefault(study, {})
        key: tuple[Any, ...] = (*args, *more.items())
        if key not in answers:
            answers[key] = ask(study, *args, **more)
        return answers[key]

    return asked
