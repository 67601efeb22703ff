"""What if a jack lags: sequences as they would run with one fault in them, studied and compared with the sound one."""
