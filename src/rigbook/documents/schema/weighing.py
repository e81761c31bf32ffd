"""What the scales said: weigh tickets and a weighing with one axle lifted."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Literal

from rigbook.documents.schema.base import Problem, Record, above_zero
from rigbook.documents.schema.scalars import Extent, Share, Text, Weight

WeighedState = Literal["without-crew", "with-crew", "laden"]


class WheelScales(Record):
    front_left: Weight
    """Under the front left wheel."""
    front_right: Weight
    """Under the front right wheel."""
    rear_left: Weight
    """Under the left rear wheels."""
    rear_right: Weight
    """Under the right rear wheels."""

    def problems_(self) -> Iterator[Problem]:
        """What is wrong between the values."""
        yield from above_zero(self, "front_left", "front_right", "rear_left", "rear_right")


class AxleScales(Record):
    front: Weight
    """Under the front axle."""
    rear: Weight
    """Under the rear axle, at the same height."""
    left: Weight | None = None
    """Under both left wheels, where they were weighed together."""

    def problems_(self) -> Iterator[Problem]:
        """What is wrong between the values."""
        yield from above_zero(self, "front", "rear")
        if self.left is not None and self.left >= self.front + self.rear:
            yield Problem("left", "the left wheels carry more than the whole vehicle", "", "less than front and rear")


class Lifted(Record):
    axle: Literal["front", "rear"]
    """Axle that was lifted; springs locked."""
    rise: Extent
    """How far its hubs rose."""
    other: Weight
    """What the axle on the ground carried then."""
    radius_front: Extent
    """Loaded radius of the front wheels."""
    radius_rear: Extent
    """Loaded radius of the rear wheels."""

    def problems_(self) -> Iterator[Problem]:
        """What is wrong between the values."""
        yield from above_zero(self, "rise", "radius_front", "radius_rear")


class Weighed(Record):
    state: WeighedState
    """How the vehicle was loaded."""
    fuel: Share = 1.0
    """Fill of the tank."""
    wheels: WheelScales | None = None
    """Scales under each wheel."""
    axles: AxleScales | None = None
    """Scales under each axle."""
    whole: Weight | None = None
    """The whole vehicle on one scale, to check the parts against."""
    tolerance: Weight = 20.0
    """Most that parts and whole may differ [common practice, no source]."""
    lifted: Lifted | None = None
    """A weighing with one axle lifted, for the height of the centre of gravity."""
    ticket: Text | None = None
    """Number of the ticket, scale, date."""

    @property
    def axle_loads(self) -> tuple[float, float]:
        """Front and rear axle in kg, whichever way they were weighed."""
        if self.wheels is not None:
            return self.wheels.front_left + self.wheels.front_right, self.wheels.rear_left + self.wheels.rear_right
        assert self.axles is not None
        return self.axles.front, self.axles.rear

    def problems_(self) -> Iterator[Problem]:
        """What is wrong between the values."""
        given = [key for key in ("wheels", "axles") if getattr(self, key) is not None]
        if len(given) != 1:
            found = " and ".join(given) or "neither"
            yield Problem(given[1] if given else "", "a weighing has wheels or axles", found, "one of wheels, axles")
            return
        front, rear = self.axle_loads
        if self.whole is not None and abs(front + rear - self.whole) > self.tolerance:
            says = (
                f"the parts add to {front + rear:.6g} kg and the whole was {self.whole:.6g} kg: "
                f"they differ by more than {self.tolerance:.6g} kg"
            )
            yield Problem("whole", says, f"{self.whole:.6g} kg", f"{front + rear:.6g} kg; weigh again")
        if self.lifted is not None:
            level = front if self.lifted.axle == "rear" else rear
            if self.lifted.other <= level:
                says = f"the axle on the ground carried {level:.6g} kg level, and gains when the other is lifted"
                yield Problem("lifted/other", says, f"{self.lifted.other:.6g} kg", f"more than {level:.6g} kg")
            elif self.lifted.other >= front + rear:
                says = "the axle on the ground carries more than the whole vehicle"
                yield Problem("lifted/other", says, f"{self.lifted.other:.6g} kg", f"less than {front + rear:.6g} kg")
