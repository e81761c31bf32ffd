"""Targets hold what flows through them: by the circuits, feeds and segments of the rig."""

from __future__ import annotations

from rigbook.power.figures import circuit_draws, module_draws
from rigbook.power.flowing import flows_of
from rigbook.power.targets import Target, targets_of
from tests.power.cars import car


def by_key() -> dict[tuple[str, str], Target]:
    return {(target.kind, target.id): target for target in targets_of(car(), flows_of(car()))}


def channels(target: Target) -> set[tuple[str, str]]:
    return {(flow.draw.device_id, flow.draw.channel) for flow in target.flows}


def test_every_target_stands_once_and_every_kind_is_there() -> None:
    every = targets_of(car(), flows_of(car()))
    assert len({(t.kind, t.id) for t in every}) == len(every)
    assert {t.kind for t in every} == {"whole", "devices", "circuits", "feeds", "modules", "banks", "wires", "charging"}


def test_circuits_and_modules_carry_what_they_feed_and_no_more() -> None:
    found, rig = by_key(), car()
    for circuit in rig.circuits.values():
        assert channels(found["circuits", circuit.id]) <= set(circuit_draws(rig, circuit))
    for module in rig.modules.values():
        assert channels(found["modules", module.id]) <= set(module_draws(rig, module))
        banks = [channels(found["banks", f"{module.id}.{bank.id}"]) for bank in module.banks]
        assert set().union(*banks) == channels(found["modules", module.id])


def test_a_feed_carries_the_feeds_below() -> None:
    found, rig = by_key(), car()
    looked = 0
    for feed in rig.feeds.values():
        for below in feed.feeds:
            assert channels(found["feeds", below]) <= channels(found["feeds", feed.id])
            looked += 1
    assert looked >= 3
    assert channels(found["feeds", "main"]) == channels(found["whole", ""])


def test_a_wire_carries_no_more_than_its_circuit() -> None:
    found, rig = by_key(), car()
    looked = 0
    for circuit in rig.circuits.values():
        for member in circuit.members:
            for segment in (*member.feed_path, *member.return_path):
                if ("wires", segment) in found and len(circuit.members) == 1:
                    assert channels(found["wires", segment]) <= channels(found["circuits", circuit.id]) | {
                        need for other in rig.circuits.values() for m in other.members for need in m.draws
                        if segment in (*m.feed_path, *m.return_path)
                    }  # fmt: skip
                    looked += 1
    assert looked > 10


def test_charging_counts_under_its_condition() -> None:
    target = by_key()["charging", ""]
    assert target.under == dict(car().program.roles)["running_when"]
