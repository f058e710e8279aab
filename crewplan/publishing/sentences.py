"""Sentences for people to read."""


def sentence(text: str) -> str:
    """First letter large, one full stop."""
    return text[:1].upper() + text[1:].rstrip(".") + "." if text else ""
