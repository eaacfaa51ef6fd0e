"""Where the speech model is, and whether all its files are there.

The files are checked here because the recogniser's own errors go to the standard error of its
C++ part and say little. Both layouts of Vosk's makers are known: with folders (`am/`, `conf/`,
`graph/`) and flat.
"""

from __future__ import annotations

import os
import struct
from pathlib import Path

from voicelog.errors import ModelError

ENVIRONMENT = "VOICELOG_MODEL"
CARRIED = "english-small"

_IVECTOR = (
    "final.dubm",
    "final.ie",
    "final.mat",
    "global_cmvn.stats",
    "online_cmvn.conf",
    "splice.conf",
)
_FST_MAGIC = 2125659606
_HAS_OUTPUT_SYMBOLS = 2


def find_model(model: Path | str | None = None) -> Path:
    """The folder of the model: the one given, else of the environment, else the carried one.

    Raises:
        ModelError: there is no such folder, or files of it are missing.
    """
    said = model or os.environ.get(ENVIRONMENT)
    folder = Path(said).expanduser() if said else carried_model()
    if not folder.is_dir():
        raise ModelError(
            f"There is no speech model folder at {folder}.",
            todo=f"Give the path of a Vosk model folder, or unset {ENVIRONMENT} to use the "
            "model that comes with voicelog.",
        )
    missing = missing_files(folder)
    if missing:
        raise ModelError(
            f"The speech model in {folder} is not complete; missing or empty: "
            f"{', '.join(missing)}.",
            todo="Copy or unpack the model again, or give the path of another one.",
        )
    return folder


def missing_files(folder: Path) -> tuple[str, ...]:
    """Names of the files the recogniser needs and `folder` lacks, or has with nothing in them."""
    flat = not (folder / "am").is_dir() and _filled(folder / "final.mdl")
    needed = _flat_files(folder) if flat else _files(folder)
    missing = [name for name in needed if not _filled(folder / name)]
    if (folder / "ivector").is_dir():
        missing += [
            f"ivector/{name}" for name in _IVECTOR if not _filled(folder / "ivector" / name)
        ]
    return tuple(missing)


def describe(folder: Path) -> str:
    """One sentence for a person: which model, where, how large (megabytes of 10^6 bytes)."""
    size = sum(file.stat().st_size for file in folder.rglob("*") if file.is_file())
    return f"{folder.name}, {size / 1e6:.0f} MB, in {folder}."


def carried_model() -> Path:
    """Installed, the model lies inside the package; in a checkout, in `models/` beside it."""
    package = Path(__file__).parent
    installed = package / "model_data" / CARRIED
    return installed if installed.is_dir() else package.parents[1] / "models" / CARRIED


def _files(folder: Path) -> list[str]:
    needed = ["am/final.mdl", "conf/mfcc.conf", "conf/model.conf"]
    return needed + [f"graph/{name}" for name in _graph_files(folder / "graph")]


def _flat_files(folder: Path) -> list[str]:
    return ["final.mdl", "mfcc.conf", *_graph_files(folder)]


def _graph_files(graph: Path) -> list[str]:
    """A whole graph is one file; one in two halves needs both and its list of marks."""
    if (graph / "HCLG.fst").exists():
        needed, words_in = ["HCLG.fst"], graph / "HCLG.fst"
    else:
        needed, words_in = ["HCLr.fst", "Gr.fst", "disambig_tid.int"], graph / "Gr.fst"
    if not _carries_words(words_in):
        needed.append("words.txt")
    return needed


def _carries_words(fst: Path) -> bool:
    """Whether an OpenFst file has its table of words inside, as some published models do."""
    try:
        with fst.open("rb") as file:
            if struct.unpack("<i", file.read(4))[0] != _FST_MAGIC:
                return False
            for _ in ("kind of transducer", "kind of arc"):
                file.seek(struct.unpack("<i", file.read(4))[0], os.SEEK_CUR)
            _version, flags = struct.unpack("<ii", file.read(8))
    except (OSError, struct.error):
        return False
    return bool(flags & _HAS_OUTPUT_SYMBOLS)


def _filled(file: Path) -> bool:
    try:
        return file.is_file() and file.stat().st_size > 0
    except OSError:
        return False
