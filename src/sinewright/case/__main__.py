"""Rewrite the generated papers of the case file: ``python -m sinewright.case docs``."""

import sys
from pathlib import Path

from sinewright.case.pages import write_pages

write_pages(Path(sys.argv[1] if len(sys.argv) > 1 else "docs"))
