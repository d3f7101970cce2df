"""Packed states and moments: how a release keeps a whole sheet in one short value.

One byte an element, in the edition's element order; moments are little-endian 32-bit
milliseconds beside them. numpy is imported only where rows become an array.
"""

from __future__ import annotations

import struct
from collections.abc import Iterable
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    import numpy as np
    import numpy.typing as npt

OPEN, DONE, PARTLY, SAID, MISSED, UNSEEN, EXCUSED = range(7)
LEVEL = 16  # level n is LEVEL + n; the codes between are kept free
CODES = {
    "open": OPEN,
    "done": DONE,
    "partly": PARTLY,
    "said": SAID,
    "missed": MISSED,
    "unseen": UNSEEN,
    "excused": EXCUSED,
}
NAMES = {code: name for name, code in CODES.items()}
NO_MOMENT = -1
LAST_MOMENT = 2**31 - 1


def pack(states: Iterable[tuple[str, int | None]]) -> bytes:
    """Pack (state, level) pairs, one byte each, in the order given.

    A state is a key of the marks file, or `open` for an element without a mark; the
    level counts from 1 and is None for every state but `level`.
    Raises ValueError for an unknown state or a level that is missing, unasked for or
    not 1 to 239.

    >>> pack([("done", None), ("level", 3), ("open", None)])
    b'\\x01\\x13\\x00'
    """
    return bytes(_code(state, level) for state, level in states)


def unpack(packed: bytes) -> list[tuple[str, int | None]]:
    """Give back what `pack` was given. Raises ValueError for a byte it never writes.

    >>> unpack(b"\\x01\\x13\\x00")
    [('done', None), ('level', 3), ('open', None)]
    """
    return [_state(code) for code in packed]


def pack_moments(moments: Iterable[int | None]) -> bytes:
    """Pack milliseconds into the recording, None where a mark has no moment.

    Raises ValueError for a moment below 0 or above 2 147 483 647 ms (24 days).

    >>> pack_moments([1500, None]).hex()
    'dc050000ffffffff'
    """
    values = [NO_MOMENT if moment is None else _moment(moment) for moment in moments]
    return struct.pack(f"<{len(values)}i", *values)


def unpack_moments(packed: bytes) -> list[int | None]:
    """Give back what `pack_moments` was given, in milliseconds.

    Raises ValueError where the length is no multiple of 4 or a moment is below -1.

    >>> unpack_moments(bytes.fromhex("dc050000ffffffff"))
    [1500, None]
    """
    if len(packed) % 4:
        raise ValueError(f"moments take 4 bytes each, but got {len(packed)} bytes")
    values = struct.unpack(f"<{len(packed) // 4}i", packed)
    return [None if value == NO_MOMENT else _moment(value) for value in values]


def to_array(rows: Iterable[bytes], elements: int) -> npt.NDArray[np.uint8]:
    """Put packed rows together as a students x elements array of codes.

    Raises ValueError where a row is not `elements` bytes long. The array is a
    read-only view of one copy of the rows.

    >>> to_array([b"\\x01\\x04", b"\\x03\\x05"], 2).tolist()
    [[1, 4], [3, 5]]
    """
    import numpy as np

    rows = list(rows)
    for length in set(map(len, rows)):
        if length != elements:
            raise ValueError(
                f"a row of states must be {elements} bytes long, but one has {length}"
            )
    return np.frombuffer(b"".join(rows), dtype=np.uint8).reshape(len(rows), elements)


def _code(state: str, level: int | None) -> int:
    if state == "level":
        if level is None or not 1 <= level <= 255 - LEVEL:
            raise ValueError(f"a level must be 1 to {255 - LEVEL}, but got {level!r}")
        return LEVEL + level
    if state not in CODES:
        allowed = ", ".join([*CODES, "level"])
        raise ValueError(f"a state must be one of {allowed}, but got {state!r}")
    if level is not None:
        raise ValueError(f"only the state level has a level, but {state!r} got {level}")
    return CODES[state]


def _state(code: int) -> tuple[str, int | None]:
    if code in NAMES:
        return NAMES[code], None
    if code > LEVEL:
        return "level", code - LEVEL
    raise ValueError(f"no state has the code {code}")


def _moment(value: int) -> int:
    if not 0 <= value <= LAST_MOMENT:
        raise ValueError(f"a moment must be 0 to {LAST_MOMENT} ms, but got {value}")
    return value
