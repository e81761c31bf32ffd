"""Exit statuses of every command. Several builds: the highest."""

from __future__ import annotations

WORKED = 0
"""Worked, and nothing at or above `--fail-on` was found."""

FOUND = 1
"""Worked, and findings at or above `--fail-on` were found."""

WRONG_INPUT = 2
"""The document or the command is wrong; nothing was written."""

MISSING_PART = 3
"""Something outside the program is missing."""

OWN_FAULT = 4
"""The program itself failed; a report file says how."""

INTERRUPTED = 130
"""The person pressed Ctrl-C (the shell's number for it)."""
