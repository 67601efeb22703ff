"""Bayfold's window and command line."""
