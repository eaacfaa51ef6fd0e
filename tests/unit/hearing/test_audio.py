"""Every common format, rate and channel count in; whole sentences about what cannot be heard."""

from __future__ import annotations

from pathlib import Path

import av
import numpy as np
import pytest
import soundfile
from numpy.typing import NDArray

from voicelog.errors import AudioError
from voicelog.hearing.audio import (
    LONGEST_S,
    RATE,
    how_it_breaks_off,
    read_recording,
    write_wav,
)

Sound = NDArray[np.float32]


def encode(path: Path, codec: str, sound: Sound, rate: int = 48_000, layout: str = "mono") -> Path:
    with av.open(str(path), "w") as container:
        track = container.add_stream(codec, rate=rate, layout=layout)
        frame = av.AudioFrame.from_ndarray(sound.reshape(1, -1), format="flt", layout=layout)
        frame.sample_rate = rate
        for packet in (*track.encode(frame), *track.encode(None)):
            container.mux(packet)
    return path


def pitch(samples: NDArray[np.int16]) -> float:
    """Hertz of the loudest component."""
    middle = samples[len(samples) // 4 : -len(samples) // 4].astype(np.float64)
    spectrum = np.abs(np.fft.rfft(middle * np.hanning(len(middle))))
    return float(np.fft.rfftfreq(len(middle), 1 / RATE)[spectrum.argmax()])


@pytest.mark.parametrize(
    ("name", "codec"),
    [
        ("memo.wav", "pcm_s16le"),
        ("memo.flac", "flac"),
        ("memo.ogg", "libopus"),
        ("memo.opus", "libopus"),
        ("memo.mp3", "libmp3lame"),
        ("memo.m4a", "aac"),
        ("Stall 3 – früh, ‘eggs’ 🥚.wav", "pcm_s16le"),
        ("no_ending", "pcm_s16le"),
        ("-rf.wav", "pcm_s16le"),
    ],
)
def test_every_format_gives_the_tone_at_16_khz(
    tmp_path: Path, tone: Sound, name: str, codec: str
) -> None:
    made = encode(tmp_path / ("made" + (Path(name).suffix or ".wav")), codec, tone)
    recording = read_recording(made.rename(tmp_path / name))
    assert recording.seconds == pytest.approx(1.0, abs=0.12)
    assert len(recording.samples) == round(recording.seconds * RATE)
    assert recording.samples.dtype == np.int16
    assert pitch(recording.samples) == pytest.approx(440, abs=4)
    loudness = np.sqrt(np.mean(recording.samples[RATE // 4 : -RATE // 4].astype(float) ** 2))
    assert loudness == pytest.approx(16384 / np.sqrt(2), rel=0.05)


@pytest.mark.parametrize("rate", [8_000, 11_025, 16_000, 22_050, 44_100, 48_000, 96_000])
def test_every_rate(tmp_path: Path, rate: int) -> None:
    sound = 0.5 * np.sin(2 * np.pi * 440 * np.arange(rate) / rate)
    soundfile.write(tmp_path / "a.wav", sound, rate)
    recording = read_recording(tmp_path / "a.wav")
    assert recording.seconds == pytest.approx(1.0, abs=0.01)
    assert pitch(recording.samples) == pytest.approx(440, abs=4)


@pytest.mark.parametrize("channels", [1, 2, 3, 5, 6, 8, 16])
def test_all_channels_are_mixed(tmp_path: Path, channels: int) -> None:
    sound = np.zeros((RATE, channels))
    sound[:, -1] = 0.5 * np.sin(2 * np.pi * 440 * np.arange(RATE) / RATE)
    soundfile.write(tmp_path / "a.wav", sound, RATE)
    samples = read_recording(tmp_path / "a.wav").samples
    assert pitch(samples) == pytest.approx(440, abs=4)
    assert np.abs(samples).max() == pytest.approx(16384 / channels, rel=0.05)


@pytest.mark.parametrize("subtype", ["PCM_U8", "PCM_16", "PCM_24", "PCM_32", "FLOAT", "DOUBLE"])
def test_every_sample_form(tmp_path: Path, tone: Sound, subtype: str) -> None:
    soundfile.write(tmp_path / "a.wav", tone, 48_000, subtype=subtype)
    samples = read_recording(tmp_path / "a.wav").samples
    assert np.abs(samples).max() == pytest.approx(16384, rel=0.03)


def test_vorbis(tmp_path: Path, tone: Sound) -> None:
    soundfile.write(tmp_path / "a.ogg", tone, 48_000, format="OGG", subtype="VORBIS")
    assert pitch(read_recording(tmp_path / "a.ogg").samples) == pytest.approx(440, abs=4)


def test_16_bit_samples_come_through_unchanged(tmp_path: Path) -> None:
    samples = np.random.default_rng(1).integers(-32768, 32768, RATE).astype(np.int16)
    write_wav(tmp_path / "a.wav", samples.tobytes())
    assert np.array_equal(read_recording(tmp_path / "a.wav").samples, samples)


def test_clipped_and_broken_floats_stay_in_range(tmp_path: Path, tone: Sound) -> None:
    sound = tone * 8
    sound[100:110] = np.nan
    sound[200:210] = np.inf
    soundfile.write(tmp_path / "a.wav", sound, 48_000, subtype="FLOAT")
    samples = read_recording(tmp_path / "a.wav").samples
    assert samples.max() == 32767
    assert samples.min() == -32768


def test_quiet_sound_is_lifted_and_normal_sound_and_silence_are_not(tmp_path: Path) -> None:
    wave = np.sin(2 * np.pi * 440 * np.arange(RATE) / RATE)

    def loudest(amplitude: float) -> int:
        write_wav(tmp_path / "a.wav", np.rint(wave * amplitude).astype(np.int16).tobytes())
        return int(np.abs(read_recording(tmp_path / "a.wav").samples).max())

    assert loudest(60) > 150
    assert loudest(1000) == 1000
    assert loudest(3) == 3
    assert loudest(0) == 0


def test_a_picture_beside_the_sound_is_passed_over(tmp_path: Path, tone: Sound) -> None:
    path = tmp_path / "cover.m4a"
    with av.open(str(path), "w", format="mp4") as container:
        picture = container.add_stream("mpeg4", rate=1)
        picture.width = picture.height = 32
        picture.pix_fmt = "yuv420p"
        track = container.add_stream("aac", rate=48_000, layout="mono")
        image = av.VideoFrame.from_ndarray(np.zeros((32, 32, 3), np.uint8), format="rgb24")
        sound = av.AudioFrame.from_ndarray(tone.reshape(1, -1), format="flt", layout="mono")
        sound.sample_rate = 48_000
        for packet in (*picture.encode(image), *picture.encode(None)):
            container.mux(packet)
        for packet in (*track.encode(sound), *track.encode(None)):
            container.mux(packet)
    assert pitch(read_recording(path).samples) == pytest.approx(440, abs=4)


def told(path: Path) -> str:
    with pytest.raises(AudioError) as problem:
        read_recording(path)
    paragraph = problem.value.paragraph()
    assert path.name in paragraph
    assert problem.value.kept == "Nothing of it was kept."
    assert problem.value.todo.endswith(".")
    assert "\n" not in paragraph
    return paragraph


def test_a_missing_file(tmp_path: Path) -> None:
    assert "There is no file" in told(tmp_path / "nope.wav")


def test_a_folder(tmp_path: Path) -> None:
    assert "is a folder" in told(tmp_path)


def test_an_empty_file(tmp_path: Path) -> None:
    (tmp_path / "a.wav").touch()
    assert "is empty" in told(tmp_path / "a.wav")


@pytest.mark.parametrize("name", ["a.wav", "a.ogg", "a.mp3", "a.m4a", "a.flac", "a"])
@pytest.mark.parametrize(
    "contents", [b"These are words, not sounds. " * 200, bytes(range(256)) * 9]
)
def test_what_is_no_sound(tmp_path: Path, name: str, contents: bytes) -> None:
    (tmp_path / name).write_bytes(contents)
    told(tmp_path / name)


def test_a_film_without_sound(tmp_path: Path) -> None:
    with av.open(str(tmp_path / "a.mp4"), "w") as container:
        picture = container.add_stream("mpeg4", rate=1)
        picture.width = picture.height = 32
        picture.pix_fmt = "yuv420p"
        image = av.VideoFrame.from_ndarray(np.zeros((32, 32, 3), np.uint8), format="rgb24")
        for packet in (*picture.encode(image), *picture.encode(None)):
            container.mux(packet)
    assert "no sound track" in told(tmp_path / "a.mp4")


def test_a_wav_without_samples(tmp_path: Path) -> None:
    write_wav(tmp_path / "a.wav", b"")
    assert "no sound at all" in told(tmp_path / "a.wav")


@pytest.mark.parametrize(
    ("name", "codec"),
    [("a.wav", "pcm_s16le"), ("a.ogg", "libopus"), ("a.flac", "flac"), ("a.m4a", "aac")],
)
@pytest.mark.parametrize("share", [0.03, 0.3, 0.6])
def test_a_file_cut_short(tmp_path: Path, tone: Sound, name: str, codec: str, share: float) -> None:
    rng = np.random.default_rng(2)
    sound = (np.tile(tone, 3) * rng.random(3 * len(tone))).astype(np.float32)
    whole = encode(tmp_path / name, codec, sound).read_bytes()
    whole_seconds = read_recording(tmp_path / name).seconds
    (tmp_path / name).write_bytes(whole[: int(len(whole) * share)])
    try:
        heard = read_recording(tmp_path / name)
    except AudioError:
        told(tmp_path / name)
        return
    assert heard.broken_off
    assert how_it_breaks_off(tmp_path / name)
    assert heard.seconds < 0.8 * whole_seconds


@pytest.mark.parametrize(("name", "codec"), [("a.wav", "pcm_s16le"), ("a.ogg", "libopus")])
def test_a_file_cut_short_is_read_as_far_as_it_goes(
    tmp_path: Path, tone: Sound, name: str, codec: str
) -> None:
    rng = np.random.default_rng(2)
    sound = (np.tile(tone, 12) * rng.random(12 * len(tone))).astype(np.float32)
    whole = encode(tmp_path / name, codec, sound).read_bytes()
    length = read_recording(tmp_path / name).seconds
    assert how_it_breaks_off(tmp_path / name) is None
    (tmp_path / name).write_bytes(whole[: int(len(whole) * 0.7)])
    part = read_recording(tmp_path / name)
    assert part.broken_off
    assert 0.3 * length < part.seconds < 0.8 * length


def test_a_wav_written_to_a_pipe_has_no_size_and_is_whole(tmp_path: Path) -> None:
    write_wav(tmp_path / "a.wav", bytes(RATE * 2))
    contents = bytearray((tmp_path / "a.wav").read_bytes())
    contents[4:8] = contents[40:44] = b"\xff\xff\xff\xff"
    (tmp_path / "a.wav").write_bytes(contents)
    assert read_recording(tmp_path / "a.wav").seconds == pytest.approx(1.0)


def test_more_than_ten_minutes_tells_the_length(tmp_path: Path) -> None:
    write_wav(tmp_path / "a.wav", bytes(2 * RATE * (LONGEST_S + 65)))
    paragraph = told(tmp_path / "a.wav")
    assert "11 min 5 s" in paragraph
    assert "Cut it" in paragraph


def test_ten_minutes_exactly_are_taken(tmp_path: Path) -> None:
    write_wav(tmp_path / "a.wav", bytes(2 * RATE * LONGEST_S))
    assert read_recording(tmp_path / "a.wav").seconds == LONGEST_S
