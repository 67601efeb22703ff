"""Outlines that other programs drew: DXF, as its reference defines it, and SVG, as the W3C does."""
