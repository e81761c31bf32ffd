"""Small photometric files to plant faults in."""

from __future__ import annotations

LM63 = """IESNA:LM-63-2002
[TEST] invented
[TESTLAB] none
[ISSUEDATE] none
[MANUFAC] none
[LUMCAT] invented lamp
TILT=NONE
1 1000 2 3 2 1 2 0 0 0
0.5 1 10
0 45 90
0 90
100 50 0
80, 40
0
"""

LDT = "\n".join(
    ["-", "1", "4", "8", "45", "3", "45", "-", "invented", "-", "-", "-"]
    + ["0"] * 9 + ["100", "100", "1,0", "0", "1", "1", "-", "2000", "-", "-", "10"] + ["0"] * 10
    + [str(c) for c in range(0, 360, 45)] + ["0", "45", "90"]
    + ["100", "50", "0", "90", "45", "0", "80", "40", "0"]
) + "\n"  # fmt: skip
