"""A voice that reads back what was understood (the extra `voice`), by the system's own speech.

On Linux that is eSpeak NG, on macOS and Windows the voices that come with them; all work offline.
"""

from __future__ import annotations

from contextlib import redirect_stdout
from io import StringIO
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import TYPE_CHECKING, Any

from voicelog.errors import AudioError
from voicelog.hearing.audio import read_recording
from voicelog.hearing.microphone import play

if TYPE_CHECKING:
    from voicelog.hearing.audio import Recording

_WORDS_A_MINUTE = 170


class Voice:
    """Says sentences on the loudspeaker."""

    def __init__(self) -> None:
        """Load the system's speech.

        Raises:
            AudioError: the extra is not installed, or the system has no voice.
        """
        try:
            import pyttsx3
        except ImportError as problem:
            raise AudioError(
                "Reading aloud needs an extra that is not installed.",
                todo="Install it with: pip install 'voicelog[voice]'",
            ) from problem
        try:
            self._engine: Any = pyttsx3.init()
            self._engine.setProperty("rate", _WORDS_A_MINUTE)
        # Each system's driver has errors of its own.
        except Exception as problem:
            raise AudioError(
                f"The system has no voice that can be used: {problem}.",
                todo="Install one (on Debian and Ubuntu: apt install espeak-ng), or leave out "
                "--aloud.",
            ) from problem

    def say(self, text: str) -> None:
        """Speak, and come back when the last word has been spoken.

        Raises:
            AudioError: there is no loudspeaker, or the voice failed.
        """
        if text.strip():
            play(self.spoken(text))

    def spoken(self, text: str) -> Recording:
        """The sound of a text, made and not played.

        Raises:
            AudioError: the voice failed.
        """
        with TemporaryDirectory(prefix="voicelog-") as folder:
            file = Path(folder) / "spoken.wav"
            # The library tells on the screen of the file that it wrote.
            with redirect_stdout(StringIO()):
                self._engine.save_to_file(text, str(file))
                self._engine.runAndWait()
            if not file.exists():
                raise AudioError("The system's voice said nothing.", todo="Leave out --aloud.")
            return read_recording(file)
