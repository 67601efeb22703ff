"""`bayfold` in a terminal: what is asked, the answer in words or JSON, and an exit status."""

from app.command_line.main import main

__all__ = ["main"]
