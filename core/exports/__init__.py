"""Files made from drawings and tables."""
