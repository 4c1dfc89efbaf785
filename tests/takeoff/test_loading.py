"""The loading list, worked by hand."""

from msgspec.structs import replace

from drainsketch.job import model as m
from drainsketch.job.levelling import Laying
from drainsketch.job.model import Job
from drainsketch.review import analyse
from drainsketch.takeoff.loading import PLACES, load_list
from drainsketch.takeoff.loading_words import load_name, load_quantity
from drainsketch.takeoff.results import TakeoffLine
from drainsketch.wording import Words
from tests.takeoff.test_trench_sections import drive, yard


def names(job: Job) -> list[str]:
    return [load.name for load in analyse(job).loading]


def test_pipe_is_loaded_by_the_stick_and_no_goods_are_lost() -> None:
    # 100 ft of 4 in PVC in sticks of 14 ft: 8
    review = analyse(yard())
    loads = {load.name: load for load in review.loading if load.line is not None}
    assert loads["sticks_solid"].place == "pipe rack"
    assert loads["sticks_solid"].quantity == 8
    assert "pipe_solid" not in loads
    kept = {line.item for line in review.takeoff if line.group != "trench"} - {
        "pipe_solid",
        "spoil_bank",
        "spoil_loose",
    }
    assert loads.keys() == kept
    assert [name for name, load in loads.items() if load.place == "hauled off"] == [
        "spoil_loads"
    ]  # one pile, said once
    assert loads["stone_basin"].place == "delivered"
    assert loads["basin_body"].place == "basins"


def test_what_is_bought_goes_before_what_is_counted() -> None:
    review = analyse(yard())
    sod = TakeoffLine("sod", "lawn", 93.0, "ft2", "sod", "", buy=10.0, buy_unit="roll_of_sod")
    (load,) = [x for x in load_list(review.works, review.stacks, [sod], ()) if x.line is not None]
    assert (load.place, load.quantity, load.unit) == ("rolls and bags", 10.0, "roll_of_sod")


def test_tools_go_by_what_the_job_has() -> None:
    plain = names(yard())
    for there in ("level", "tape", "pipe_saw", "solvent", "hole_saw", "tamper", "barricades"):
        assert there in plain
    for absent in ("string", "spades", "locator", "paving_saw", "ladder", "shoring", "knife"):
        assert absent not in plain
    assert "paving_saw" in names(yard(drive(20, 40)))
    strung = names(replace(yard(), laying=Laying(instrument="string line")))
    assert "string" in strung
    assert "level" not in strung


def test_a_ladder_goes_along_from_4_ft_and_protection_from_5_ft() -> None:
    # 29 CFR 1926.651(c)(2) and 652(a)(1)
    def at(deeper_ft: float) -> list[str]:
        job = yard()
        return names(replace(job, shots=tuple(replace(s, elevation_ft=s.elevation_ft + deeper_ft) for s in job.shots)))

    # the hole of the basin is the deepest: 3 ft, 4 in of sump and 2 in of bed
    assert "ladder" not in at(0.4)
    assert "ladder" in at(0.55)
    assert "shoring" not in at(1.4)
    assert "shoring" in at(1.55)


def test_the_pit_of_a_dry_well_counts_as_much_as_a_trench() -> None:
    """The pipe comes in at 97.00 under ground at 100.00: 3 ft of trench, and the pit reaches as far below the pipe as it is deep."""

    def at(depth_ft: float) -> list[str]:
        job = yard()
        sides = {"pit_length_ft": 4.0, "pit_width_ft": 4.0, "pit_depth_ft": depth_ft}
        return names(
            replace(job, structures=(job.structures[0], replace(job.structures[1], outfall="dry well", **sides)))
        )

    assert "ladder" not in at(0.9)
    assert "ladder" in at(1.1)
    assert "shoring" not in at(1.9)
    assert "shoring" in at(2.1)


def test_a_saw_goes_along_for_what_is_sawn_and_not_for_gravel_or_a_lawn_that_is_not_cut() -> None:
    gravel = names(yard(drive(20, 40, "gravel")))
    assert "paving_saw" not in gravel and "dust" not in gravel and "tamper" in gravel
    assert {"paving_saw", "dust", "breaker"} <= {*names(yard(drive(20, 40, "concrete")))}
    assert "breaker" not in names(yard(drive(20, 40, "brick")))
    assert "sod_cutter" not in names(yard(drive(-20, 120, "gravel")))


def test_hand_spades_name_the_crossings_they_are_for() -> None:
    gas = m.Service(id="gas-1", kind="gas", points=((50, -20), (50, 20)))
    review = analyse(replace(yard(), services=(gas,)))
    (spades,) = [load for load in review.loading if load.name == "spades"]
    assert spades.crossings == (1,)
    assert "(crossing 1)" in load_name(spades, Words())
    assert "locator" in [load.name for load in review.loading]


def test_the_list_is_in_the_order_it_is_loaded_and_said_in_both_languages() -> None:
    review = analyse(yard(drive(20, 40)))
    places = [PLACES.index(load.place) for load in review.loading]
    assert places == sorted(places)
    for lang in ("en", "es"):
        words = Words.of(review.job, lang)
        for load in review.loading:
            assert load_name(load, words)
            assert bool(load_quantity(load, words)[0]) == (load.line is not None)
