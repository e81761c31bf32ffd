"""The engine of currents, conductors and charging (first figures); see `work_out` and `explain`.

`choose` sizes what a build leaves open, before there is a rig; it is reached as `rigbook.power.choose`.
"""

from rigbook.power.explain import explain
from rigbook.power.figures import work_out
from rigbook.power.result import PowerResult

__all__ = ["PowerResult", "explain", "work_out"]
