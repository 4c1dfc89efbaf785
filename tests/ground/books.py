"""Small level books for the tests."""

from msgspec.structs import replace

from drainsketch.job.kinds import SightKind
from drainsketch.job.levelling import Benchmark, LevelBook, Setup, Sight


def _sight(kind: SightKind, at: str, reading_ft: float | None, distance_ft: float | None, shot: str | None) -> Sight:
    return Sight(id="sight", kind=kind, at=at, reading_ft=reading_ft, distance_ft=distance_ft, shot=shot)


def bs(at: str, reading_ft: float | None, distance_ft: float | None = None, shot: str | None = None) -> Sight:
    return _sight("backsight", at, reading_ft, distance_ft, shot)


def fs(at: str, reading_ft: float | None, distance_ft: float | None = None, shot: str | None = None) -> Sight:
    return _sight("foresight", at, reading_ft, distance_ft, shot)


def inter(at: str, reading_ft: float | None, shot: str | None = None) -> Sight:
    return _sight("intermediate", at, reading_ft, None, shot)


def setup(*sights: Sight, **fields: object) -> Setup:
    return Setup(id="setup", sights=sights, **fields)  # type: ignore[arg-type]


def known(name: str, elevation_ft: float) -> Benchmark:
    return Benchmark(id="benchmark", name=name, elevation_ft=elevation_ft)


def book(*setups: object, marks: tuple[Benchmark, ...] = (), **fields: object) -> LevelBook:
    """Return a book with ids counted from 1: setup-1, sight-1 and so on."""
    numbered, count = [], 0
    for number, one in enumerate(setups, 1):
        assert isinstance(one, Setup)
        sights = tuple(replace(s, id=f"sight-{count + i}") for i, s in enumerate(one.sights, 1))
        count += len(sights)
        numbered.append(replace(one, id=f"setup-{number}", sights=sights))
    benchmarks = tuple(replace(b, id=f"benchmark-{i}") for i, b in enumerate(marks, 1))
    return LevelBook(benchmarks=benchmarks, setups=tuple(numbered), **fields)  # type: ignore[arg-type]
