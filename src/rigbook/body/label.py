"""Whether a label or placard is due, and what goes on it. Figures and empty lines; the wording is the regulation's."""

from __future__ import annotations

from rigbook.body import balance, statics
from rigbook.body.result import Label
from rigbook.quantities.units import POUND_KG
from rigbook.rig.model import Rig


def capacity_before_kg(rig: Rig) -> float:
    """Capacity weight before work: as on the placard, else all the gross rating leaves. Source: capacity-weight."""
    vehicle = rig.vehicle
    if vehicle.ratings.capacity is not None:
        return vehicle.ratings.capacity
    return vehicle.ratings.gvwr - vehicle.curb.front - vehicle.curb.rear


def label(rig: Rig) -> Label:
    """The load-capacity label and the lines a person fills in by hand. Sources: fr-72-68442, capacity-weight."""
    added = balance.added_kg(rig)
    due = added > statics.added_weight_threshold_kg(gvwr_kg=rig.vehicle.ratings.gvwr)
    before = capacity_before_kg(rig)
    after = statics.placard_left(capacity=before, added=added)
    lines = (
        f"Load capacity reduced by {round(added)} kg ({round(added / POUND_KG)} lb).",
        f"Capacity weight before {round(before)} kg ({round(before / POUND_KG)} lb), now {round(after)} kg "
        f"({round(after / POUND_KG)} lb), persons and cargo together.",
        "Place it within 25 mm of the tyre placard, or correct or replace the placard [from memory].",
    )
    certification = (
        "Altered by: ______________________________",
        "In (month and year): ____________________",
        "Standards affected by the alteration, checked by: ____________________",
        "GVWR and GAWR as altered, where they differ from the first label: ____________________",
        "Vehicle type as altered, where it changed: ____________________",
    )
    return Label(due, added, before, after, lines if due else (), certification if due else ())
