"""SQLite with writers in a row: a file lock is taken just before each transaction.

SQLite's own waiting writers sleep for random times, so that under load a few wait many
times longer than the rest. A lock of the operating system hands over at once and in
about the order of asking. (The stubs leave out the steps that are overridden here.)
"""

from __future__ import annotations

import fcntl
import os
from pathlib import Path
from typing import Any

from django.db.backends.sqlite3 import base


class DatabaseWrapper(base.DatabaseWrapper):
    _queue: int | None = None

    def _start_transaction_under_autocommit(self) -> None:
        self._wait_in_line()
        try:
            super()._start_transaction_under_autocommit()  # type: ignore[misc]
        except BaseException:
            self._leave_line()
            raise

    def _wait_in_line(self) -> None:
        name = str(self.settings_dict["NAME"])
        if self.is_in_memory_db() or self._queue is not None:
            return
        self._queue = os.open(
            Path(name + "-line"), os.O_RDWR | os.O_CREAT | os.O_CLOEXEC
        )
        fcntl.flock(self._queue, fcntl.LOCK_EX)

    def _leave_line(self) -> None:
        if self._queue is not None:
            os.close(self._queue)
            self._queue = None

    def _commit(self) -> Any:
        try:
            return super()._commit()  # type: ignore[misc]
        finally:
            self._leave_line()

    def _rollback(self) -> Any:
        try:
            return super()._rollback()  # type: ignore[misc]
        finally:
            self._leave_line()

    def _close(self) -> Any:
        try:
            return super()._close()  # type: ignore[misc]
        finally:
            self._leave_line()
