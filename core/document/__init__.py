"""The project as frozen values, its edits, its checks of meaning and its file."""
