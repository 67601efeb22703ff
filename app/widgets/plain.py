"""Names on buttons and in menus, where an ampersand would else mark a key."""

from __future__ import annotations


def plain(words: str) -> str:
    return words.replace("&", "&&")
