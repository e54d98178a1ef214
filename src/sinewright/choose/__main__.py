"""Rewrite the generated page of rules: ``python -m sinewright.choose docs``."""

import sys
from pathlib import Path

from sinewright.choose.pages import write_pages

write_pages(Path(sys.argv[1] if len(sys.argv) > 1 else "docs"))
