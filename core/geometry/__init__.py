"""Planar poses, outlines and curves."""
