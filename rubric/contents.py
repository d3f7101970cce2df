"""The bytes of a file that somebody named at the command line."""

from __future__ import annotations

from pathlib import Path

from rubric.faults import Fault, Faults


def contents(name: str) -> bytes:
    """Raises Faults where there is no such file, or it cannot be read."""
    try:
        return Path(name).read_bytes()
    except (OSError, ValueError) as error:
        why = getattr(error, "strerror", None) or error
        raise Faults([Fault(name, None, f"cannot be read: {why}")]) from None
