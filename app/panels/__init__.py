"""The regions beside the sheet: what is wrong, and the numbers of what is chosen."""
