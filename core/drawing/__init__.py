"""A neutral picture in millimetres, painted the same on sheet and paper."""
