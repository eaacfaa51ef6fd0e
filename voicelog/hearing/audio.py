"""Recordings of any common format as what the recogniser hears: 16 kHz, one channel, 16 bit.

PyAV (FFmpeg) decodes, resamples and reads every format; what is here mixes the channels, takes off
a constant offset, lifts recordings that are very quiet, and says in whole sentences why a file
cannot be heard.
"""

from __future__ import annotations

import wave
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

from voicelog.errors import AudioError
from voicelog.hearing.wholeness import what_is_missing

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Samples = NDArray[np.int16]

RATE = 16_000
"""Samples a second that the recogniser takes."""

LONGEST_S = 600
"""A memo is short; ten minutes bound the memory and the wait."""

QUIET_DBFS = -46.0
"""Loudness (below full scale) under which a recording is lifted to it.

Measured on read sentences: at -58 dBFS 39.4 % of the words are wrong, lifted 35.1 %; between
-40 and -12 dBFS the level makes no difference, so nothing there is touched.
"""

_FAINTEST_DBFS = -76.0
"""Under this there is only the converter's own noise, which is not made louder."""

_OFFSET = 0.1
"""A constant offset is taken off from this share of the sound's own loudness. Speech has none; a
cheap recorder's would pass for loudness and keep quiet speech from being lifted."""

_OPPOSED = 0.1
"""Where the sum of two channels keeps less than this share of the power of their difference, one
of them was recorded upside down, and their difference is heard instead."""

_KEPT = "Nothing of it was kept."


@dataclass(frozen=True, slots=True, kw_only=True)
class Recording:
    """Sound that is ready to be heard."""

    samples: Samples
    """16 kHz, one channel."""
    seconds: float
    """Length."""
    broken_off: str | None = None
    """How it shows that the recording was cut short, as half a sentence; None where it was not."""


def read_recording(path: Path) -> Recording:
    """Decode the first sound track of a file; of one that was cut short, as far as it goes.

    Raises:
        AudioError: it is missing, a folder, empty, no sound, damaged, or longer than `LONGEST_S`.
    """
    import numpy as np

    _check_file(path)
    broken_off = what_is_missing(path)
    pieces: list[Samples] = []
    length = 0
    decoding = _Decoding(path)
    for piece in decoding.pieces():
        length += len(piece)
        # Past the limit only the length is still wanted, to tell it.
        if length <= LONGEST_S * RATE:
            pieces.append(piece)
    if length > LONGEST_S * RATE:
        raise AudioError(
            f"{path.name} is {_minutes(length / RATE)} long, more than the "
            f"{LONGEST_S // 60} minutes of the longest memo.",
            kept=_KEPT,
            todo="Cut it into shorter recordings and give those.",
        )
    broken_off = broken_off or decoding.broken_off
    if not length:
        raise cut_short(path, broken_off) if broken_off else _no_sound(path)
    samples = _lifted(_centred(_one_channel(np.concatenate(pieces))))
    return Recording(samples=samples, seconds=length / RATE, broken_off=broken_off)


def how_it_breaks_off(path: Path) -> str | None:
    """How it shows that a recording was cut short; None where it was not, or cannot be read."""
    try:
        return what_is_missing(path) or read_recording(path).broken_off
    except (AudioError, OSError):
        return None


def write_wav(path: Path, samples: bytes) -> None:
    """Write 16 kHz 16-bit mono samples, as the microphone gives them, to a wav file."""
    with wave.open(str(path), "wb") as file:
        file.setnchannels(1)
        file.setsampwidth(2)
        file.setframerate(RATE)
        file.writeframes(samples)


def _check_file(path: Path) -> None:
    try:
        if path.is_dir():
            raise AudioError(
                f"{path} is a folder, not a recording.", kept=_KEPT, todo="Give the files in it."
            )
        if path.stat().st_size == 0:
            raise AudioError(
                f"{path.name} is empty: the recorder wrote nothing into it.",
                kept=_KEPT,
                todo="Record it again, or copy the file again from where it was made.",
            )
        with path.open("rb"):
            pass
    except FileNotFoundError as problem:
        raise AudioError(
            f"There is no file {path}.", kept=_KEPT, todo="Check its name and folder."
        ) from problem
    except (OSError, ValueError) as problem:
        reason = getattr(problem, "strerror", None) or problem
        raise AudioError(
            f"The file {path} cannot be read: {reason}.",
            kept=_KEPT,
            todo="Check its name and that you may read it.",
        ) from problem


