"""What a circuit carries in ordinary use, for the papers of the bay.

**Normal** is the highest average current over the build's saved states: what a clamp meter shows, averaged over the
flashing, while the vehicle does what its states say. The worst over everything the crew could do stands beside it.
"""

from __future__ import annotations

from collections.abc import Mapping

from rigbook.power import loads
from rigbook.power.waveform import mean_a
from rigbook.rig.model import Rig


def normal_a(rig: Rig) -> Mapping[str, float]:
    """Normal current in A of every circuit and feed by id (a fuse circuit and its feed share one). Empty without states."""
    states = loads.state_loads(rig)
    if not states:
        return {}
    found = {
        circuit.id: max(float(mean_a(state.circuit(circuit))) for state in states) for circuit in rig.circuits.values()
    }
    found |= {feed: max(float(mean_a(state.feed(rig, feed))) for state in states) for feed in rig.feeds}
    return found
