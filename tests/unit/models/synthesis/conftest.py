"""The scripts import one another by their bare names."""

import sys
from pathlib import Path

SCRIPTS = Path(__file__).parents[4] / "models" / "synthesis"
sys.path.insert(0, str(SCRIPTS))
