"""Bayfold's kinematics, interference and findings: no window, no Qt."""
