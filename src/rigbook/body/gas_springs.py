"""Gas springs that carry a lid through its swing. Plain numbers: m, N, N m, deg, degrees Celsius. Source: gas-springs."""

from __future__ import annotations

import math
from dataclasses import dataclass

ABSOLUTE_C = 273.15


def force_at_n(*, force_20_n: float, temperature_c: float) -> float:
    """Force at a temperature: F20 (273.15 + T)/293.15. Source: gas-spring-heat."""
    return force_20_n * (ABSOLUTE_C + temperature_c) / (ABSOLUTE_C + 20.0)


def quick_force_n(*, mass_kg: float, centre_m: float, count: int, arm_m: float, gravity: float = 9.80665) -> float:
    """Quick size of each spring, standing square to the lid: m g x/(n l). Source: gas-spring-quick."""
    return mass_kg * gravity * centre_m / (count * arm_m)


def quick_hand_n(*, force_n: float, count: int, arm_m: float, length_m: float) -> float:
    """Hand force against springs square to the lid: n F l/L. Source: gas-spring-quick."""
    return count * force_n * arm_m / length_m


@dataclass(frozen=True, slots=True, kw_only=True)
class Swing:
    """A lid, its studs and its springs. Angles above the horizontal; `offset_deg` of the mass, `stud_deg` of the stud."""

    mass_kg: float
    centre_m: float
    body_x_m: float
    body_y_m: float
    stud_m: float
    count: int
    force_n: float
    ratio: float
    closed_deg: float
    open_deg: float
    offset_deg: float = 0.0
    stud_deg: float = 0.0
    gravity: float = 9.80665

    def stud(self, angle_deg: float) -> tuple[float, float]:
        """Where the stud of the lid is, m from the hinge."""
        turned = math.radians(angle_deg + self.stud_deg)
        return self.stud_m * math.cos(turned), self.stud_m * math.sin(turned)

    def length_m(self, angle_deg: float) -> float:
        """Stud to stud."""
        x, y = self.stud(angle_deg)
        return math.hypot(x - self.body_x_m, y - self.body_y_m)

    def signed_arm_m(self, angle_deg: float) -> float:
        """Arm of the spring about the hinge; positive lifts the lid, and where it changes sign it goes over centre."""
        x, y = self.stud(angle_deg)
        return (y * self.body_x_m - x * self.body_y_m) / self.length_m(angle_deg)

    def force_of_one_n(self, angle_deg: float, temperature_c: float = 20.0) -> float:
        """Force of one spring: F1 (1 + (F2/F1 - 1) s), s the share of the swing's stroke pushed in, at a temperature."""
        shut, wide = self.length_m(self.closed_deg), self.length_m(self.open_deg)
        pushed = 0.0 if wide == shut else (wide - self.length_m(angle_deg)) / (wide - shut)
        force = self.force_n * (1.0 + (self.ratio - 1.0) * pushed)
        return force_at_n(force_20_n=force, temperature_c=temperature_c)

    def weight_n_m(self, angle_deg: float) -> float:
        """Moment of the weight about the hinge, closing."""
        return self.mass_kg * self.gravity * self.centre_m * math.cos(math.radians(angle_deg + self.offset_deg))

    def net_n_m(self, angle_deg: float, temperature_c: float = 20.0) -> float:
        """Moment that opens the lid: springs less weight."""
        springs = self.count * self.force_of_one_n(angle_deg, temperature_c) * self.signed_arm_m(angle_deg)
        return springs - self.weight_n_m(angle_deg)

    def balance_deg(self, temperature_c: float = 20.0) -> float | None:
        """Highest angle at which springs and weight balance, by bisection; None where they never do."""
        steps = 200
        angles = [self.closed_deg + (self.open_deg - self.closed_deg) * k / steps for k in range(steps + 1)]
        for low, high in zip(angles[-2::-1], angles[:0:-1], strict=True):
            if self.net_n_m(low, temperature_c) <= 0.0 < self.net_n_m(high, temperature_c):
                for _ in range(60):
                    middle = (low + high) / 2.0
                    if self.net_n_m(middle, temperature_c) <= 0.0:
                        low = middle
                    else:
                        high = middle
                return (low + high) / 2.0
        return None
