"""From frames to a WebM file, through ffmpeg."""

from __future__ import annotations

import shutil
import subprocess
from pathlib import Path
from typing import IO, cast

from grading.film.frame import HEIGHT, WIDTH, draw_act, with_clock
from grading.film.script import Script

# One frame a second, so that the clock in the picture and the player's agree; a key
# frame every twenty, so that a seek has little to decode.
KEY_FRAME_EVERY = 20


class EncoderMissingError(Exception):
    """ffmpeg is not installed."""


def encode(script: Script, path: Path) -> None:
    """Draw the script and write it as VP9 in WebM, replacing the file when whole."""
    ffmpeg = shutil.which("ffmpeg")
    if ffmpeg is None:
        raise EncoderMissingError(
            "ffmpeg is not installed (Debian: apt install ffmpeg)"
        )
    unfinished = path.with_suffix(".unfinished.webm")
    command = [ffmpeg, "-v", "error", "-y"]
    command += ["-f", "rawvideo", "-pix_fmt", "rgb24", "-s", f"{WIDTH}x{HEIGHT}"]
    command += ["-r", "1", "-i", "-", "-c:v", "libvpx-vp9", "-pix_fmt", "yuv420p"]
    command += ["-b:v", "0", "-crf", "36", "-g", str(KEY_FRAME_EVERY)]
    # Bit-exact: no date and no version in the file, so that it changes with the script.
    command += ["-auto-alt-ref", "0", "-fflags", "+bitexact", "-flags", "+bitexact"]
    # The seek index in front lets a player seek before the whole file has come.
    command += ["-cues_to_front", "1", str(unfinished)]
    process = subprocess.Popen(command, stdin=subprocess.PIPE)  # noqa: S603 (our own arguments)
    with process, cast("IO[bytes]", process.stdin) as frames:
        for index, act in enumerate(script.acts):
            picture = draw_act(act)
            for moment in range(act.at, script.end(index)):
                frames.write(with_clock(picture, moment).tobytes())
    if process.returncode:
        unfinished.unlink(missing_ok=True)
        raise subprocess.CalledProcessError(process.returncode, command)
    unfinished.replace(path)
