"""One painter for the window and for every file, and the theme that it paints with."""
