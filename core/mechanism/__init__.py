"""The linkage as indexed arrays: bodies, constraint rows, drives, freedom."""