class _Decoding:
    """The first sound track of a file being decoded."""

    def __init__(self, path: Path) -> None:
        self._path = path
        self.broken_off: str | None = None
        """Known once every piece is taken."""

    def pieces(self) -> Iterator[Samples]:
        """Pieces of the track at 16 kHz: the mean of its channels, and how two of them differ."""
        import av

        path = self._path
        try:
            with av.open(str(path.absolute()), metadata_errors="replace") as container:
                if not container.streams.audio:
                    raise AudioError(
                        f"{path.name} has no sound track.",
                        kept=_KEPT,
                        todo="Give a sound recording.",
                    )
                yield from self._track(container)
        except av.FFmpegError as problem:
            raise _unreadable(path, "its contents are not those of a sound file") from problem

    def _track(self, container: Any) -> Iterator[Samples]:
        import av

        track = container.streams.audio[0]
        mixer = _Mixer()
        length = packets = damaged = 0
        for packet in container.demux(track):
            packets += 1
            try:
                frames = packet.decode()
            except av.FFmpegError:
                damaged += 1
                continue
            for frame in frames:
                for piece in mixer.mix(frame):
                    length += len(piece)
                    yield piece
        for piece in mixer.rest():
            length += len(piece)
            yield piece
        seconds = length / RATE
        promised = _promised_seconds(container, track)
        if promised is not None and seconds < 0.9 * promised - 0.3:
            self.broken_off = (
                f"it should be {promised:.1f} s long and {seconds:.1f} s of it can be read"
            )
        elif length and damaged > 0.1 * packets:
            raise _unreadable(self._path, f"{damaged} of its {packets} parts are damaged")


class _Mixer:
    """Resamples frames and mixes their channels; a track may change its form on the way."""

    def __init__(self) -> None:
        self._form: tuple[str, str, int] | None = None
        self._resampler: Any = None

    def mix(self, frame: Any) -> Iterator[Samples]:
        from av import AudioResampler

        form = (frame.format.name, frame.layout.name, frame.sample_rate)
        if form != self._form:
            yield from self.rest()
            self._form, self._resampler = form, AudioResampler(format="flt", rate=RATE)
        frame.pts = None  # gaps in a track's clock are not filled up
        for resampled in self._resampler.resample(frame):
            yield _mixed(resampled)

    def rest(self) -> Iterator[Samples]:
        if self._resampler is not None:
            for resampled in self._resampler.resample(None):
                yield _mixed(resampled)
            self._resampler = None


def _mixed(frame: Any) -> Samples:
    """Two columns of 16-bit samples: the mean of all channels, and half of two ones' difference.

    What is no number is silence.
    """
    import numpy as np

    # Interleaved: PyAV 18 crashes on frames of more than eight separate channels.
    sound = frame.to_ndarray().reshape(-1, frame.layout.nb_channels)
    sound = np.nan_to_num(sound, nan=0.0, posinf=1.0, neginf=-1.0)
    apart = (sound[:, 0] - sound[:, 1]) / 2 if sound.shape[1] == 2 else np.zeros(len(sound))
    return _as_16_bit(np.stack([sound.mean(axis=1), apart], axis=1) * 32768.0)


def _one_channel(mixed: Samples) -> Samples:
    """The mean of the channels, unless it silences what they hold."""
    import numpy as np

    mean, apart = np.var(mixed, axis=0, dtype=np.float64)
    return np.ascontiguousarray(mixed[:, 1 if mean < _OPPOSED * apart else 0])


def _centred(samples: Samples) -> Samples:
    """The samples without a constant offset, where they have one."""
    import numpy as np

    offset = float(np.mean(samples, dtype=np.float64))
    if offset**2 <= _OFFSET**2 * float(np.var(samples, dtype=np.float64)):
        return samples
    return _as_16_bit(samples.astype(np.float64) - offset)


def _lifted(samples: Samples) -> Samples:
    """The samples, made louder as a whole where their loud parts are very quiet."""
    import numpy as np

    frames = samples[: len(samples) // 400 * 400].reshape(-1, 400).astype(np.float32)
    if not len(frames):
        return samples
    loud = float(np.percentile(np.sqrt(np.mean(frames**2, axis=1)), 95)) / 32768.0
    dbfs = 20 * np.log10(loud) if loud > 0 else -np.inf
    if not _FAINTEST_DBFS < dbfs < QUIET_DBFS:
        return samples
    gain = 10 ** ((QUIET_DBFS - dbfs) / 20)
    return _as_16_bit(samples * gain)


def _as_16_bit(sound: NDArray[np.floating[Any]]) -> Samples:
    import numpy as np

    whole: Samples = np.clip(np.rint(sound), -32768, 32767).astype(np.int16)
    return whole


def _promised_seconds(container: Any, track: Any) -> float | None:
    """Length by the file's own account; None where it is only a guess from the bit rate."""
    if container.format.name == "mp3" or track.duration is None:
        return None
    return float(track.duration * track.time_base)


def cut_short(path: Path, how: str) -> AudioError:
    """The error about a recording of which nothing that can be heard is left."""
    return AudioError(
        f"{path.name} breaks off: {how}.",
        kept=_KEPT,
        todo="Copy the file again from where it was made; if that one is cut short too, play what "
        "is left of it and save it anew.",
    )


def _no_sound(path: Path) -> AudioError:
    return _unreadable(path, "it holds no sound at all")


def _unreadable(path: Path, why: str) -> AudioError:
    return AudioError(
        f"{path.name} cannot be heard: {why}.",
        kept=_KEPT,
        todo="Give a sound recording (wav, flac, ogg, opus, mp3 or m4a).",
    )


def _minutes(seconds: float) -> str:
    return f"{int(seconds) // 60} min {int(seconds) % 60} s"
