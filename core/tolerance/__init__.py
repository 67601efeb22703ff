"""How far built models differ from their drawing, made as well as a workshop makes things, and how many work."""
