"""The order in which findings are told."""

from drainsketch.findings import Finding, Place, finding, worst_first


def crossing(number: int, run: str) -> Finding:
    return finding("depth_unknown", Place(ids=(run, "gas-1"), station_ft=3.0), number=number)


def test_crossings_come_in_the_order_of_their_numbers_on_the_plan() -> None:
    given = [crossing(10, "R1"), crossing(2, "R4"), crossing(1, "R9")]
    assert [dict(f.params)["number"] for f in worst_first(given)] == [1, 2, 10]


def test_stops_come_first_and_ids_are_counted_as_people_count() -> None:
    def at(run: str, station_ft: float) -> Finding:
        return finding("shallow_cover", Place(ids=(run,), station_ft=station_ft), value=0.5, run=run)

    stop = finding("run_rises", Place(ids=("R10",)))
    note = finding("unused", Place(ids=("A1",)))
    given = [note, at("R10", 1.0), at("R2", 30.0), at("R2", 4.0), stop]
    told = [(f.level, *f.place.ids, f.place.station_ft) for f in worst_first(given)]
    assert told == [
        ("stop", "R10", None),
        ("settle", "R2", 4.0),
        ("settle", "R2", 30.0),
        ("settle", "R10", 1.0),
        ("note", "A1", None),
    ]
