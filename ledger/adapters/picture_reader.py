"""Asks the process that decodes pictures, starts it anew when a file has ended it, and waits for it only so long."""

import atexit
import contextlib
import json
import subprocess
import sys
import threading
from pathlib import Path

from ledger.adapters import picture_decoder
from ledger.adapters.picture_decoder import DECODE, TELL, Decoded, Refused, give, take, unpack

__all__ = ["PictureReader"]

WAIT_S = 90.0
"""How long an answer may take on a machine that is busy with other things; time of the processor is limited before."""


class PictureReader:
    """One process that decodes, asked by one thread at a time; it ends with this one.

    Keeps: a file that ends it costs its own refusal, and the next picture finds a new process.
    """

    def __init__(self, wait: float = WAIT_S) -> None:
        self._wait = wait
        self._asking = threading.Lock()
        self._process: subprocess.Popen[bytes] | None = None
        atexit.register(self.close)

    def ask(self, data: bytes) -> Decoded | Refused | None:
        """What became of the file; None where it ended the process, or took longer than any picture."""
        packed = self._asked(DECODE + data)
        return None if packed is None else unpack(packed)

    def told(self, data: bytes) -> list[tuple[str, str]] | None:
        """What the file says beside its picture; None as above."""
        packed = self._asked(TELL + data)
        return None if packed is None else [(name, value) for name, value in json.loads(packed)]

    def _asked(self, data: bytes) -> bytes | None:
        with self._asking:
            process = self._running()
            assert process.stdin is not None
            assert process.stdout is not None
            late = threading.Timer(self._wait, process.kill)
            late.start()
            packed = None
            try:
                with contextlib.suppress(OSError):
                    give(process.stdin, data)
                    packed = take(process.stdout)
            finally:
                late.cancel()
                late.join()
                if packed is None:
                    self._end()
            return packed

    @property
    def pid(self) -> int | None:
        """The number of the process, while there is one."""
        return None if self._process is None else self._process.pid

    def close(self) -> None:
        """Ends the process; the next picture starts another."""
        with self._asking:
            self._end()

    def _running(self) -> subprocess.Popen[bytes]:
        """The process, started where there is none."""
        if self._process is not None and self._process.poll() is not None:
            self._end()
        if self._process is None:
            # -P: no module beside the program is taken for one of the language's own.
            command = [sys.executable, "-P", str(Path(picture_decoder.__file__))]
            pipe, shut = subprocess.PIPE, subprocess.DEVNULL
            self._process = subprocess.Popen(command, stdin=pipe, stdout=pipe, stderr=shut)  # noqa: S603  our own file
        return self._process

    def _end(self) -> None:
        process, self._process = self._process, None
        if process is None:
            return
        process.kill()
        for stream in (process.stdin, process.stdout):
            if stream is not None:
                with contextlib.suppress(OSError):
                    stream.close()
        process.wait()
