"""How long the takeoff takes: prints medians over jobs of 60 and 400 runs. Run: python -m tests.bench.bench_takeoff"""

from statistics import median
from time import perf_counter

from drainsketch.job.model import Job, Run, Shot, Structure
from drainsketch.review import analyse
from drainsketch.takeoff.quantities import takeoff
from drainsketch.takeoff.stacks import stacks
from drainsketch.takeoff.surfaces import _opened
from drainsketch.takeoff.works import works


def comb(branches: int) -> Job:
    """Return a main line of as many runs with as many branches, drains and solid, fittings and basins in turn."""
    end = 45.0 * branches + 150
    shots = tuple(
        Shot(id=f"G{i}-{j}", point=(40.0 * i, 40.0 * j), elevation_ft=400 - 0.8 * i - 0.2 * j)
        for i in range(int(end / 40) + 3)
        for j in range(10)
    )
    structures, runs, below = [Structure(id="O", kind="outfall", point=(end, 100))], [], "O"
    for k in range(branches):
        x = end - 45 * (k + 1)
        structures.append(Structure(id=f"M{k}", kind="basin" if k % 2 else "fitting", point=(x, 100)))
        structures.append(Structure(id=f"S{k}", kind="basin", point=(x, 60)))
        runs.append(Run(id=f"R{k}", start=f"M{k}", end=below, use="drain" if k % 3 else "solid", diameter_in=6))
        runs.append(Run(id=f"L{k}", start=f"S{k}", end=f"M{k}", use="drain" if k % 2 else "solid", via=((x - 5, 80),)))
        below = f"M{k}"
    return Job(shots=shots, structures=tuple(structures), runs=tuple(runs))


def main() -> None:
    """Print the median time of one takeoff: of the same plan again, and of one that is new each time."""
    for branches in (30, 200):
        review = analyse(comb(branches))
        for said in ("again", "new plan"):
            times = []
            for _ in range(40):
                if said == "new plan":
                    _opened.cache_clear()
                start = perf_counter()
                laid = works(review.job, review.network, review.profiles, review.grades, review.levels)
                takeoff(laid, stacks(laid))
                times.append(perf_counter() - start)
            print(f"takeoff of {len(review.job.runs)} runs, {said}: {median(times) * 1000:.1f} ms median")


if __name__ == "__main__":
    main()
