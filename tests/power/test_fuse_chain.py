"""A fuse and those above it as gates."""

from __future__ import annotations

from rigbook.power import fuse_chain
from rigbook.rig.model import Rig
from tests.power.test_protection import rigs

__all__ = ["rigs"]


def test_edges_of_a_chain_enclose_the_gates(rigs: list[Rig]) -> None:
    chain = fuse_chain.chain_of(rigs[2], "screen-feed")
    assert [c.id for c in chain] == ["screen-feed", "main-front"]
    for each in chain:
        assert len(each.slow) > 50 and all(s > 0 for _, s in each.slow)
        slow = dict(each.slow)
        assert all(fast <= slow[amps] for amps, fast in each.fast)
