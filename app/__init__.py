"""Bayfold's window and command line."""

__version__ = "0.1.0"
