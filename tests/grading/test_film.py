"""The demo's recording as a film, with the real encoder."""

import json
import subprocess
from dataclasses import replace

import pytest

from grading.film.encode import EncoderMissingError, encode
from grading.film.script import read_script
from tests.project.tree import ROOT


@pytest.fixture
def opening():
    script = read_script(ROOT / "fixtures" / "demo" / "script.yaml")
    return replace(script, acts=script.acts[:2], length=script.acts[2].at)


def test_a_script_becomes_one_frame_a_second(opening, tmp_path):
    encode(opening, tmp_path / "film.webm")

    told = subprocess.check_output(
        [
            *("ffprobe", "-v", "error", "-count_frames", "-of", "json"),
            *("-show_entries", "stream=codec_name,nb_read_frames,r_frame_rate"),
            tmp_path / "film.webm",
        ]
    )
    assert json.loads(told)["streams"] == [
        {
            "codec_name": "vp9",
            "r_frame_rate": "1/1",
            "nb_read_frames": str(opening.length - opening.acts[0].at),
        }
    ]


def test_without_an_encoder_an_older_film_stays(opening, tmp_path, monkeypatch):
    film = tmp_path / "film.webm"
    film.write_bytes(b"older")
    monkeypatch.setenv("PATH", str(tmp_path))

    with pytest.raises(EncoderMissingError, match="apt install ffmpeg"):
        encode(opening, film)
    assert film.read_bytes() == b"older"
