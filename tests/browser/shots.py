"""Pictures of the pages, for somebody who wants to look at all of them: kept only where SLIPSHEET_SHOTS names a folder."""

import os
import re
from pathlib import Path
from typing import Final

from playwright.sync_api import Page

__all__ = ["keep"]

FOLDER: Final = "SLIPSHEET_SHOTS"


def keep(page: Page, name: str) -> None:
    """The whole page as it looks now, if pictures are wanted."""
    if folder := os.environ.get(FOLDER):
        file = re.sub(r"[^a-z0-9]+", "-", name.lower()).strip("-")
        page.screenshot(path=Path(folder) / f"{file}.png", full_page=True)
